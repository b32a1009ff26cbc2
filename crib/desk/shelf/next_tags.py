"""The tags that are stamped next: they go on as the shop's own do."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from crib.stock.engine.session import Session
from crib.stock.queries.pieces import tags_with_roles

LETTERS = {"punch": "P", "die": "D", "blade": "B", "stripper": "S", "set": "N"}
"""What a tag begins with in a shop that has none to go by; T for any other role."""

_TAG = re.compile(r"(.*?)(\d{1,18})")
_ONE_LETTER = re.compile(r"[A-Z]([._/+-]?)")
_SIGNS = re.compile(r"[._/+-]")


@dataclass(frozen=True, slots=True)
class _Series:
    """How tags are written: what stands before the number, and its least count of figures."""

    before: str
    figures: int

    def tag(self, number: int) -> str:
        return f"{self.before}{number:0{self.figures}d}"


class NextTags:
    """The next tags of each role, after those that some pieces have and those that were given."""

    def __init__(self, pieces: Iterable[tuple[str, str]]) -> None:
        """Tags with the roles of their pieces, the oldest first; pieces that are gone too."""
        self._pieces = list(pieces)
        self._taken = {tag for tag, _role in self._pieces}
        self._highest: dict[str, int] = {}
        for tag in self._taken:
            self._note(tag)

    def take(self, role: str, count: int) -> list[str]:
        """So many tags for pieces of a role, none of which was ever used."""
        series = self._series(role)
        given = []
        for _ in range(count):
            tag = series.tag(self._highest.get(_bare(series.before), 0) + 1)
            while tag in self._taken:
                self._note(tag)
                tag = series.tag(self._highest[_bare(series.before)] + 1)
            self._taken.add(tag)
            self._note(tag)
            given.append(tag)
        return given

    def _note(self, tag: str) -> None:
        """``P-155`` and ``P155`` are typed alike, so they count together."""
        if found := _TAG.fullmatch(tag):
            before = _bare(found[1])
            self._highest[before] = max(self._highest.get(before, 0), int(found[2]))

    def _series(self, role: str) -> _Series:
        """The role's own series, else the one that the crib's roles share, else a new letter."""
        own = _most_used(tag for tag, of in self._pieces if of == role)
        if own is not None:
            return own
        every = _most_used(tag for tag, _of in self._pieces)
        letter = LETTERS.get(role, "T")
        if every is None:
            return _Series(f"{letter}-", 4)
        if len({of for tag, of in self._pieces if _before(tag) == every.before}) > 1:
            return every
        one_letter = _ONE_LETTER.fullmatch(every.before)
        return _Series(f"{letter}{one_letter[1]}" if one_letter else f"{letter}-", every.figures)


def next_tags(session: Session, coming: Iterable[tuple[str, str]] = ()) -> NextTags:
    """The next tags of a crib, after those that are on their way into it."""
    return NextTags([*tags_with_roles(session), *coming])


def _bare(before: str) -> str:
    return _SIGNS.sub("", before)


def _before(tag: str) -> str | None:
    found = _TAG.fullmatch(tag)
    return found[1] if found else None


def _most_used(tags: Iterable[str]) -> _Series | None:
    """The series of most of some tags, of equal ones the newest; None where no tag ends in figures.

    Figures are filled up with zeros where a tag of the series has one in front.
    """
    split = [(found[1], found[2]) for tag in tags if (found := _TAG.fullmatch(tag))]
    counts = Counter(before for before, _number in split)
    if not counts:
        return None
    before = max(reversed([one for one, _number in split]), key=counts.__getitem__)
    numbers = [number for one, number in split if one == before]
    padded = [len(number) for number in numbers if number.startswith("0")]
    return _Series(before, max(padded, default=1))
