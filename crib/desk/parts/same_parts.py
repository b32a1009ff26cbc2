"""One part in two files: an NC file beside its drawing, or a copy; it would be counted twice.

Two files hold the same part when they give it one mark, or the same openings in the same outline,
wherever and however turned it lies; two lists without marks, when all their lines are the same.
Nobody can tell from that alone whether it is to be made once or twice, so it is asked back.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, get_args

from crib.acts import Saying, act, saying
from crib.errors import AskBack, BadInput, BadValue
from crib.files.drawings.contour_sides import enclosed_mm2
from crib.files.drawings.part_faces import corners_of
from crib.files.drawings.parts import Part, PartFeature

SamePart = Literal["once", "each"]
_SAME_MM = 0.1
_SAME_THICKNESS_MM = 0.05
_SAME_SHARE = 0.005
_MOST_TOLD = 20
_RANKS = {"nc": 0, "dxf": 1, "list": 2}


@dataclass(frozen=True, slots=True)
class FilePart:
    """All that one file says of one part: a list has several lines of it, each read as a part."""

    file: str
    kind: str
    number: int
    parts: tuple[Part, ...]

    @property
    def mark(self) -> str:
        """What the part is called."""
        return self.parts[0].mark

    @property
    def pieces(self) -> int | None:
        """How many pieces of it there are to be; None where a drawing does not say."""
        return None if self.kind == "dxf" else self.parts[0].quantity


def read_same_part(word: str) -> SamePart | None:
    """What was said of parts that stand in two files; None where nothing was.

    Raises:
        BadValue: for another word.
    """
    plain = word.strip().casefold()
    for known in get_args(SamePart):
        if plain == known:
            return "once" if known == "once" else "each"
    if plain:
        message = f"same part {word!r} must be once or each"
        raise BadValue(message, way_out=_ways())
    return None


def parts_to_leave(found: Sequence[FilePart], said: SamePart | None) -> dict[int, FilePart]:
    """The numbers of those that are another's again, and are not counted; with that other.

    Raises:
        AskBack: where a part stands in two files, and nobody said whether it is one.
        BadInput: where it is to be counted once, and the two files do not agree on it.
    """
    if said == "each":
        return {}
    groups = list(_groups(found))
    if groups and said is None:
        raise _asked_back(groups)
    left: dict[int, FilePart] = {}
    for group in groups:
        kept, *others = sorted(group, key=lambda one: (_RANKS[one.kind], one.number))
        for other in others:
            _must_agree(kept, other)
            left[other.number] = kept
    return left


def _asked_back(groups: Sequence[Sequence[FilePart]]) -> AskBack:
    count = len(groups)
    message = f"{count} part{' stands' if count == 1 else 's stand'} in more than one file"
    told = [_told(group) for group in groups]
    return AskBack(message, choose="same-part", told=told, way_out=_ways())


def _ways() -> Saying:
    once, each = act("say.same-part", same_part="once"), act("say.same-part", same_part="each")
    return saying("say ", once, " where they are one part, or ", each, " where they are not")


def _told(group: Sequence[FilePart]) -> str:
    named = [f"{one.mark or 'a part'} in {one.file}{_pieces(one)}" for one in group[:_MOST_TOLD]]
    alike = "one mark" if len({one.mark.casefold() for one in group}) == 1 else "the same openings"
    if alike == "one mark" and not all(_agree(one, two) for one, two in pairwise(group)):
        alike = "one mark, but other openings"
    return f"{', '.join(named)}: {alike}"


def _pieces(one: FilePart) -> str:
    if one.pieces is None:
        return ""
    return f" ({one.pieces} piece{'' if one.pieces == 1 else 's'})"


def _must_agree(kept: FilePart, other: FilePart) -> None:
    pieces = {one.pieces for one in (kept, other) if one.pieces is not None}
    way_out = "leave one of the files out; nothing was counted"
    if len(pieces) > 1:
        counts = f"{kept.pieces} pieces in {kept.file}, {other.pieces} in {other.file}"
        message = f"{kept.mark}: {counts}"
        raise BadInput(message, way_out=way_out)
    if not _agree(kept, other):
        message = f"{kept.mark}: {kept.file} and {other.file} do not have the same openings"
        raise BadInput(message, way_out=way_out)


def _groups(found: Sequence[FilePart]) -> Iterator[list[FilePart]]:
    """Those of several files that are, or may be, one part."""
    leader = list(range(len(found)))

    def first(number: int) -> int:
        while leader[number] != number:
            number = leader[number]
        return number

    places = {one.number: place for place, one in enumerate(found)}
    for one, two in (*_same_marks(found), *_same_shapes(found), *_same_lists(found)):
        a, b = sorted((first(places[one.number]), first(places[two.number])))
        leader[b] = a
    groups: dict[int, list[FilePart]] = {}
    for place, one in enumerate(found):
        groups.setdefault(first(place), []).append(one)
    return (group for group in groups.values() if len(group) > 1)


def _same_marks(found: Sequence[FilePart]) -> Iterator[tuple[FilePart, FilePart]]:
    by_mark: dict[str, list[FilePart]] = {}
    for one in found:
        if one.mark:
            by_mark.setdefault(one.mark.casefold(), []).append(one)
    for alike in by_mark.values():
        yield from ((a, b) for a, b in pairwise(alike) if a.file != b.file)


def _same_shapes(found: Sequence[FilePart]) -> Iterator[tuple[FilePart, FilePart]]:
    """Pairs of two files with the same openings; those that may be stand near in order."""
    looks = [(look, one) for one in found if (look := _look_of(one)) is not None]
    looks.sort(key=lambda pair: (pair[0].kinds, pair[0].sum_mm))
    for place, (look, one) in enumerate(looks):
        for other_look, other in looks[place + 1 :]:
            if not look.may_be(other_look):
                break
            if one.file != other.file and look.same_as(other_look):
                yield one, other


def _same_lists(found: Sequence[FilePart]) -> Iterator[tuple[FilePart, FilePart]]:
    """The lines without a mark of two lists that have all of them the same."""
    files: dict[str, list[FilePart]] = {}
    for one in found:
        if one.kind == "list" and not one.mark:
            files.setdefault(one.file, []).append(one)
    known: dict[tuple[object, ...], list[FilePart]] = {}
    for own in files.values():
        said = tuple((part.quantity, part.features) for one in own for part in one.parts)
        yield from zip(known.setdefault(said, own), own, strict=True)


@dataclass(frozen=True, slots=True)
class _Look:
    """What stays the same of a part wherever it lies and however it is turned, in order."""

    kinds: tuple[str, ...]
    sizes_mm: tuple[float, ...]
    away_mm: tuple[float, ...]
    area_mm2: float
    around_mm: float
    thickness_mm: float | None

    @property
    def sum_mm(self) -> float:
        return sum(self.sizes_mm)

    def may_be(self, other: _Look) -> bool:
        """Whether they are so near in order that they may be the same."""
        off_mm = abs(self.sum_mm - other.sum_mm)
        return self.kinds == other.kinds and off_mm <= _SAME_MM * len(self.sizes_mm)

    def same_as(self, other: _Look) -> bool:
        pairs = zip((*self.sizes_mm, *self.away_mm), (*other.sizes_mm, *other.away_mm), strict=True)
        if any(abs(a - b) > _SAME_MM for a, b in pairs):
            return False
        thick = (self.thickness_mm, other.thickness_mm)
        if None not in thick and abs((thick[0] or 0) - (thick[1] or 0)) > _SAME_THICKNESS_MM:
            return False
        return _near(self.area_mm2, other.area_mm2) and _near(self.around_mm, other.around_mm)


def _near(one: float, two: float) -> bool:
    """Whether two are the same, or one is not known."""
    return not one or not two or abs(one - two) <= _SAME_SHARE * max(one, two)


def _look_of(one: FilePart) -> _Look | None:
    """None for what has no place: the lines of a list, and a part without openings."""
    part = one.parts[0]
    if one.kind == "list" or len(one.parts) > 1 or not part.features:
        return None
    features = part.features
    places = [complex(feature.x_mm, feature.y_mm) for feature in features]
    middle = sum(places) / len(places)
    sizes = [(f.size_mm, f.long_mm or 0.0, f.depth_mm or 0.0, f.corner_radius_mm) for f in features]
    thick = {f.thickness_mm for f in features}
    area_mm2, around_mm = _outline(part)
    return _Look(
        kinds=tuple(sorted(_kind_of(f) for f in features)),
        sizes_mm=tuple(size for column in zip(*sizes, strict=True) for size in sorted(column)),
        away_mm=tuple(sorted(abs(place - middle) for place in places)),
        area_mm2=area_mm2,
        around_mm=around_mm,
        thickness_mm=thick.pop() if len(thick) == 1 else None,
    )


def _kind_of(one: PartFeature) -> str:
    """What it is, and whether it is countersunk: one that only one file says must not be lost."""
    return one.feature if one.countersink_mm is None else f"{one.feature}, countersunk"


def _outline(part: Part) -> tuple[float, float]:
    """Area and way around the front's outline, or the sizes that the part is said to have."""
    for contour in part.contours:
        corners = corners_of(contour) if contour.kind == "outer" and contour.face == "v" else []
        if len(corners) > 2:
            around_mm = sum(abs(b - a) for a, b in pairwise([*corners, corners[0]]))
            return abs(enclosed_mm2(corners)), around_mm
    return part.length_mm * part.height_mm, 2 * (part.length_mm + part.height_mm)


def _agree(one: FilePart, two: FilePart) -> bool:
    """Whether two have the same openings; by their sizes alone where one has no places."""
    looks = (_look_of(one), _look_of(two))
    if looks[0] is not None and looks[1] is not None:
        return looks[0].may_be(looks[1]) and looks[0].same_as(looks[1])
    sizes = [
        sorted((f.feature, f.size_mm, f.long_mm or 0.0) for p in own.parts for f in p.features)
        for own in (one, two)
    ]
    return len(sizes[0]) == len(sizes[1]) and all(
        a[0] == b[0] and max(abs(a[1] - b[1]), abs(a[2] - b[2])) <= _SAME_MM
        for a, b in zip(*sizes, strict=True)
    )
