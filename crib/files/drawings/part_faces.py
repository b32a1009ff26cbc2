"""The faces of a part as plane figures: outline, free edges, and what is cut into each.

Arcs are broken into chords that are nowhere further than 0.005 mm from them.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import acos, ceil, pi
from typing import cast

from crib.files.drawings.contour_sides import MOST_POINTS, SAME_MM, Side, enclosed_mm2, sides_of
from crib.files.drawings.parts import Contour, Part, PartFeature
from crib.trade.metal.opening_gaps import Edge, Region, region_at
from crib.trade.metal.part_legs import FLANGE_FACES, LegFrom, ProfileSection
from crib.trade.metal.shapes import Outline, Shape

_CHORD_OFF_MM = 0.005
_MOST_CHORDS = 360
_CUT_IN = ("hole", "square", "hexagon", "rectangle", "slot", "tapped", "opening")
_SHAPES: dict[str, Shape] = {"special": "rectangle"}
_OPEN_LONG_EDGES = {"B": "vhou", "I": "ou", "T": "vhou", "U": "ou", "C": "ou", "L": "vhou"}
"""On which faces of a profile the two long edges are, or may be, edges and not roots of legs."""


@dataclass(frozen=True, slots=True)
class Face:
    """One face: its corners in order, the edges where metal ends, and how wide it is.

    ``drawn`` is false where no contour was given and the corners are the header's rectangle; there
    are none where the file gives no outline at all.
    """

    name: str
    corners: tuple[complex, ...]
    free: tuple[Edge, ...]
    across_mm: float
    drawn: bool


def faces_of(part: Part) -> dict[str, Face]:
    """The faces that have a contour or anything cut into them, by their letters; else the front."""
    outer: dict[str, list[complex]] = {}
    for contour in part.contours:
        if contour.kind == "outer":
            corners = corners_of(contour)
            if (
                abs(enclosed_mm2(corners))
                > abs(enclosed_mm2(outer.get(contour.face, [0j]))) + SAME_MM
            ):
                outer[contour.face] = corners
    names = dict.fromkeys([*outer, *(feature.face for feature in part.features)] or ["v"])
    made = (_face(part, name, outer.get(name)) for name in names)
    return {face.name: face for face in made if face is not None}


def section_of(part: Part, leg_from: LegFrom = "unknown") -> ProfileSection:
    """The section of the part's profile, and what the shop says of its legs."""
    return ProfileSection(
        part.profile,
        part.height_mm,
        part.flange_width_mm,
        part.flange_thickness_mm,
        part.web_thickness_mm,
        part.radius_mm,
        leg_from,
    )


def _face(part: Part, name: str, corners: Sequence[complex] | None) -> Face | None:
    flange = name in FLANGE_FACES and part.profile != "B"
    across_mm = part.flange_width_mm if flange else part.height_mm
    if part.profile in ("RO", "RU"):
        across_mm = pi * part.height_mm  # a round face is drawn unrolled
    drawn = corners is not None
    if corners is None:
        if min(part.length_mm, across_mm) <= 0:
            # What a list asks for has no place on any face.
            placed = any(feature.face == name and not feature.asked for feature in part.features)
            return Face(name, (), (), 0.0, False) if placed else None
        long_mm = part.length_mm
        corners = [0j, complex(long_mm), complex(long_mm, across_mm), complex(0, across_mm)]
    edges = pairwise((*corners, corners[0]))
    ends = name in _OPEN_LONG_EDGES.get(part.profile, "")
    free = tuple(edge for edge in edges if ends or not _is_long(edge, across_mm))
    return Face(name, tuple(corners), free, across_mm, drawn)


def _is_long(edge: Edge, across_mm: float) -> bool:
    """Whether it runs along one of the two long edges of the face."""
    return any(all(abs(end.imag - y_mm) <= SAME_MM for end in edge) for y_mm in (0.0, across_mm))


def corners_of(contour: Contour) -> list[complex]:
    """The corners of a closed contour, arcs as chords; none of one that encloses nothing."""
    if not contour.closed or len(contour.points) > MOST_POINTS:
        return []
    return [point for side in sides_of(contour) for point in _chords(side)]


def _chords(side: Side) -> Iterable[complex]:
    """Where a side starts, and the points on the way to its end."""
    if not side.radius_mm:
        return (side.start,)
    radius_mm = abs(side.radius_mm)
    each = 2 * acos(max(1 - _CHORD_OFF_MM / radius_mm, 0.0))
    count = min(max(ceil(abs(side.sweep) / each), 1), _MOST_CHORDS)
    centre, away = side.centre, side.start - side.centre
    return [centre + away * rect(1.0, side.sweep * n / count) for n in range(count)]


def outline_of(feature: PartFeature) -> Outline | None:
    """What is cut, as an outline; None for what is cut into an edge."""
    if feature.feature not in _CUT_IN:
        return None
    shape = _SHAPES.get(feature.shape, cast(Shape, feature.shape))
    return Outline(shape, feature.size_mm, feature.long_mm or feature.size_mm)


def region_of(feature: PartFeature) -> Region | None:
    """Where an opening is; None for what is cut into an edge."""
    outline = outline_of(feature)
    if outline is None:
        return None
    return region_at(outline, complex(feature.x_mm, feature.y_mm), feature.angle_deg)


def odd_openings(part: Part) -> dict[str, list[Region]]:
    """The openings of each face that are no feature, as no one punch makes them."""
    known = {(feature.face, round(feature.x_mm), round(feature.y_mm)) for feature in part.features}
    found: dict[str, list[Region]] = {}
    for contour in part.contours:
        if contour.kind != "inner" or not contour.closed:
            continue
        xs, ys = [p.x_mm for p in contour.points], [p.y_mm for p in contour.points]
        middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        if not _is_known(contour.face, middle, known):
            corners = corners_of(contour)
            if len(corners) > 2:
                found.setdefault(contour.face, []).append(Region(tuple(corners)))
    return found


def _is_known(face: str, middle: tuple[float, float], known: set[tuple[str, int, int]]) -> bool:
    """Whether a feature stands there; rounding up or down makes no difference."""
    x, y = middle
    near = {(round(x + dx), round(y + dy)) for dx in (-0.1, 0.1) for dy in (-0.1, 0.1)}
    return any((face, *place) in known for place in near)
