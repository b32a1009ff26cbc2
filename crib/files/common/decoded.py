"""Text in whatever code page a file of the shop was written."""

from __future__ import annotations

_UTF16 = (b"\xff\xfe", b"\xfe\xff")


def code_page(content: bytes) -> str:
    """The code page that a file's text is read in."""
    if content.startswith(_UTF16):
        return "UTF-16"
    try:
        content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return "cp1252"
    return "UTF-8"


def decoded(content: bytes) -> str:
    """The text of a file: UTF-16 with its mark, UTF-8, or cp1252."""
    if content.startswith(_UTF16):
        return content.decode("utf-16", "replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")
