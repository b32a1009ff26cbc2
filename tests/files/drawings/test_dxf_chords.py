"""Circles, slots and roundings that are drawn as chords are themselves again; polygons stay."""

from __future__ import annotations

import re
from cmath import rect
from math import cos, degrees, pi, radians, tau

import pytest
from ezdxf.document import Drawing
from ezdxf.math import BSpline, ConstructionEllipse
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from crib.files.drawings.chord_fits import FIT_MM, LEAST_CHORDS, MOST_TURN_DEG, fitted
from crib.files.drawings.contour_sides import Side
from crib.files.drawings.parts import PartFeature
from tests.files.dxf_text import Wanted, corners, notes, only, plate

# In the middle of a plate that holds every opening made here, whichever way it is turned.
AT = 120 + 80j
sizes = st.integers(60, 600).map(lambda n: n / 10)
turns = st.floats(0, tau)
chord_counts = st.integers(12, 180)


def chorded(one: Wanted, chords: int, turn: float = 0.0, places: int = 3) -> list[complex]:
    """An opening with its half circles as chords and its corners rounded to so many decimals."""
    made: list[complex] = []
    outline = corners(one)
    for (start, bulge), (end, _) in zip(outline, [*outline[1:], *outline[:1]], strict=True):
        middle = (start + end) / 2
        steps = chords // 2 if bulge else 1
        half = [middle + (start - middle) * rect(1, pi * n / steps) for n in range(steps)]
        made += half if bulge else [start]
    placed = [one.at + point * rect(1.0, turn) for point in made]
    return [complex(round(p.real, places), round(p.imag, places)) for p in placed]


def drawn(points: list[complex], *, loose: bool = False) -> Drawing:
    document = plate(240.0, 160.0)
    model = document.modelspace()
    places = [(p.real, p.imag) for p in points]
    if loose:
        for one, two in zip(places, [*places[1:], places[0]], strict=True):
            model.add_line(one, two)
    else:
        model.add_lwpolyline(places, close=True)
    return document


def opening(document: Drawing) -> PartFeature:
    (found,) = only(document).features
    return found


@given(size=sizes, chords=chord_counts, turn=turns, loose=st.booleans())
@settings(max_examples=25, deadline=None)
def test_a_circle_of_chords_is_a_hole_of_its_size(
    size: float, chords: int, turn: float, loose: bool
) -> None:
    chords -= chords % 2
    # Loose lines meet within 0.05 mm, so that shorter ones would be one place.
    assume(size * pi / chords > 0.2)
    wanted = Wanted("hole", size, None, AT, 0, "")
    document = drawn(chorded(wanted, chords, turn), loose=loose)
    found = opening(document)
    assert (found.feature, found.size_mm) == ("hole", size)
    assert abs(complex(found.x_mm + 7, found.y_mm + 3) - AT) < 0.005
    inside = size / 2 * (1 - cos(pi / chords))
    assert f"drawn as {chords} chords" in notes(document)
    (told,) = re.findall(r"chords up to ([\d.]+) mm inside", notes(document))
    assert float(told) == pytest.approx(inside, abs=0.003)


@given(size=sizes, more=st.floats(1.0, 60.0), chords=chord_counts, turn=turns)
@settings(max_examples=25, deadline=None)
def test_a_slot_of_chords_is_a_slot(size: float, more: float, chords: int, turn: float) -> None:
    chords += -chords % 4
    long = round(size + more, 1)
    # A line that is hardly longer than what it is off the circle by may be taken for a chord.
    assume(size * pi / chords > 0.2 and (long - size) ** 2 / size > 4 * FIT_MM)
    found = opening(drawn(chorded(Wanted("slot", size, long, AT, 0, ""), chords, turn)))
    assert found.feature == "slot"
    assert (found.size_mm, found.long_mm) == pytest.approx((size, long), abs=2 * FIT_MM)
    off = (found.angle_deg - degrees(turn)) % 180
    assert min(off, 180 - off) < 0.2


@given(sides=st.integers(3, 11), size=sizes, turn=turns)
@settings(max_examples=25, deadline=None)
def test_a_polygon_of_few_sides_is_never_round(sides: int, size: float, turn: float) -> None:
    points = [AT + rect(size / 2, turn + tau * n / sides) for n in range(sides)]
    features = only(drawn(points)).features
    expected = {4: ["square"], 6: ["hexagon"]}
    assert [one.feature for one in features] == expected.get(sides, [])


@given(size=sizes, flat=st.floats(0.5, 0.985), turn=turns)
@settings(max_examples=20, deadline=None)
def test_an_ellipse_is_never_a_hole(size: float, flat: float, turn: float) -> None:
    assume(size * (1 - flat) > 4 * FIT_MM)
    document = plate(240.0, 160.0)
    major = rect(size / 2, turn)
    document.modelspace().add_ellipse((AT.real, AT.imag), (major.real, major.imag), flat)
    assert only(document).features == ()
    assert "contour not recognised: ELLIPSE" in notes(document)
    points = [
        AT + rect(1, turn) * complex(cos(t), flat * cos(t - pi / 2)) * size / 2
        for t in [tau * n / 60 for n in range(60)]
    ]
    assert [one.feature for one in only(drawn(points)).features] == []


@pytest.mark.parametrize("flat", [2.0, 0.5, 1.05])
def test_a_circle_in_a_block_that_is_stretched_one_way_is_told(flat: float) -> None:
    document = plate(240.0, 160.0)
    document.blocks.new("B").add_circle((0, 0), 10)
    document.modelspace().add_blockref("B", (60, 60), dxfattribs={"xscale": flat})
    assert only(document).features == ()
    assert "contour not recognised: ELLIPSE" in notes(document)


@given(size=sizes, ratio=st.just(1.0))
@settings(max_examples=10, deadline=None)
def test_a_spline_round_a_circle_is_a_hole(size: float, ratio: float) -> None:
    document = plate(240.0, 160.0)
    ellipse = ConstructionEllipse((AT.real, AT.imag), (size / 2, 0), (0, 0, 1), ratio)
    spline = document.modelspace().add_spline()
    spline.apply_construction_tool(BSpline.from_ellipse(ellipse))
    found = opening(document)
    assert (found.feature, found.size_mm) == ("hole", size)


def test_a_free_spline_is_an_opening_that_no_punch_makes() -> None:
    document = plate(240.0, 160.0)
    places = [(50, 50, 0), (90, 40, 0), (120, 70, 0), (80, 95, 0), (50, 50, 0)]
    document.modelspace().add_spline(places)
    assert only(document).features == ()
    assert "contour not recognised: SPLINE" in notes(document)


@given(radius=st.integers(20, 100).map(lambda n: n / 10), chords=st.integers(LEAST_CHORDS, 40))
@settings(max_examples=20, deadline=None)
def test_corners_rounded_by_chords_are_rounded_corners(radius: float, chords: int) -> None:
    assume(radius * pi / 2 / chords > 0.1)
    points = []
    for quarter, corner in enumerate((30 + 15j, -30 + 15j, -30 - 15j, 30 - 15j)):
        inwards = radius * rect(1.0, radians(45 + 90 * quarter)) * 2**0.5
        start = rect(radius, radians(90 * quarter))
        points += [
            AT + corner - inwards + start * rect(1.0, pi / 2 * n / chords)
            for n in range(chords + 1)
        ]
    found = opening(drawn(points))
    assert (found.feature, found.size_mm, found.long_mm) == ("rectangle", 30.0, 60.0)
    assert found.corner_radius_mm == pytest.approx(radius, abs=0.05)


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=3, max_size=40))
@settings(max_examples=60, deadline=None)
def test_what_is_fitted_stays_closed_and_near_its_corners(
    places: list[tuple[float, float]],
) -> None:
    points = [complex(*place) for place in places]
    sides = [
        Side(a, b)
        for a, b in zip(points, [*points[1:], points[0]], strict=True)
        if abs(a - b) > 0.1
    ]
    assume(len(sides) > 2)
    sides = [
        Side(one.start, two.start) for one, two in zip(sides, [*sides[1:], sides[0]], strict=True)
    ]
    made, fit = fitted(sides)
    assert all(a.end == b.start for a, b in zip(made, [*made[1:], made[0]], strict=True))
    assert fit is None or fit.off_mm <= FIT_MM


def test_the_limits_say_twelve_chords_to_a_circle() -> None:
    assert 360 / MOST_TURN_DEG == 12


@pytest.mark.parametrize("chords", [0, 8, 40])
@pytest.mark.parametrize("edge", ["top", "left"])
def test_a_slot_that_is_open_at_the_edge_is_read_with_its_depth(chords: int, edge: str) -> None:
    round_end = (
        [
            complex(150 + 11 * cos(pi * n / chords), 60 - 11 * cos(pi / 2 - pi * n / chords))
            for n in range(chords + 1)
        ]
        if chords
        else []
    )
    outline: list[tuple[complex, float]] = [(0j, 0.0), (300 + 0j, 0.0), (300 + 100j, 0.0)]
    outline += [(161 + 100j, 0.0)]
    outline += [(p, 0.0) for p in round_end] or [(161 + 60j, -1.0), (139 + 60j, 0.0)]
    outline += [(139 + 100j, 0.0), (100j, 0.0)]
    if edge == "left":
        outline = [(point * 1j, bulge) for point, bulge in outline]
    document = plate(1.0, 1.0)
    document.modelspace().delete_all_entities()
    places = [(p.real, p.imag, bulge) for p, bulge in outline]
    document.modelspace().add_lwpolyline(places, format="xyb", close=True)
    found = opening(document)
    assert (found.feature, found.shape) == ("open slot", "obround")
    assert (found.size_mm, found.depth_mm) == pytest.approx((22.0, 51.0), abs=0.01)
    assert found.angle_deg == (90.0 if edge == "left" else 0.0)
    assert not found.can_be_asked
