"""What became of everything in a file: each line, entity, row or cell ends once, and all add up.

A reader *meets* an item before it knows what it is, and later *ends* it as

counted   it is in the parts: a feature, an outline, a figure of the header
merged    it says again what another item says, which is counted
told      it is not used, and somebody is told so
blank     it holds nothing that could be counted: an empty line, a heading, a comment

``closed`` refuses a file of which an item is left over, or whose features are not those of its
items. An item that ends twice is refused at once: these are faults of the program, not of the file.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

from crib.acts import Fact
from crib.errors import ReadingFault

Ending = Literal["counted", "merged", "told", "blank"]
ENDINGS: tuple[Ending, ...] = ("counted", "merged", "told", "blank")
ItemKind = Literal["line", "cut", "word", "entity", "row", "cell", "sheet", "part", "file"]
_WAY_OUT = "count this part by hand, and show the file to whoever looks after the program"


class ReadItem(NamedTuple):
    """One item and how it ended: ``why`` says with what it was merged, or why it is not used.

    ``line`` is 0 where it stands on none. ``features`` is how many features of the parts it gives.
    """

    kind: ItemKind
    line: int
    name: str
    ending: Ending
    why: Fact | None = None
    features: int = 0

    def as_json(self) -> dict[str, Any]:
        """The item for programs."""
        figures = {"code": self.why.code, **dict(self.why.figures)} if self.why else None
        place = {"kind": self.kind, "line": self.line, "name": self.name}
        return {**place, "ended": self.ending, "features": self.features, "why": figures}


@dataclass(frozen=True, slots=True)
class FileAccount:
    """A file with all its items, each of them ended."""

    file: str
    items: tuple[ReadItem, ...]

    def ended(self, ending: Ending) -> tuple[ReadItem, ...]:
        """The items that ended so, in the order of the file."""
        return tuple(item for item in self.items if item.ending == ending)

    def sums(self) -> dict[str, int]:
        """How many items there are, and how many of them ended how."""
        found = dict.fromkeys(("met", *ENDINGS), 0)
        found["met"] = len(self.items)
        for item in self.items:
            found[item.ending] += 1
        return found

    def as_json(self) -> dict[str, Any]:
        """The account for programs."""
        items = [item.as_json() for item in self.items]
        return {"file": self.file, **self.sums(), "items": items}


@dataclass(slots=True)
class _Met:
    kind: ItemKind
    line: int
    name: str
    ending: Ending | None = None
    why: Fact | None = None
    features: int = 0


@dataclass(slots=True)
class ReadingLedger:
    """The items of a file while it is read, each under a key that its reader chooses."""

    file: str
    _met: dict[Hashable, _Met] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self._met)

    def meet(self, key: Hashable, kind: ItemKind, line: int = 0, name: str = "") -> None:
        """Take up an item that is there, before anything is known of it.

        Raises:
            ReadingFault: for a key that is taken.
        """
        if key in self._met:
            raise self._fault(self._met[key], "was met twice")
        self._met[key] = _Met(kind, line, name)

    def count(self, key: Hashable, features: int = 0) -> None:
        """It is in the parts, and gives so many of their features."""
        self._end(key, "counted").features = features

    def merge(self, key: Hashable, why: Fact) -> None:
        """It says again what another says; ``why`` names that one."""
        self._end(key, "merged").why = why

    def tell(self, key: Hashable, why: Fact) -> None:
        """It is not used, and a person is told why."""
        self._end(key, "told").why = why

    def blank(self, key: Hashable) -> None:
        """There is nothing in it that could be counted."""
        self._end(key, "blank")

    def is_open(self, key: Hashable) -> bool:
        """Whether it has not ended yet."""
        return self._met[key].ending is None

    def count_rest(self, features: int) -> None:
        """All that has not ended is in the parts; for a reader that does not know which gives what.

        The features are put down to the first of them.
        """
        for number, key in enumerate([key for key in self._met if self.is_open(key)]):
            self.count(key, features=0 if number else features)

    def balanced(self, features: int) -> bool:
        """Whether every item has ended, and those counted give as many features as the parts."""
        items = self._met.values()
        given = sum(item.features for item in items if item.ending == "counted")
        return given == features and all(item.ending for item in items)

    def closed(self, features: int) -> FileAccount:
        """The account of the file, when its sums agree.

        Args:
            features: How many features all the parts that were read have, one piece of each.

        Raises:
            ReadingFault: for an item that has not ended, or when the features are not those of the
                items.
        """
        if not self.balanced(features):
            for item in self._met.values():
                if not item.ending:
                    raise self._fault(item, "was met and neither counted, merged nor told")
            given = sum(item.features for item in self._met.values())
            message = f"{self.file}: its items give {given} features, its parts have {features};"
            message = f"{message} nothing of it is taken"
            raise ReadingFault(message, way_out=_WAY_OUT)
        items = [
            ReadItem(one.kind, one.line, one.name, one.ending, one.why, one.features)
            for one in self._met.values()
            if one.ending
        ]
        return FileAccount(self.file, tuple(items))

    def _end(self, key: Hashable, ending: Ending) -> _Met:
        item = self._met[key]
        if item.ending:
            raise self._fault(item, f"was {item.ending} and then {ending}")
        item.ending = ending
        return item

    def _fault(self, item: _Met, what: str) -> ReadingFault:
        at = f" of line {item.line}" if item.line else ""
        named = " ".join(filter(None, (item.kind, item.name[:40])))
        message = f"{self.file}: {named}{at} {what}; nothing of the file is taken"
        return ReadingFault(message, way_out=_WAY_OUT)
