"""Whether the bytes of an address can be read at all; a damaged one is told so, never guessed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any
from urllib.parse import unquote_to_bytes

LONGEST_ADDRESS = 4000
UNREAD = "\ufffd"
_CONTROL = re.compile(r"[\x00-\x1f\x7f]")
_CONTROL_BUT_LINES = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def is_well_formed(scope: Mapping[str, Any]) -> bool:
    """Whether path and query are UTF-8 under their escapes, without control characters."""
    raw = scope.get("raw_path") or scope["path"].encode()
    query = scope.get("query_string", b"")
    if len(raw) + len(query) > LONGEST_ADDRESS:
        return False
    return _is_read(raw) and _is_read(query.replace(b"+", b" "), lines=True)


def is_text(value: str) -> bool:
    """Whether a field of a form came through as text."""
    return UNREAD not in value and "\0" not in value


def _is_read(raw: bytes, *, lines: bool = False) -> bool:
    try:
        text = unquote_to_bytes(raw).decode("utf-8")
    except UnicodeDecodeError:
        return False
    return not (_CONTROL_BUT_LINES if lines else _CONTROL).search(text)
