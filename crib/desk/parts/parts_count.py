"""What reading part files gives: parts, their count by size, and what became of every file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from crib.acts import Said
from crib.desk.parts.shown_phrase import shown_phrase
from crib.desk.parts.what_to_look_at import PartFinding
from crib.errors import RowFault
from crib.files.common.reading_ledger import ENDINGS, FileAccount
from crib.files.drawings.parts import Part, PartsRead
from crib.units import System


@dataclass(frozen=True, slots=True)
class SizeLine:
    """One feature and size of a part: how many in each, how many parts, how many in all."""

    mark: str
    phrase: str
    each: int
    parts: int

    @property
    def total(self) -> int:
        """How many there are to make."""
        return self.each * self.parts

    def as_json(self) -> dict[str, Any]:
        """The line for programs."""
        figures = {"each": self.each, "parts": self.parts, "total": self.total}
        return {"mark": self.mark, "phrase": self.phrase, **figures}


@dataclass(frozen=True, slots=True)
class FileNotRead:
    """A file of several that cannot be read, and its own error."""

    file: str
    code: str
    message: str
    way_out: Said = ""
    faults: tuple[RowFault, ...] = ()


@dataclass(frozen=True, slots=True)
class PartsCount:
    """What was read, and its count by size.

    The last account of ``read`` is of the files and parts themselves: which of them are counted.
    """

    read: PartsRead
    lines: tuple[SizeLine, ...]
    shown: System
    findings: tuple[PartFinding, ...] = ()
    to_look_at: tuple[str, ...] = ()
    drawing: str = ""
    not_read: tuple[FileNotRead, ...] = ()

    @property
    def total(self) -> int:
        """How many features there are to make, on all pieces."""
        return sum(line.total for line in self.lines)

    @property
    def part_count(self) -> int:
        """How many parts were read; the lines of a list with one mark are one."""
        return len({part.mark or number for number, part in enumerate(self.read.parts)})

    def as_json(self) -> dict[str, Any]:
        """What was read, for programs, and what its drawing gives to look at."""
        return {
            **self.read.as_json(),
            "parts": [_part_json(part, self.shown) for part in self.read.parts],
            "lines": [line.as_json() for line in self.lines],
            "total": self.total,
            "parts_read": self.part_count,
            "ledger": ledger_json(self.read.accounts),
            "not_read": list(self.not_read),
            "findings": [finding.as_json() for finding in self.findings],
            "drawing": self.drawing or None,
        }


def ledger_json(accounts: Iterable[FileAccount]) -> dict[str, Any]:
    """The sums of all accounts, and each of them."""
    every = list(accounts)
    return {**ledger_sums(every), "files": [account.as_json() for account in every]}


def ledger_sums(accounts: Iterable[FileAccount]) -> dict[str, int]:
    """How many items all accounts have, and how many of them ended how."""
    found = dict.fromkeys(("met", *ENDINGS), 0)
    for account in accounts:
        for name, count in account.sums().items():
            found[name] += count
    return found


def size_lines(parts: Sequence[Part], system: System) -> tuple[SizeLine, ...]:
    """The count of each part, in the order of the parts; equal lines are added up."""
    found: dict[tuple[str, str, int], int] = {}
    phrases: dict[tuple[int, str], str] = {}
    for part in parts:
        # A line of a list has one feature many times over, and many lines may have the same.
        for number, run in groupby(part.features, key=id):
            alike = list(run)
            phrase = phrases.get((number, part.material))
            if phrase is None:
                phrase = shown_phrase(alike[0], part.material, system)
                phrases[number, part.material] = phrase
            line = (part.mark, phrase, part.quantity)
            found[line] = found.get(line, 0) + len(alike)
    return tuple(SizeLine(mark, phrase, n, pieces) for (mark, phrase, pieces), n in found.items())


def _part_json(part: Part, system: System) -> dict[str, Any]:
    features = [
        {**feature.as_json(), "phrase": shown_phrase(feature, part.material, system)}
        for feature in part.features
    ]
    return {**part.as_json(), "features": features}
