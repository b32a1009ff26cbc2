"""One entity of a drawing to a circle or to lines and arcs, in mm, or to why it cannot be read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from crib.files.drawings.contour_sides import Side

_CHORDS_EACH, _MOST_CHORDS = 32, 1_500
"""Chords of a spline for each of its control points, and the most; their ends lie on the curve.

So many that the roundings of a part are fitted, and never without end: to halve chords until they
are near enough does not end for a curve with a coordinate that is no number."""
_ELLIPSE_CHORDS = 128
_LEAST_CHORD_MM = 0.1
"""Twice what ends may lie apart and be one place: a shorter chord would vanish, not be chained."""
_SAME_END_MM = 0.005
MOST_COORDINATE_MM = 1_000_000.0
TOO_FAR = f"not read: a coordinate beyond {MOST_COORDINATE_MM / 1000:g} m"
TILTED = "not read: it does not lie flat in the drawing"
_FLAT = 1e-6
_STRAIGHT_MM = 1e-4
_FULL_TURN_DEG = 360.0
_FULL_TURN = 6.28
"""Radians, less what programs round off."""
POLYLINES = ("LWPOLYLINE", "POLYLINE")
_WIDTHS = (
    "const_width",
    "default_start_width",
    "default_end_width",
    "start_width",
    "end_width",
)
_IN_SPACE, _MESHES, _CONTROL_POINT = 8, 16 | 64, 16


class WholeCircle(NamedTuple):
    """A whole circle."""

    middle: complex
    radius_mm: float


class Strokes(NamedTuple):
    """Lines and arcs one after the other; closed where the last ends at the first by itself."""

    sides: Sequence[Side]
    closed: bool = False


def _circle(entity: Any, scale: float) -> WholeCircle | str:
    # Asking the library for an attribute that may be missing takes ten times as long.
    own, extrusion = entity.dxf, vars(entity.dxf).get("extrusion")
    centre = own.center
    if extrusion is not None and extrusion.z != 1.0:
        if abs(abs(extrusion.z) - 1) > _FLAT:
            return TILTED
        if extrusion.z < 0:
            centre = entity.ocs().to_wcs(centre)
    return WholeCircle(complex(centre.x * scale, centre.y * scale), abs(own.radius) * scale)


def _arc(entity: Any, scale: float) -> WholeCircle | Strokes | str:
    from ezdxf.math import Vec3

    if not _is_flat(entity):
        return TILTED
    start_deg, radius = entity.dxf.start_angle, abs(entity.dxf.radius)
    sweep_deg = (entity.dxf.end_angle - start_deg) % _FULL_TURN_DEG or _FULL_TURN_DEG
    if sweep_deg > _FULL_TURN_DEG - _FLAT:
        return _circle(entity, scale)
    pieces = 2 if sweep_deg > _FULL_TURN_DEG / 2 + _FLAT else 1
    ocs, points = entity.ocs(), []
    for number in range(pieces + 1):
        away = Vec3.from_deg_angle(start_deg + sweep_deg * number / pieces, radius)
        points.append(_point(ocs.to_wcs(Vec3(entity.dxf.center) + away), scale))
    turn_mm = radius * scale * _sense(entity)
    return Strokes([Side(start, end, turn_mm) for start, end in pairwise(points)])


def _line(entity: Any, scale: float) -> Strokes | str:
    start, end = entity.dxf.start, entity.dxf.end
    if abs(start.z - end.z) > _FLAT * max(1.0, (end - start).magnitude):
        return TILTED
    return Strokes([Side(_point(start, scale), _point(end, scale))])


def _light_polyline(entity: Any, scale: float) -> Strokes | str:
    if not _is_flat(entity):
        return TILTED
    raw = [((x, y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    return _corners(entity, raw, bool(entity.closed), scale)


def wide_mm(entity: Any, scale: float) -> float:
    """How wide a polyline is drawn, a donut among them; 0 for one without a width."""
    own = vars(entity.dxf)
    widths = [own.get(name) or 0.0 for name in _WIDTHS]
    if entity.dxftype() == "LWPOLYLINE":
        widths += [width for ends in entity.get_points("se") for width in ends]
    else:
        every = (vars(vertex.dxf).get(name) for vertex in entity.vertices for name in _WIDTHS)
        widths += [width or 0.0 for width in every]
    return float(max(widths)) * scale


def _polyline(entity: Any, scale: float) -> Strokes | str:
    flags = entity.dxf.flags
    if flags & _MESHES:
        return "not read: a mesh"
    # Where a curve was fitted to the corners, these stay in the file and are not drawn.
    drawn = [v for v in entity.vertices if not v.dxf.flags & _CONTROL_POINT]
    if flags & _IN_SPACE:
        points = [vertex.dxf.location for vertex in drawn]
        heights = [point.z for point in points]
        if heights and max(heights) - min(heights) > _FLAT * max(1.0, *map(abs, heights)):
            return TILTED
        return _sides([_point(point, scale) for point in points], [], bool(entity.is_closed))
    if not _is_flat(entity):
        return TILTED
    raw = [(v.dxf.location.vec2, v.dxf.get("bulge", 0.0)) for v in drawn]
    return _corners(entity, raw, bool(entity.is_closed), scale)


def _corners(
    entity: Any, raw: Sequence[tuple[Any, float]], closed: bool, scale: float
) -> Strokes | str:
    ocs, sense = entity.ocs(), _sense(entity)
    points = [_point(ocs.to_wcs((*place, 0.0)), scale) for place, _ in raw]
    return _sides(points, [bulge * sense for _, bulge in raw], closed)


def _sides(points: Sequence[complex], bulges: Sequence[float], closed: bool) -> Strokes | str:
    if not is_within(*points, *map(complex, bulges)):
        return TOO_FAR
    bulges = bulges or [0.0] * len(points)
    ends = [*points[1:], *points[:1]] if closed else points[1:]
    triples = zip(points, ends, bulges, strict=False)
    return Strokes([side for a, b, bulge in triples for side in bowed(a, b, bulge)], closed)


def _spline(entity: Any, scale: float) -> Strokes | str:
    tool = entity.construction_tool()
    heights = [point.z for point in tool.control_points]
    if max(heights) - min(heights) > _FLAT * max(1.0, *map(abs, heights)):
        return TILTED
    if not is_within(*(complex(p.x, p.y) * scale for p in tool.control_points), *tool.knots()):
        return TOO_FAR
    count = min(_CHORDS_EACH * len(heights), _MOST_CHORDS)
    return _chords(list(tool.approximate(count)), scale)


def _ellipse(entity: Any, scale: float) -> WholeCircle | Strokes | str:
    if not _is_flat(entity):
        return TILTED
    span = abs(entity.dxf.end_param - entity.dxf.start_param)
    if abs(abs(entity.dxf.ratio) - 1) <= _FLAT and span >= _FULL_TURN:
        centre = _point(entity.dxf.center, scale)
        return WholeCircle(centre, entity.dxf.major_axis.magnitude * scale)
    return _chords(list(entity.vertices(entity.params(_ELLIPSE_CHORDS + 1))), scale)


def _chords(points: Sequence[Any], scale: float) -> Strokes | str:
    flat = _apart([_point(point, scale) for point in points])
    closed = len(flat) > 2 and abs(flat[0] - flat[-1]) <= _SAME_END_MM
    return _sides(flat[:-1] if closed else flat, [], closed)


def _apart(points: Sequence[complex]) -> list[complex]:
    """The points of a small curve without those so near another that they would be one place."""
    kept = list(points[:1])
    for point in points[1:-1]:
        if abs(point - kept[-1]) >= _LEAST_CHORD_MM:
            kept.append(point)
    if len(kept) > 1 and abs(points[-1] - kept[-1]) < _LEAST_CHORD_MM:
        kept.pop()
    return [*kept, *points[len(points[:1]) :][-1:]]


def bowed(start: complex, end: complex, bulge: float) -> list[Side]:
    """A side by its bulge, the tangent of a quarter of its angle; in two above 180 degrees."""
    chord_mm = abs(end - start)
    if chord_mm <= _STRAIGHT_MM:
        return []
    if abs(bulge) * chord_mm / 2 <= _STRAIGHT_MM:
        return [Side(start, end)]
    radius_mm = chord_mm * (1 + bulge**2) / (4 * bulge)
    if abs(bulge) <= 1 + _FLAT:
        return [Side(start, end, radius_mm)]
    top = (start + end) / 2 - 1j * (end - start) / 2 * bulge
    return [Side(start, top, radius_mm), Side(top, end, radius_mm)]


READERS: dict[str, Callable[[Any, float], WholeCircle | Strokes | str]] = {
    "CIRCLE": _circle,
    "ARC": _arc,
    "ELLIPSE": _ellipse,
    "LINE": _line,
    "LWPOLYLINE": _light_polyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}


def is_within(*values: complex) -> bool:
    """Whether all are numbers of a size that a part can have."""
    # What is no number compares as false, and what has no end is beyond the limit.
    return all(abs(value) <= MOST_COORDINATE_MM for value in values)


def _point(place: Any, scale: float) -> complex:
    return complex(place.x * scale, place.y * scale)


def _is_flat(entity: Any) -> bool:
    return bool(abs(abs(entity.dxf.extrusion.z) - 1) <= _FLAT)


def _sense(entity: Any) -> int:
    """-1 for what is seen from behind, as in a mirrored block."""
    return -1 if entity.dxf.extrusion.z < 0 else 1
