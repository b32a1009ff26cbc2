"""A part as a picture for a person to accept: its faces, what is cut into each, and the counts.

Every size has a letter, and the notes say what it is and how many there are. What no one punch
makes is drawn as cut away, and a contour that does not close as hidden.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import copysign, isfinite

from crib import units
from crib.errors import CribError
from crib.features.common.picture import Circle, Dimension, Label, Line, Picture, Shape
from crib.features.common.rounding import rounded_ring
from crib.files.drawings.nc1_header import FACES, PROFILES
from crib.files.drawings.part_faces import Face, faces_of, odd_openings, region_of, section_of
from crib.files.drawings.parts import Part, PartFeature
from crib.trade.metal.opening_gaps import Region
from crib.trade.metal.part_legs import legs_of
from crib.units import System

MOST_LABELS = 60
MOST_DRAWN = 1_500
_ORDER = ("h", "u", "v", "o")
"""Views from below to above: from on top, in front, from underneath, from behind."""
_ROUND_POINTS = 18
_GAP = 0.25
_LEAST_GAP_MM = 12.0
_SIZE_ROOM = 2.5
"""Times how far a size stands off: as far again and half of that for its text."""


@dataclass(frozen=True, slots=True)
class _View:
    """One face of the part and its place in the picture."""

    name: str
    face: Face
    features: tuple[PartFeature, ...]
    odd: tuple[Region, ...]
    left: float
    low: float
    right: float
    top: float


def part_picture(
    part: Part, phrases: Sequence[str], system: System, notes: Sequence[str] = ()
) -> Picture | None:
    """The picture of a part; None for one without any place, as those of a list.

    Args:
        part: The part as it was read.
        phrases: What each of its features is, in their order; equal ones have one letter.
        system: Whether sizes are written in inches or millimetres.
        notes: What a person should know besides.
    """
    views = _views(part)
    if not views:
        return None
    named = dict.fromkeys(phrases)
    letters = {phrase: _letter(number) for number, phrase in enumerate(named)}
    of = {id(one): letters[phrase] for one, phrase in zip(part.features, phrases, strict=True)}
    shapes: list[Shape] = []
    low_mm = 0.0
    for view in views:
        up_mm = low_mm - view.low
        shapes += [_moved(shape, up_mm) for shape in _drawn(part, view, of, system)]
        low_mm += view.top - view.low + _gap_mm(views)
    told = (*_legend(part, phrases, letters), *_unseen(views), *notes)
    return Picture(_title(part, system), tuple(shapes), told)


def _views(part: Part) -> list[_View]:
    faces, odd = faces_of(part), odd_openings(part)
    made = []
    for name in _ORDER:
        face = faces.get(name)
        if face is None:
            continue
        on_face = tuple(feature for feature in part.features if feature.face == name)
        others = tuple(odd.get(name, ()))
        points = [*face.corners, *_reached(on_face, others)]
        if points:
            xs, ys = [point.real for point in points], [point.imag for point in points]
            box = (min(xs), min(ys), max(xs), max(ys))
            made.append(_View(name, face, on_face, others, *box))
    return made


def _reached(features: Sequence[PartFeature], odd: Sequence[Region]) -> Iterator[complex]:
    """Points as far out as openings reach, so that what is outside the part is in the picture."""
    regions = [region_of(feature) for feature in features]
    for region in (*regions, *odd):
        for point in region.core if region else ():
            out = complex(region.radius_mm, region.radius_mm) if region else 0j
            yield from (point - out, point + out)


def _gap_mm(views: Sequence[_View]) -> float:
    """Room between two views: for the size below the upper one, its text and some air."""
    high_mm = max(view.top - view.low for view in views)
    sizes_mm = _SIZE_ROOM * max(_size_off_mm(view) for view in views)
    return max(_GAP * high_mm, sizes_mm, _LEAST_GAP_MM)


def _size_off_mm(view: _View) -> float:
    """How far from a view its sizes stand."""
    return 0.04 * max(view.right - view.left, view.top - view.low)


def _drawn(part: Part, view: _View, letters: dict[int, str], system: System) -> Iterator[Shape]:
    """A view in the face's own places: outline, roots, openings, letters and its two sizes."""
    if view.face.corners:
        yield Line(_points(view.face.corners), "outline", closed=True)
    yield from _unclosed(part, view)
    yield from _roots(part, view)
    for region in view.odd[:MOST_DRAWN]:
        yield Line(_points(region.core), "cut", closed=True)
    shown = view.features[:MOST_DRAWN]
    for one in shown:
        yield from _opening(one)
    yield from _labels(view, shown, letters)
    if part.profile != "B":
        off_mm = 0.02 * (view.right - view.left)
        told = f"{view.name}: {FACES[view.name]}"
        yield Label(view.right + off_mm, (view.low + view.top) / 2, told, "start")
    yield from _sizes(view, system)


def _unclosed(part: Part, view: _View) -> Iterator[Shape]:
    for contour in part.contours:
        if contour.face == view.name and not contour.closed:
            yield Line(tuple((p.x_mm, p.y_mm) for p in contour.points), "hidden")


def _roots(part: Part, view: _View) -> Iterator[Shape]:
    """Where legs that stand up begin, with the letter's certainty."""
    try:
        legs = legs_of(section_of(part), view.name)
    except CribError:
        return
    for leg in legs:
        for y_mm in (leg.low_mm, leg.high_mm):
            if leg.certain and isfinite(y_mm):
                yield Line(((view.left, y_mm), (view.right, y_mm)), "hidden")


def _opening(one: PartFeature) -> Iterator[Shape]:
    region = region_of(one)
    if region is None:
        return
    if len(region.core) == 1:
        yield Circle(one.x_mm, one.y_mm, region.radius_mm, "outline")
        if one.countersink_mm:
            yield Circle(one.x_mm, one.y_mm, one.countersink_mm / 2, "outline")
    elif region.radius_mm:
        yield Line(_points(_stadium(region)), "outline", closed=True)
    elif one.corner_radius_mm:
        rounded = rounded_ring(_points(region.core), one.corner_radius_mm)
        yield Line(rounded, "outline", closed=True)
    else:
        yield Line(_points(region.core), "outline", closed=True)


def _stadium(region: Region) -> list[complex]:
    """The rim of a slot: two half circles round the ends of its core."""
    first, last = region.core
    along = (last - first) / abs(last - first) if last != first else 1 + 0j
    half = [-1j * along * 1j ** (2 * step / _ROUND_POINTS) for step in range(_ROUND_POINTS + 1)]
    round_last = [last + region.radius_mm * away for away in half]
    return [*round_last, *(first - region.radius_mm * away for away in half)]


def _labels(
    view: _View, features: Sequence[PartFeature], letters: dict[int, str]
) -> Iterator[Shape]:
    """A letter beside each opening; beside the first of each size where there are very many."""
    told: set[str] = set()
    for feature in features:
        letter = letters[id(feature)]
        if len(features) > MOST_LABELS and letter in told:
            continue
        told.add(letter)
        if feature.shape == "round":
            out_mm = 0.375 * feature.size_mm
            yield Label(feature.x_mm + out_mm, feature.y_mm + out_mm, letter, "start")
        else:
            at = _middle(feature, view)
            yield Label(at.real, at.imag, letter)


def _middle(one: PartFeature, view: _View) -> complex:
    """The middle of an opening, or of the corner that is gone."""
    at = complex(one.x_mm, one.y_mm)
    if one.feature != "corner":
        return at
    inwards = complex((view.left + view.right) / 2, (view.low + view.top) / 2) - at
    along_mm, up_mm = one.size_mm / 2, (one.depth_mm or 0.0) / 2
    return at + complex(copysign(along_mm, inwards.real), copysign(up_mm, inwards.imag))


def _sizes(view: _View, system: System) -> Iterator[Shape]:
    """How long and how high the face is, below it and at its left."""
    if not view.face.corners:
        return
    # The face's own, not those of an opening that lies outside of it.
    xs, ys = zip(*_points(view.face.corners), strict=True)
    left, low, right, top = min(xs), min(ys), max(xs), max(ys)
    off_mm = _size_off_mm(view)
    long, high = (units.format_length(mm, system, digits=3) for mm in (right - left, top - low))
    yield Dimension(right, low, left, low, off_mm, long)
    yield Dimension(left, low, left, top, off_mm, high)


def _legend(part: Part, phrases: Sequence[str], letters: dict[str, str]) -> Iterator[str]:
    for phrase, count in Counter(phrases).items():
        total = f", {count * part.quantity:,} in all {part.quantity:,} parts"
        yield f"{letters[phrase]}: {count:,} x {phrase}{total if part.quantity > 1 else ''}"


def _unseen(views: Sequence[_View]) -> Iterator[str]:
    """What the picture leaves out, so that nobody takes it for all."""
    drawn, whole = 0, 0
    for view in views:
        whole += len(view.features) + len(view.odd)
        drawn += min(len(view.features), MOST_DRAWN) + min(len(view.odd), MOST_DRAWN)
    if drawn < whole:
        yield f"only {drawn:,} of {whole:,} openings are drawn"
    if any(len(view.features) > MOST_LABELS for view in views):
        yield "only the first of each size has its letter"
    if any(view.face.corners and not view.face.drawn for view in views):
        yield "a face without a contour in the file is drawn as a rectangle of the header's sizes"


def _title(part: Part, system: System) -> str:
    sizes = [part.length_mm, part.height_mm]
    size = " x ".join(units.format_length(mm, system, digits=3) for mm in sizes if mm > 0)
    kind = part.profile_text or PROFILES.get(part.profile, "")
    return ", ".join(filter(None, (part.mark or "part", kind, size)))


def _letter(number: int) -> str:
    """A, B, ... Z, AA, AB ..."""
    first, last = divmod(number, 26)
    return (_letter(first - 1) if first else "") + chr(65 + last)


def _points(corners: Sequence[complex]) -> tuple[tuple[float, float], ...]:
    return tuple((point.real, point.imag) for point in corners)


def _moved(shape: Shape, up_mm: float) -> Shape:
    if isinstance(shape, Line):
        return Line(tuple((x, y + up_mm) for x, y in shape.points), shape.style, shape.closed)
    if isinstance(shape, Circle):
        return Circle(shape.x_mm, shape.y_mm + up_mm, shape.radius_mm, shape.style)
    if isinstance(shape, Label):
        return Label(shape.x_mm, shape.y_mm + up_mm, shape.text, shape.anchor, shape.size_mm)
    first, last = shape.y1_mm + up_mm, shape.y2_mm + up_mm
    return Dimension(shape.x1_mm, first, shape.x2_mm, last, shape.off_mm, shape.text)
