"""The geometry of openings in a part: against worked cases, against shapely, and by its laws."""

from __future__ import annotations

from cmath import phase
from math import cos, inf, radians, sin, sqrt

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from crib.errors import BadValue
from crib.trade.metal.nearest_openings import nearest_openings
from crib.trade.metal.opening_gaps import (
    Region,
    edges_apart_mm,
    from_point_mm,
    is_inside,
    metal_between_mm,
    metal_to_edges_mm,
    reach_mm,
    region_at,
    support_lines,
    towards_deg,
)
from crib.trade.metal.shapes import Outline, Shape

PLATE = (0j, 300 + 0j, 300 + 100j, 100j)
PLATE_EDGES = tuple(zip(PLATE, (*PLATE[1:], PLATE[0]), strict=True))

_sizes = st.floats(4, 60)
_places = st.builds(complex, st.floats(-80, 80), st.floats(-80, 80))
_angles = st.floats(0, 180)
_ONE_SIZE: tuple[Shape, ...] = ("round", "square", "hexagon")


@st.composite
def openings(draw: st.DrawFn) -> tuple[Outline, complex, float]:
    shape: Shape = draw(st.sampled_from(("round", "square", "hexagon", "rectangle", "obround")))
    width = draw(_sizes)
    length = width if shape in _ONE_SIZE else width + draw(_sizes)
    return Outline(shape, width, length), draw(_places), draw(_angles)


def drawn(opening: tuple[Outline, complex, float]) -> tuple[BaseGeometry, float]:
    """The same opening for shapely, as a core and a radius round it."""
    outline, at, angle = opening
    half, reach = outline.width_mm / 2, outline.length_mm / 2
    core: BaseGeometry
    radius = 0.0
    if outline.shape == "round":
        core, radius = Point(0, 0), half
    elif outline.shape == "obround":
        core, radius = LineString([(half - reach, 0), (reach - half, 0)]), half
    elif outline.shape == "hexagon":
        out = outline.width_mm / sqrt(3)
        turns = [radians(60 * n) for n in range(6)]
        core = Polygon([(out * cos(turn), out * sin(turn)) for turn in turns])
    else:
        core = Polygon([(-reach, -half), (reach, -half), (reach, half), (-reach, half)])
    turned = rotate(core, angle, origin=(0, 0))
    return translate(turned, at.real, at.imag), radius


@given(openings(), openings())
@settings(max_examples=300, deadline=None)
def test_metal_between_openings_is_what_shapely_says(
    one: tuple[Outline, complex, float], other: tuple[Outline, complex, float]
) -> None:
    (first, first_mm), (second, second_mm) = drawn(one), drawn(other)
    metal_mm = metal_between_mm(region_at(*one), region_at(*other))
    assert metal_mm == pytest.approx(first.distance(second) - first_mm - second_mm, abs=1e-6)
    assert metal_mm == pytest.approx(metal_between_mm(region_at(*other), region_at(*one)), abs=1e-9)


@given(openings(), st.lists(_places, min_size=3, max_size=7, unique=True))
@settings(max_examples=200, deadline=None)
def test_metal_to_an_outline_is_what_shapely_says(
    one: tuple[Outline, complex, float], corners: list[complex]
) -> None:
    edges = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    ring = LineString([(c.real, c.imag) for c in (*corners, corners[0])])
    core, radius_mm = drawn(one)
    # A region's core holds all inside it, an edge that lies wholly inside included.
    rim = core.exterior if isinstance(core, Polygon) else core
    wanted = rim.distance(ring) - radius_mm
    assert metal_to_edges_mm(region_at(*one), edges) == pytest.approx(wanted, abs=1e-6)


@given(_places, st.lists(_places, min_size=3, max_size=8, unique=True), st.booleans())
def test_inside_is_what_shapely_says(
    point: complex, places: list[complex], clockwise: bool
) -> None:
    """Of outlines that do not cross themselves: the corners in their turn round the middle."""
    middle = sum(places) / len(places)
    corners = sorted(places, key=lambda place: phase(place - middle), reverse=clockwise)
    shape = Polygon([(c.real, c.imag) for c in corners])
    assume(shape.is_valid)
    there = Point(point.real, point.imag)
    assume(shape.exterior.distance(there) > 1e-6)
    assert is_inside(point, corners) == shape.contains(there)


@given(
    st.lists(_places, min_size=3, max_size=8, unique=True),
    st.lists(st.floats(0.01, 1.0), min_size=8, max_size=8),
)
def test_reach_is_to_the_nearest_side_of_the_hull(
    corners: list[complex], weights: list[float]
) -> None:
    """Of a point that is drawn inside: a mean of the corners, each with some weight."""
    shares = weights[: len(corners)]
    pairs = zip(shares, corners, strict=True)
    point = sum(share * corner for share, corner in pairs) / sum(shares)
    hull = Polygon([(c.real, c.imag) for c in corners]).convex_hull
    assume(isinstance(hull, Polygon) and hull.area > 1)
    there = Point(point.real, point.imag)
    assume(hull.contains(there))
    # Inside a convex outline the nearest line is the nearest side.
    assert nearest_mm(point, tuple(corners)) == pytest.approx(
        hull.boundary.distance(there), abs=1e-6
    )


@given(openings(), openings(), _places, _angles)
@settings(deadline=None)
def test_turning_and_moving_all_changes_nothing(
    one: tuple[Outline, complex, float],
    other: tuple[Outline, complex, float],
    by: complex,
    turn_deg: float,
) -> None:
    turn = complex(cos(radians(turn_deg)), sin(radians(turn_deg)))

    def moved(opening: tuple[Outline, complex, float]) -> Region:
        outline, at, angle = opening
        return region_at(outline, at * turn + by, angle + turn_deg)

    before = metal_between_mm(region_at(*one), region_at(*other))
    assert metal_between_mm(moved(one), moved(other)) == pytest.approx(before, abs=1e-6)


@given(st.floats(12, 88), st.floats(0, 30))
def test_towards_an_edge_there_is_never_more_metal(y: float, nearer: float) -> None:
    edges = [(0j, 300 + 0j)]
    far = metal_to_edges_mm(Region((complex(150, y),), 11.0), edges)
    near = metal_to_edges_mm(Region((complex(150, max(y - nearer, 0.0)),), 11.0), edges)
    assert near <= far


@given(st.lists(openings(), min_size=0, max_size=25), st.floats(0, 60))
@settings(max_examples=60, deadline=None)
def test_the_nearest_is_the_one_that_comparing_all_finds(
    many: list[tuple[Outline, complex, float]], within_mm: float
) -> None:
    regions = [region_at(*one) for one in many]
    found = nearest_openings(regions, [within_mm] * len(regions))
    for number, one in enumerate(regions):
        others = [metal_between_mm(one, two) for n, two in enumerate(regions) if n != number]
        wanted = min((mm for mm in others if mm <= within_mm), default=inf)
        near = found[number]
        assume(all(abs(mm - within_mm) > 1e-9 for mm in others))
        assert (near[0] if near else inf) == pytest.approx(wanted, abs=1e-9)


def test_a_long_opening_among_small_ones_is_everybodys_neighbour() -> None:
    long = region_at(Outline("obround", 20.0, 50_020.0), 25_000 + 0j)
    small = [Region((complex(x, 20.0),), 5.0) for x in range(0, 50_000, 500)]
    found = nearest_openings([long, *small], [8.0] * 101)
    assert all(near == (5.0, 0) for near in found[1:])


def test_one_distance_for_each_opening_is_needed() -> None:
    with pytest.raises(BadValue, match="1 distances for 0 openings"):
        nearest_openings([], [1.0])


@pytest.mark.parametrize(
    ("at", "metal_mm"),
    [(20 + 50j, 9.0), (11 + 50j, 0.0), (5 + 50j, -6.0), (150 + 30j, 19.0), (290 + 90j, -1.0)],
)
def test_a_round_hole_in_a_plate(at: complex, metal_mm: float) -> None:
    assert metal_to_edges_mm(Region((at,), 11.0), PLATE_EDGES) == pytest.approx(metal_mm)


def test_a_slot_along_an_edge_and_one_towards_it() -> None:
    slot = Outline("obround", 22.0, 50.0)
    assert metal_to_edges_mm(region_at(slot, 150 + 30j), PLATE_EDGES) == pytest.approx(19.0)
    assert metal_to_edges_mm(region_at(slot, 150 + 30j, 90.0), PLATE_EDGES) == pytest.approx(5.0)
    # At 30 degrees its round end is 14 x sin 30 = 7 nearer.
    assert metal_to_edges_mm(region_at(slot, 150 + 30j, 30.0), PLATE_EDGES) == pytest.approx(12.0)


def test_without_edges_there_is_metal_without_end() -> None:
    assert metal_to_edges_mm(Region((0j,), 5.0), []) == inf


def test_one_opening_in_another_leaves_no_metal() -> None:
    square, hole = region_at(Outline("square", 40.0, 40.0), 0j), Region((1 + 1j,), 5.0)
    assert metal_between_mm(square, hole) == metal_between_mm(hole, square) == -5.0


def nearest_mm(at: complex, corners: tuple[complex, ...]) -> float:
    return min(reach_mm([at], corners, outwards) for outwards, _ in support_lines(corners))


@pytest.mark.parametrize(
    ("at", "mm"), [(150 + 50j, 50.0), (20 + 50j, 20.0), (280 + 60j, 20.0), (150 + 95j, 5.0)]
)
def test_reach_is_from_the_nearest_side(at: complex, mm: float) -> None:
    assert nearest_mm(at, PLATE) == pytest.approx(mm)


def test_a_notch_on_the_way_makes_the_reach_no_shorter() -> None:
    notched = (*PLATE[:3], 170 + 100j, 170 + 60j, 130 + 60j, 130 + 100j, 100j)
    assert nearest_mm(150 + 55j, notched) == pytest.approx(45.0)


@pytest.mark.parametrize(("outwards", "mm"), [(1, 140.0), (-1, 190.0), (1j, 50.0), (-1j, 60.0)])
def test_reach_is_to_the_furthest_of_several_hits(outwards: complex, mm: float) -> None:
    places = (160 + 50j, 190 + 60j)
    assert reach_mm(places, PLATE, outwards) == pytest.approx(mm)


@pytest.mark.parametrize("corners", [(), (0j, 1 + 0j), (0j, 1 + 1j, 2 + 2j)])
def test_what_encloses_nothing_has_no_sides(corners: tuple[complex, ...]) -> None:
    with pytest.raises(BadValue, match="enclose nothing"):
        support_lines(corners)


@pytest.mark.parametrize(
    ("at", "deg"), [(5 + 5j, 0.0), (5 - 5j, 0.0), (-5 + 0j, 90.0), (15 + 5j, 135.0), (0j, 0.0)]
)
def test_the_direction_of_an_edge_seen_from_beside_it_and_past_its_end(
    at: complex, deg: float
) -> None:
    assert towards_deg(at, (0j, 10 + 0j)) == pytest.approx(deg)


def test_pieces_that_cross_are_not_apart_and_a_point_may_be_one() -> None:
    assert edges_apart_mm((-1 - 1j, 1 + 1j), (-1 + 1j, 1 - 1j)) == 0.0
    assert edges_apart_mm((0j, 0j), (3 + 4j, 3 + 4j)) == 5.0
    assert from_point_mm(3 + 4j, (0j, 0j)) == 5.0
