"""The records of a drawing in text form: pairs of a group code and a value, one a line each.

A record begins with code 0 and goes to the next one. What stands here knows nothing of geometry; it
counts what the library was given, so that nothing it drops is lost without a word.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import compress, count
from typing import Any, NamedTuple

_ZERO = frozenset(("0", " 0", "  0"))
_HANDLE = frozenset(("5", " 5", "  5"))
_COMMENT = 999
_PARTS = ("VERTEX", "SEQEND", "ATTRIB")
"""Records that belong to the one before them."""
_IN_SECTIONS = ("ENTITIES", "BLOCKS")


def _codes(*spans: tuple[int, int]) -> frozenset[str]:
    return frozenset(str(code) for first, last in spans for code in range(first, last))


_FLOATS = _codes((10, 60), (110, 150), (210, 240), (460, 470))
_WHOLES = _codes((60, 80), (90, 100), (170, 180), (270, 290), (370, 390), (400, 410), (420, 430))
"""Group codes whose values are numbers, by the table of the DXF reference."""


@dataclass(frozen=True, slots=True)
class Record:
    """A record that cannot be read: its type and handle, and the line and value at fault.

    ``in_block`` is whether it stands in the definition of a block.
    """

    kind: str
    handle: str
    line: int
    value: str
    in_block: bool = False


class _Tag(NamedTuple):
    """A pair as the library asks for it; its own class takes twice as long to make and to read."""

    code: int
    value: str


@dataclass(frozen=True, slots=True)
class Pairs:
    """The codes and values of a file, each pair once; a pair too few at the end is no pair."""

    codes: Sequence[str]
    values: Sequence[str]

    def seen(self) -> tuple[dict[str, int], Counter[str]]:
        """The line on which each handle stands, and how many entities of each type are listed.

        Entities of blocks are not among these.
        """
        is_handle = list(map(_HANDLE.__contains__, self.codes))
        handles = compress(self.values, is_handle)
        lines = dict(zip(handles, compress(count(2, 2), is_handle), strict=True))
        is_start = list(map(_ZERO.__contains__, self.codes))
        named = list(map(str.strip, compress(self.values, is_start)))
        first = sum(is_start[: self._entities()])
        last = named.index("ENDSEC", first) if "ENDSEC" in named[first:] else len(named)
        found = Counter(named[first + 1 : last])
        return lines, Counter({kind: n for kind, n in found.items() if kind not in _PARTS})

    def tags(self) -> Iterator[Any]:
        """The pairs as the library takes them, without comments.

        Raises:
            ValueError: for a code that is no whole number.
        """
        known = {code: int(code) for code in set(self.codes)}
        pairs = zip(map(known.__getitem__, self.codes), self.values, strict=True)
        tags = map(partial(tuple.__new__, _Tag), pairs)
        return (tag for tag in tags if tag.code != _COMMENT) if _COMMENT in known.values() else tags

    def _entities(self) -> int:
        """Where the section of the entities begins; behind all where there is none."""
        places = (at for at, value in enumerate(self.values) if value == "ENTITIES")
        return next((at - 1 for at in places if self.values[at - 1] == "SECTION"), len(self.values))


def pairs_of(text: str) -> Pairs:
    """A text in pairs of lines."""
    lines = text.split("\n")
    values = lines[1::2]
    return Pairs(lines[: 2 * len(values) : 2], values)


def without_broken(text: str) -> tuple[str, list[Record]]:
    """The text without the entities that hold a number that is none, and those left out.

    A polyline goes with its corners and an insertion with its attributes.
    """
    lines = text.split("\n")
    kept: list[str] = []
    broken: list[Record] = []
    section, last = "", 0
    for first, last in _wholes(lines):
        kind = lines[first + 1].strip()
        if kind == "SECTION":
            section = lines[first + 3].strip() if first + 3 < len(lines) else ""
        fault = _fault(lines, first, last) if section in _IN_SECTIONS else None
        if fault is None:
            kept += lines[first:last]
        else:
            handle, in_block = _handle(lines, first, last), section == "BLOCKS"
            broken.append(Record(kind[:40], handle, fault + 1, lines[fault], in_block))
    return "\n".join([*kept, *lines[last:]]), broken


def _wholes(lines: Sequence[str]) -> Iterator[tuple[int, int]]:
    """Where each record begins and ends, with those that belong to it."""
    first = 0
    for at in range(2, len(lines) - 1, 2):
        if lines[at].strip() == "0" and lines[at + 1].strip() not in _PARTS:
            yield first, at
            first = at
    yield first, len(lines) - len(lines) % 2


def _fault(lines: Sequence[str], first: int, last: int) -> int | None:
    """The line of the first value that is no number where one belongs."""
    for at in range(first, last - 1, 2):
        code = lines[at].strip()
        read = float if code in _FLOATS else int if code in _WHOLES else None
        try:
            if read is not None:
                read(lines[at + 1])
        except ValueError:
            # Whole numbers are written as 1.0 by some programs; that is no fault.
            if read is float or not _is_whole(lines[at + 1]):
                return at + 1
    return None


def _is_whole(text: str) -> bool:
    try:
        return float(text).is_integer()
    except ValueError:
        return False


def _handle(lines: Sequence[str], first: int, last: int) -> str:
    codes = range(first, last - 1, 2)
    return next((lines[at + 1].strip()[:16] for at in codes if lines[at].strip() == "5"), "")
