"""Which closed shape lies inside which, and where outlines run over themselves or one another.

Shapes are judged as areas: what is inside another is inside all that holds that one. Arcs count as
chords that are at most 0.005 mm off.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from crib.errors import BadInput
from crib.files.drawings.contour_sides import MOST_POINTS, SAME_MM
from crib.files.drawings.dxf_shapes import Shape, shape_contour
from crib.files.drawings.part_faces import corners_of

_MOST_PAIRS = 3_000_000
_AT_ONCE = 64
_WAY_OUT = "put that right in the drawing, or put what is no edge of the part on a layer left out"


@dataclass(slots=True)
class Nesting:
    """For each shape the numbers of those it lies in, the largest first.

    ``crossing`` are the pairs that run over each other; ``spoiled`` shapes that run over
    themselves, with the place where they do.
    """

    within: list[list[int]]
    crossing: list[tuple[int, int]] = field(default_factory=list)
    spoiled: dict[int, complex] = field(default_factory=dict)


def nested(shapes: Sequence[Shape], file: str) -> Nesting:
    """Look which shapes lie in which.

    Raises:
        BadInput: when so many lie within one another that it is no drawing of parts.
    """
    import shapely

    found = Nesting([[] for _ in shapes])
    polygons = {n: _polygon(shape) for n, shape in enumerate(shapes) if not shape.is_circle}
    for n, polygon in polygons.items():
        place = _spoiled(polygon)
        if place is not None:
            found.spoiled[n] = place
    whole = {n: polygon for n, polygon in polygons.items() if n not in found.spoiled}
    order = sorted(whole, key=lambda n: shapes[n].area_mm2, reverse=True)
    circles = _circles_of(shapes)
    _among_outlines(order, whole, found)
    if circles.numbers:
        _in_circles(circles, shapes, whole, found, file)
        _circles_in_outlines(circles, order, whole, found)
    for n in found.spoiled:
        # Where it runs over itself nobody knows what it holds; its box tells in what it lies.
        box = shapes[n].box
        area = shapely.box(box.left, box.bottom, box.right, box.top)
        found.within[n] = [outer for outer in order if whole[outer].contains(area)]
    for outers in (outers for outers in found.within if len(outers) > 1):
        outers.sort(key=lambda n: shapes[n].area_mm2, reverse=True)
    return found


def overlap_error(shapes: Sequence[Shape], one: int, two: int, file: str) -> BadInput:
    """Two shapes that run over each other where it matters which of them is the part."""
    import shapely

    # One may run over itself by dust, of which alone no common area can be told.
    areas = [shapely.make_valid(_polygon(shapes[number])) for number in (one, two)]
    crossing = shapely.intersection(areas[0].boundary, areas[1].boundary)
    shared = shapely.intersection(*areas) if crossing.is_empty else crossing
    # The first corner of what they share: of outlines that cross, a place where they do.
    first = shapely.get_coordinates(areas[0] if shared.is_empty else shared)[0]
    at = complex(*first)
    message = f"{file}: {named(shapes[one])} and {named(shapes[two])} run over each other"
    return BadInput(f"{message} at x {at.real:.4g}, y {at.imag:.4g} mm", way_out=_WAY_OUT)


def spoiled_error(shape: Shape, at: complex, file: str) -> BadInput:
    """An outline that runs over itself."""
    message = f"{file}: {named(shape)} runs over itself at x {at.real:.4g}, y {at.imag:.4g} mm"
    return BadInput(message, way_out=_WAY_OUT)


def named(shape: Shape) -> str:
    """A shape as a person finds it in the drawing: its type, layer, handle and size."""
    source = shape.source
    handle = f", handle {source.handle}" if source.handle else ""
    size = f"{shape.box.width_mm:.5g} x {shape.box.height_mm:.5g} mm"
    return f"{source.kind} on layer {source.layer[:60]!r}{handle}, {size}"


def _polygon(shape: Shape) -> Any:
    """The area of a shape; of its box where it has very many corners."""
    import shapely

    box = shape.box
    if len(shape.sides) > MOST_POINTS:
        return shapely.box(box.left, box.bottom, box.right, box.top)
    corners = corners_of(shape_contour(shape, "inner"))
    return shapely.Polygon([(corner.real, corner.imag) for corner in corners])


def _spoiled(polygon: Any) -> complex | None:
    """Where an outline runs over itself by more than dust."""
    import shapely

    if polygon.is_valid:
        return None
    lost_mm2 = abs(shapely.buffer(polygon, 0).area - polygon.area)
    twice_mm2 = polygon.area - shapely.make_valid(polygon).area
    if max(lost_mm2, abs(twice_mm2)) <= SAME_MM * polygon.length:
        return None
    reason = shapely.is_valid_reason(polygon)
    x, _, y = reason.partition("[")[2].rstrip("]").partition(" ")
    return complex(float(x), float(y))


def _among_outlines(order: Sequence[int], polygons: dict[int, Any], found: Nesting) -> None:
    """Outlines in outlines, and those that cross."""
    import shapely

    areas = [polygons[n] for n in order]
    tree = shapely.STRtree(areas)
    for place, outer in enumerate(order):
        shapely.prepare(areas[place])
        for other in sorted(tree.query(areas[place], predicate="intersects")):
            if other > place:
                inner = order[other]
                how = _how(areas[place], areas[other])
                if how == "inside":
                    found.within[inner].append(outer)
                elif how == "crossing":
                    found.crossing.append((outer, inner))


def _how(outer: Any, inner: Any) -> str:
    """Inside, outside or crossing; what is no more than dust along the edge does not count."""
    if outer.contains(inner) or outer.buffer(SAME_MM, join_style="mitre").contains(inner):
        return "inside"
    within = outer.buffer(-SAME_MM, join_style="mitre")
    return "crossing" if within.intersects(inner) else "outside"


@dataclass(frozen=True, slots=True)
class _Circles:
    """The circles among shapes: their numbers, middles and radii, and a tree of the middles."""

    numbers: Sequence[int]
    middles: Any
    radii: Any
    points: Any
    tree: Any


def _circles_of(shapes: Sequence[Shape]) -> _Circles:
    import numpy as np
    import shapely

    numbers = [n for n, shape in enumerate(shapes) if shape.is_circle]
    middles = np.array([shapes[n].middle for n in numbers], dtype=complex)
    radii = np.array([shapes[n].radius_mm for n in numbers])
    points: Any = shapely.points(middles.real, middles.imag)
    return _Circles(numbers, middles, radii, points, shapely.STRtree(points))


def _circles_in_outlines(
    circles: _Circles, order: Sequence[int], polygons: dict[int, Any], found: Nesting
) -> None:
    import numpy as np
    import shapely

    numbers, most_mm = circles.numbers, circles.radii.max()
    for outer in order:
        polygon = polygons[outer]
        near = np.sort(circles.tree.query(polygon, predicate="dwithin", distance=most_mm))
        edge = shapely.get_exterior_ring(polygon)
        shapely.prepare(edge)
        shapely.prepare(polygon)
        is_in = shapely.contains(polygon, circles.points[near])
        off_mm = np.where(is_in, 1, -1) * shapely.distance(edge, circles.points[near])
        room_mm = circles.radii[near] - SAME_MM
        for n in near[off_mm >= room_mm].tolist():
            found.within[numbers[n]].append(outer)
        for n in near[np.abs(off_mm) < room_mm].tolist():
            if numbers[n] not in found.within[outer]:
                found.crossing.append((outer, numbers[n]))


def _in_circles(
    circles: _Circles,
    shapes: Sequence[Shape],
    polygons: dict[int, Any],
    found: Nesting,
    file: str,
) -> None:
    """What lies in circles: circles by their middles and radii, outlines by their corners."""
    import numpy as np

    middles, radii, numbers = circles.middles, circles.radii, circles.numbers
    for outer, inner in _pairs(circles, file, len(shapes)):
        room_mm = radii[outer] - radii[inner]
        if room_mm > 0 and abs(middles[outer] - middles[inner]) <= room_mm + SAME_MM:
            found.within[numbers[inner]].append(numbers[outer])
    for n in polygons:
        corners = np.array([side.start for side in shapes[n].sides])
        off_mm = np.abs(corners[:1] - middles)
        for outer in np.nonzero(off_mm <= radii + SAME_MM)[0].tolist():
            if np.max(np.abs(corners - middles[outer])) <= radii[outer] + SAME_MM:
                found.within[n].append(numbers[outer])


def _pairs(circles: _Circles, file: str, count: int) -> Iterator[tuple[int, int]]:
    """Circles and those whose middle is in them, the largest first, some at once."""
    import numpy as np

    order = np.argsort(-circles.radii)
    first, at_once, seen = 0, _AT_ONCE, 0
    while first < len(order):
        some = order[first : first + at_once]
        outers, inners = circles.tree.query(
            circles.points[some], predicate="dwithin", distance=circles.radii[some]
        )
        first, seen = first + at_once, seen + len(outers)
        if seen > _MOST_PAIRS:
            message = f"{file} has {count} closed shapes, too many of them in one another"
            raise BadInput(message, way_out="give the drawing of one part")
        # Each is in itself; where that is all, more can be looked at together.
        at_once = 2 * at_once if len(outers) < 2 * len(some) else _AT_ONCE
        apart = some[outers] != inners
        yield from zip(some[outers][apart].tolist(), inners[apart].tolist(), strict=True)
