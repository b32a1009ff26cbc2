"""Where the openings of a part stand: metal between them, metal to the edge, reach from an edge.

Points are complex numbers, x + y·j in mm. An opening is the points within a radius of a core: of a
point for a round hole, of a line for a slot, of a polygon with radius 0 for what has corners.
"""

from __future__ import annotations

from cmath import phase, rect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from math import inf, pi, radians, sqrt

from crib.errors import BadValue
from crib.trade.metal.shapes import Outline

Edge = tuple[complex, complex]


@dataclass(frozen=True, slots=True)
class Region:
    """A point, a line or a polygon, and everything within a radius of it, all in mm."""

    core: tuple[complex, ...]
    radius_mm: float = 0.0

    @property
    def edges(self) -> tuple[Edge, ...]:
        """The sides of the core; of a point the point twice."""
        if len(self.core) < 3:
            return ((self.core[0], self.core[-1]),)
        return tuple(pairwise((*self.core, self.core[0])))


def region_at(outline: Outline, at: complex, angle_deg: float = 0.0) -> Region:
    """An outline at its place in the part.

    Source: plane geometry.

    Args:
        outline: What is cut [mm].
        at: Its middle [mm].
        angle_deg: Angle of its long side, or of a flat of a hexagon, from x [deg].

    Returns:
        The opening [mm].

    Example:
        >>> region_at(Outline("obround", 22.0, 50.0), 100 + 40j)
        Region(core=((86+40j), (114+40j)), radius_mm=11.0)
    """
    turn = rect(1.0, radians(angle_deg)) if angle_deg else 1.0
    half_mm, reach_mm = outline.width_mm / 2, outline.length_mm / 2
    if outline.shape == "round":
        return Region((at,), half_mm)
    if outline.shape == "obround":
        away = (reach_mm - half_mm) * turn
        return Region((at - away, at + away), half_mm)
    if outline.shape == "hexagon":
        corner_mm = outline.width_mm / sqrt(3)
        return Region(tuple(at + rect(corner_mm, pi / 3 * n) * turn for n in range(6)))
    corners = (
        complex(-reach_mm, -half_mm),
        complex(reach_mm, -half_mm),
        complex(reach_mm, half_mm),
        complex(-reach_mm, half_mm),
    )
    return Region(tuple(at + corner * turn for corner in corners))


def metal_between_mm(one: Region, other: Region) -> float:
    """The metal left between two openings; 0 or less where they touch or run into each other.

    Source: plane geometry.

    Args:
        one: An opening [mm].
        other: Another one in the same face [mm].

    Returns:
        The least distance from rim to rim [mm].

    Example:
        >>> metal_between_mm(Region((0j,), 11.0), Region((50 + 0j,), 11.0))
        28.0
    """
    rims_mm = one.radius_mm + other.radius_mm
    if len(one.core) == len(other.core) == 1:
        return abs(one.core[0] - other.core[0]) - rims_mm
    if is_inside(one.core[0], other.core) or is_inside(other.core[0], one.core):
        return -rims_mm
    return min(edges_apart_mm(*pair) for pair in product(one.edges, other.edges)) - rims_mm


def metal_to_edges_mm(region: Region, edges: Sequence[Edge]) -> float:
    """The metal left from an opening's rim to the nearest of some edges, whichever side it is on.

    Source: plane geometry.

    Args:
        region: The opening [mm].
        edges: Straight pieces of the part's edge [mm].

    Returns:
        The least distance; 0 or less where it touches or breaks through, infinite without edges
        [mm].

    Example:
        >>> metal_to_edges_mm(Region((50 + 30j,), 11.0), [(0j, 200 + 0j)])
        19.0
    """
    pairs = product(region.edges, edges)
    return min((edges_apart_mm(*pair) for pair in pairs), default=inf) - region.radius_mm


def edges_apart_mm(one: Edge, other: Edge) -> float:
    """The least distance between two straight pieces; 0 where they cross.

    Source: plane geometry.

    Args:
        one: From where to where, the same point twice for a point [mm].
        other: From where to where [mm].

    Returns:
        The distance [mm].

    Example:
        >>> edges_apart_mm((0j, 10 + 0j), (12 + 0j, 12 + 5j))
        2.0
    """
    if one[0] == one[1]:
        return from_point_mm(one[0], other)
    if _cross(one, other):
        return 0.0
    ends = ((one[0], other), (one[1], other), (other[0], one), (other[1], one))
    return min(from_point_mm(*pair) for pair in ends)


def from_point_mm(point: complex, edge: Edge) -> float:
    """How far a point is from a straight piece.

    Source: plane geometry.

    Args:
        point: The point [mm].
        edge: From where to where [mm].

    Returns:
        The distance [mm].

    Example:
        >>> from_point_mm(3 + 4j, (0j, -10 + 0j))
        5.0
    """
    step = edge[1] - edge[0]
    away = point - edge[0]
    long_mm2 = step.real * step.real + step.imag * step.imag
    if not long_mm2:
        return abs(away)
    along = (away.real * step.real + away.imag * step.imag) / long_mm2
    return abs(away - min(max(along, 0.0), 1.0) * step)


def is_inside(point: complex, corners: Sequence[complex]) -> bool:
    """Whether a point lies inside a polygon; never in one of fewer than three corners.

    Source: plane geometry (a line from the point to the right crosses the outline an odd number of
    times).

    Args:
        point: The point [mm].
        corners: The corners in their order, the first not said again [mm].

    Returns:
        Whether it is inside; on the very edge it may be either [-].

    Example:
        >>> is_inside(1 + 1j, (0j, 4 + 0j, 4 + 4j, 4j)), is_inside(5 + 1j, (0j, 4 + 0j, 4 + 4j, 4j))
        (True, False)
    """
    if len(corners) < 3:
        return False
    inside, x, y = False, point.real, point.imag
    for one, two in pairwise((*corners, corners[0])):
        if (one.imag > y) != (two.imag > y):
            share = (y - one.imag) / (two.imag - one.imag)
            inside ^= x < one.real + share * (two.real - one.real)
    return inside


def support_lines(corners: Sequence[complex]) -> tuple[tuple[complex, float], ...]:
    """The straight lines that a part can be laid against, one for each side of its hull.

    Source: plane geometry (convex hull).

    Args:
        corners: The corners of the part's outline [mm].

    Returns:
        Of each line its direction outwards, of length 1, and how far out it lies from 0 [mm].

    Raises:
        BadValue: When the corners enclose nothing.

    Example:
        >>> support_lines((0j, 4 + 0j, 4 + 3j, 3j))[0]
        (-1j, 0.0)
    """
    hull = _hull(corners)
    if len(hull) < 3:
        message = f"{len(corners)} corners enclose nothing"
        raise BadValue(message)
    made = []
    for one, two in pairwise((*hull, hull[0])):
        outwards = (two - one) / abs(two - one) * -1j
        made.append((outwards + 0, (one.conjugate() * outwards).real + 0.0))
    return tuple(made)


def reach_mm(places: Sequence[complex], corners: Sequence[complex], outwards: complex) -> float:
    """How deep a throat must be to come to every place, with one side of the part towards it.

    Source: common practice (the throat takes all of the part between the tool and its frame, so a
    notch or an opening on the way makes the reach no shorter).

    Args:
        places: The middles of the hits [mm].
        corners: The corners of the part's outline [mm].
        outwards: The direction from the tool into the throat, of length 1 [-].

    Returns:
        The least reach [mm].

    Example:
        >>> reach_mm([60 + 40j], (0j, 300 + 0j, 300 + 100j, 100j), -1j)
        40.0
    """
    out_mm = max((corner.conjugate() * outwards).real for corner in corners)
    return out_mm - min((at.conjugate() * outwards).real for at in places)


def towards_deg(at: complex, edge: Edge) -> float:
    """The direction of an edge as seen from a point beside it, 0 up to 180.

    Source: plane geometry (of a piece that is met at its end, across the way there).

    Args:
        at: The point [mm].
        edge: From where to where [mm].

    Returns:
        The angle of the edge from x [deg].

    Example:
        >>> towards_deg(5 + 5j, (0j, 10 + 0j)), towards_deg(5 + 5j, (0j, 10j))
        (0.0, 90.0)
    """
    step = edge[1] - edge[0]
    along = ((at - edge[0]).conjugate() * step).real
    if step and 0 <= along <= abs(step) ** 2:
        return phase(step) * 180 / pi % 180
    end = edge[0] if along < 0 or not step else edge[1]
    return phase((end - at) * 1j) * 180 / pi % 180 if end != at else 0.0


def _cross(one: Edge, other: Edge) -> bool:
    """Whether two straight pieces cross; pieces that only touch have an end that tells."""
    return _parts(one, other) and _parts(other, one)


def _parts(edge: Edge, other: Edge) -> bool:
    """Whether the ends of one piece lie on the two sides of another."""
    step = (edge[1] - edge[0]).conjugate()
    return ((other[0] - edge[0]) * step).imag * ((other[1] - edge[0]) * step).imag < 0


def _hull(corners: Sequence[complex]) -> list[complex]:
    """The convex hull, counter-clockwise."""
    ordered = sorted(set(corners), key=lambda point: (point.real, point.imag))
    return [*_chain(ordered), *_chain(reversed(ordered))]


def _chain(ordered: Sequence[complex] | Iterator[complex]) -> list[complex]:
    chain: list[complex] = []
    for point in ordered:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain[:-1]


def _turn(one: complex, two: complex, three: complex) -> float:
    return ((two - one).conjugate() * (three - one)).imag
