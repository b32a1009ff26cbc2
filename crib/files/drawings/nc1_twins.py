"""Openings that a part's lines give twice: one wall listed in two views, or a line said again.

View v and view h look at one wall from its two sides where a profile has but one: the same opening
at the same x and y in both is one. The two walls of a rectangular tube are two, and so may be what
an angle or a special shape shows in them: there it is asked back.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Hashable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from crib.acts import act, fact, saying
from crib.errors import AskBack
from crib.files.drawings.contour_sides import SAME_MM
from crib.files.drawings.nc1_blocks import Remarks
from crib.files.drawings.nc1_header import PROFILES
from crib.files.drawings.parts import Contour, PartFeature

_ONE_WALL = ("B", "I", "U", "C", "T")
_PERHAPS_ONE_WALL = ("L", "SO")
_CELLS_A_MM = 4
_Pair = tuple[str, str, bool]
"""Two views, and whether what both show was merged."""
_Cell = tuple[str | int, ...]
"""A wall, a feature, and its figures in steps of a quarter millimetre."""


@dataclass(frozen=True, slots=True)
class FoundFeature:
    """A feature and its items in the ledger; the first of them is what gives it.

    ``reference`` is the letter that says from which edge y is measured, if anybody heeds it.
    """

    feature: PartFeature
    line: int
    keys: tuple[Hashable, ...]
    reference: str = ""


@dataclass(slots=True)
class _Kept:
    """What is kept so far, by where it is; and how many were found again, from face to face."""

    profile: str
    found: list[FoundFeature] = field(default_factory=list)
    near: dict[_Cell, list[int]] = field(default_factory=dict)
    again: Counter[_Pair] = field(default_factory=Counter)
    lines: dict[_Pair, int] = field(default_factory=dict)

    def twin(self, one: FoundFeature) -> int | None:
        """The number of one kept that is the same opening, or else of one that may be."""
        twins = list(self._twins(one.feature))
        return next((n for n in twins if self.is_sure(self.found[n], one)), next(iter(twins), None))

    def is_sure(self, kept: FoundFeature, one: FoundFeature) -> bool:
        """Whether two at the same place must be one: one wall, y from the same edge."""
        same_wall = kept.feature.face == one.feature.face or self.profile in _ONE_WALL
        return same_wall and (kept.reference or "u") == (one.reference or "u")

    def _twins(self, one: PartFeature) -> Iterator[int]:
        wall, figures = self._wall(one.face), _figures(one)
        for cell in product(*(_cells_around(figure) for figure in figures)):
            for number in self.near.get((wall, one.feature, *cell), ()):
                if _same(self.found[number].feature, one):
                    yield number

    def keep(self, one: FoundFeature) -> None:
        wall, figures = self._wall(one.feature.face), _figures(one.feature)
        cell: _Cell = (wall, one.feature.feature, *map(_cell, figures))
        self.near.setdefault(cell, []).append(len(self.found))
        self.found.append(one)

    def remark(self, one: FoundFeature, other: FoundFeature, *, merged: bool) -> None:
        pair = (one.feature.face, other.feature.face, merged)
        self.again[pair] += 1
        self.lines.setdefault(pair, one.line)

    def _wall(self, face: str) -> str:
        return "v" if face == "h" and self.profile in _ONE_WALL + _PERHAPS_ONE_WALL else face


def once_each(
    found: Sequence[FoundFeature], profile: str, remarks: Remarks, taken: Collection[str]
) -> tuple[list[PartFeature], set[int]]:
    """Every opening once, in the order of the file; each item of the ledger ends here.

    What may be one or two is one where ``once`` is taken, two where ``each`` is; else it is asked.

    Returns the features, and the lines of those that were merged.
    """
    kept = _Kept(profile)
    merged: set[int] = set()
    for one in found:
        number = kept.twin(one)
        is_one = number is not None and ("once" in taken or kept.is_sure(kept.found[number], one))
        if number is None or not is_one:
            if number is not None:
                kept.remark(one, kept.found[number], merged=False)
            kept.keep(one)
            _count(one, remarks)
            continue
        other = kept.found[number]
        merged.add(one.line)
        kept.remark(one, other, merged=True)
        kept.found[number] = _with_finish(other, one)
        for key in one.keys:
            remarks.ledger.merge(key, fact("read.same-opening", line=other.line))
    _say(kept, remarks, taken)
    return [one.feature for one in kept.found], merged


def contours_once(
    contours: Sequence[Contour], merged: Collection[int], profile: str
) -> list[Contour]:
    """The contours without those of merged openings, and without an outline seen from behind."""
    made: list[Contour] = []
    for contour in contours:
        behind = contour.face == "h" and profile in _ONE_WALL and contour.kind == "outer"
        if contour.kind == "inner" and contour.line in merged:
            continue
        if behind and any(one.face == "v" and one.points == contour.points for one in made):
            continue
        made.append(contour)
    return made


def _count(one: FoundFeature, remarks: Remarks) -> None:
    for number, key in enumerate(one.keys):
        remarks.ledger.count(key, features=0 if number else 1)


def _with_finish(kept: FoundFeature, twin: FoundFeature) -> FoundFeature:
    """What only the twin says of the opening is not lost with it."""
    own, other = kept.feature, twin.feature
    radius_mm = max(own.corner_radius_mm, other.corner_radius_mm)
    sink_mm = other.countersink_mm if own.countersink_mm is None else own.countersink_mm
    finished = own._replace(note=own.note or other.note, corner_radius_mm=radius_mm)
    finished = finished._replace(countersink_mm=sink_mm)
    return kept if finished == own else replace(kept, feature=finished)


def _say(kept: _Kept, remarks: Remarks, taken: Collection[str]) -> None:
    for pair, count in kept.again.items():
        face, other, merged = pair
        text = f"{count} opening{'' if count == 1 else 's'}"
        if face == other:
            text = f"{text} listed again at the same place"
        else:
            text = f"{text} of view {face} at the same places as in view {other}"
        why = "y from another edge" if face == other else PROFILES[kept.profile]
        if merged:
            remarks.note(kept.lines[pair], f"{text}: counted once")
        elif "each" in taken:
            remarks.note(kept.lines[pair], f"{text} ({why}): counted again, as told")
        else:
            remarks.asked = _ask(f"{remarks.file} line {kept.lines[pair]}: {text} ({why})")


def _ask(text: str) -> AskBack:
    once, each = act("say.take", take="once"), act("say.take", take="each")
    way_out = saying("say ", once, " when they are one, ", each, " when both are cut")
    return AskBack(f"{text}: one opening or two?", choose="take", way_out=way_out)


def _same(one: PartFeature, two: PartFeature) -> bool:
    """Whether two are one opening: alike, at one place; a blind one has a face."""
    if (one.feature, one.shape, one.through) != (two.feature, two.shape, two.through):
        return False
    if not one.through and one.face != two.face:
        return False
    figures = zip(_figures(one), _figures(two), strict=True)
    return all(abs(a - b) <= SAME_MM for a, b in figures)


def _figures(one: PartFeature) -> tuple[float, ...]:
    """What two must have alike: place, sizes, and the angle of what has one, 0.05 of a degree."""
    return (
        one.x_mm,
        one.y_mm,
        one.size_mm,
        one.long_mm or 0.0,
        one.depth_mm or 0.0,
        one.angle_deg,
    )


def _cell(figure: float) -> int:
    return round(figure * _CELLS_A_MM)


def _cells_around(figure: float) -> set[int]:
    return {_cell(figure - SAME_MM), _cell(figure + SAME_MM)}
