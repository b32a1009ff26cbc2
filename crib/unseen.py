"""Characters that nobody sees and that act on a screen: controls, escapes, marks of direction.

They are refused where something is typed or stored, and made seen where it is shown. The two
joiners that some scripts are written with (U+200C, U+200D) and every kind of blank stay.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, TextIO

_UNSEEN = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f"
    "\ud800-\udfff\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)
_BREAKS = str.maketrans(dict.fromkeys("\t\n\v\f\r\x85\u2028\u2029", " "))
IN_ITS_PLACE = "\ufffd"
"""What is shown for a character that is not seen."""


def unseen_in(text: str) -> str:
    r"""The first such character of a text by its number, as ``U+202E``; empty where there is none.

    >>> unseen_in("bench 2"), unseen_in("bench \x1b[2J")
    ('', 'U+001B')
    """
    if text.isprintable():
        return ""
    found = _UNSEEN.search(text)
    return f"U+{ord(found[0]):04X}" if found else ""


def one_line(text: str) -> str:
    """A text with a blank for each tab and each break of a line."""
    return text if text.isprintable() else text.translate(_BREAKS)


def made_seen(text: str) -> str:
    r"""A text as it can be shown anywhere: one line, and nothing in it that is not seen.

    >>> made_seen("bench\t2\x1b[2J") == "bench 2\ufffd[2J"
    True
    """
    return text if text.isprintable() else _UNSEEN.sub(IN_ITS_PLACE, one_line(text))


def lines_made_seen(text: str) -> str:
    """The same of a text of several lines, which stay as they are."""
    return "\n".join(map(made_seen, text.split("\n")))


def escaped(json_text: str) -> str:
    """JSON of the same meaning that holds no such character itself, but for its own line ends."""

    def number(found: re.Match[str]) -> str:
        code = ord(found[0])
        if code > 0xFFFF:
            code -= 0x10000
            return f"\\u{0xD800 + (code >> 10):04x}\\u{0xDC00 + (code & 0x3FF):04x}"
        return found[0] if found[0] == "\n" else f"\\u{code:04x}"

    return _UNSEEN.sub(number, json_text)


class SeenStream:
    """A stream of text that lets through nothing unseen but the ends of lines."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    @property
    def below(self) -> TextIO:
        """The stream itself, for those who make seen what they write."""
        return self._stream

    def write(self, text: str) -> int:
        """Write a text as it can be shown; returns how many characters were given."""
        self._stream.write(lines_made_seen(text))
        return len(text)

    def writelines(self, lines: Iterator[str]) -> None:
        """Write several texts."""
        for line in lines:
            self.write(line)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)
