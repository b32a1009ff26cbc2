"""Inner and outer contours of part files: openings, notches, corners, vees, and the rest."""

from __future__ import annotations

from math import cos, radians, sin

import pytest

from crib.files.drawings.parts import PartFeature, phrase_of
from tests.files.nc1_text import Points, contour, nc1, notes, only, read

# The plate of all these tests is 300 x 100.
SHEET = ((0, 0), (300, 0), (300, 100), (0, 100), (0, 0))
SQUARE = ((100, 30), (120, 30), (120, 50), (100, 50), (100, 30))
SLOT_ARCS = ((50, 40), (80, 40, 10), (80, 60), (50, 60, 10), (50, 40))


def turned(points: Points, angle_deg: float) -> list[tuple[float, ...]]:
    """Points turned about (100, 50)."""
    turn = complex(cos(radians(angle_deg)), sin(radians(angle_deg)))
    made: list[tuple[float, ...]] = []
    for x, y, *rest in points:
        place = (complex(x, y) - (100 + 50j)) * turn + (100 + 50j)
        made.append((place.real, place.imag, *rest))
    return made


def backwards(points: Points) -> list[tuple[float, ...]]:
    """The same contour the other way round: each arc then starts at its other end."""
    radii = [-(p[2] if len(p) > 2 else 0.0) for p in points[:-1]]
    places = [(p[0], p[1]) for p in reversed(points)]
    return [(*place, radius) for place, radius in zip(places, [*radii[::-1], 0.0], strict=True)]


def inner(points: Points) -> tuple[PartFeature, ...]:
    return only(nc1(contour(points, name="IK"))).features


def outer(points: Points) -> tuple[PartFeature, ...]:
    return only(nc1(contour(points))).features


@pytest.mark.parametrize(
    "points",
    [
        ((80, 50, 20), (120, 50, 20), (80, 50)),
        ((80, 50, -20), (120, 50, -20), (80, 50)),
        ((100, 30, 20), (100, 70, 20), (100, 30)),
        ((80, 50, -20), (100, 70, -20), (120, 50, -20), (100, 30, -20), (80, 50)),
        ((80, 50, 20), (100, 30, 20), (120, 50, 20), (80, 50)),
    ],
)
def test_a_circle_written_as_arcs_is_a_round_hole(points: Points) -> None:
    (hole,) = inner(points)
    assert (hole.feature, hole.shape, hole.size_mm) == ("hole", "round", 40)
    assert (hole.x_mm, hole.y_mm, hole.thickness_mm) == (100, 50, 12)


@pytest.mark.parametrize(
    "points", [SQUARE, backwards(SQUARE), [*SQUARE[:2], (120, 40), *SQUARE[2:]]]
)
def test_an_inner_square_is_a_square_hole(points: Points) -> None:
    (square,) = inner(points)
    assert (square.feature, square.size_mm, square.long_mm) == ("square", 20, None)
    assert (square.x_mm, square.y_mm, square.angle_deg) == (110, 40, 0)


@pytest.mark.parametrize("angle_deg", [0, 30, 90, 135])
def test_an_inner_rectangle_is_a_rectangle_at_its_angle(angle_deg: float) -> None:
    points = turned(((80, 40), (120, 40), (120, 60), (80, 60), (80, 40)), angle_deg)
    (hole,) = inner(points)
    assert (hole.feature, hole.shape) == ("rectangle", "rectangle")
    assert (hole.size_mm, hole.long_mm) == pytest.approx((20, 40), abs=0.02)
    assert hole.angle_deg == pytest.approx(angle_deg, abs=0.05)


def test_an_inner_rectangle_keeps_the_radius_of_its_corners() -> None:
    points = (
        (85, 40),
        (115, 40, 5),
        (120, 45),
        (120, 55, 5),
        (115, 60),
        (85, 60, 5),
        (80, 55),
        (80, 45, 5),
        (85, 40),
    )
    for way in (points, backwards(points)):
        (hole,) = inner(way)
        assert (hole.feature, hole.size_mm, hole.long_mm) == ("rectangle", 20, 40)
        assert hole.corner_radius_mm == 5
        phrase = "rectangle 20mm x 40mm radius 5mm thru 12mm S275"
        assert phrase_of(hole, "S275", "mm") == phrase


def test_an_inner_rectangle_whose_corners_are_not_alike_is_made_another_way() -> None:
    points = ((85, 40), (120, 40), (120, 60), (80, 60), (80, 45, 5), (85, 40))
    for way in (points, backwards(points)):
        (opening,) = inner(way)
        assert (opening.feature, opening.size_mm, opening.long_mm) == ("opening", 20, 40)
        assert opening.note == "corners not alike: 1 of 4 rounded 5 mm"
        assert not opening.can_be_asked


@pytest.mark.parametrize(
    "points",
    [
        SLOT_ARCS,
        backwards(SLOT_ARCS),
        [*SLOT_ARCS[1:], SLOT_ARCS[1][:2]],
        ((50, 40), (80, 40, 10), (90, 50, 10), (80, 60), (50, 60, 10), (40, 50, 10), (50, 40)),
    ],
)
def test_an_inner_contour_with_two_round_ends_is_a_slot(points: Points) -> None:
    (slot,) = inner(points)
    assert (slot.feature, slot.size_mm, slot.long_mm, slot.angle_deg) == ("slot", 20, 50, 0)
    assert (slot.x_mm, slot.y_mm) == (65, 50)


@pytest.mark.parametrize(
    "points",
    [
        ((50, 40), (80, 40), (65, 60), (50, 40)),
        ((50, 40), (80, 40), (90, 60), (60, 60), (50, 40)),
        ((50, 40), (80, 40, 30), (80, 60), (50, 60, 30), (50, 40)),
        ((50, 40), (80, 40, 3), (80, 60), (50, 60, 10), (50, 40)),
        ((80, 50, 20), (120, 50, 25), (80, 50)),
        ((50, 40), (80, 40), (80, 60), (50, 60)),
    ],
)
def test_an_inner_contour_that_is_nothing_known_is_noted(points: Points) -> None:
    text = nc1(contour(points, name="IK"))
    assert only(text).features == ()
    assert "contour not recognised: inner contour" in notes(text)[27]


def test_an_opening_outside_the_plate_is_marked() -> None:
    (square,) = inner([(x, y + 100) for x, y in SQUARE])
    assert square.note == "outside the profile"


@pytest.mark.parametrize("points", [SHEET, backwards(SHEET), [*SHEET[:1], (99, 0), *SHEET[1:]]])
def test_a_plain_plate_has_no_notch_and_no_note(points: Points) -> None:
    text = nc1(contour(points))
    assert (only(text).features, notes(text)) == ((), {})


NOTCHES = {
    "bottom": ((100, 0), (100, 20), (150, 20), (150, 0)),
    "right": ((300, 30), (260, 30), (260, 80), (300, 80)),
    "top": ((150, 100), (150, 75), (100, 75), (100, 100)),
    "left": ((0, 60), (35, 60), (35, 40), (0, 40)),
}
AFTER = {"bottom": 1, "right": 2, "top": 3, "left": 4}


def cut(*edges: str) -> list[tuple[float, ...]]:
    points: list[tuple[float, ...]] = list(SHEET)
    for edge in sorted(edges, key=lambda edge: -AFTER[edge]):
        points[AFTER[edge] : AFTER[edge]] = NOTCHES[edge]
    return points


@pytest.mark.parametrize(
    ("edge", "sizes", "place", "angle_deg"),
    [
        ("bottom", (50, 20), (125, 0), 0),
        ("right", (50, 40), (300, 55), 90),
        ("top", (50, 25), (125, 100), 0),
        ("left", (20, 35), (0, 50), 90),
    ],
)
def test_a_notch_is_found_on_every_edge_and_either_way_round(
    edge: str, sizes: tuple[float, float], place: tuple[float, float], angle_deg: float
) -> None:
    for points in (cut(edge), backwards(cut(edge))):
        (notch,) = outer(points)
        assert (notch.feature, notch.shape, notch.thickness_mm) == ("notch", "rectangle", 12)
        assert (notch.size_mm, notch.depth_mm) == sizes
        assert (notch.x_mm, notch.y_mm, notch.angle_deg) == (*place, angle_deg)


def test_several_notches_are_all_found() -> None:
    found = outer(cut("bottom", "right", "top", "left"))
    assert [one.feature for one in found] == ["notch"] * 4


def test_a_notch_that_the_contour_begins_in_is_found() -> None:
    points = cut("bottom")
    for start in range(1, len(points) - 1):
        moved = [*points[start:-1], *points[: start + 1]]
        assert [(one.size_mm, one.depth_mm) for one in outer(moved)] == [(50, 20)]


def test_a_notch_keeps_the_radius_of_its_inner_corners() -> None:
    points = [(0, 0), (100, 0), (100, 15, -5), (105, 20), (145, 20, -5), (150, 15), (150, 0)]
    (notch,) = outer([*points, *SHEET[1:]])
    assert (notch.size_mm, notch.depth_mm) == (50, 20)
    assert notch.corner_radius_mm == 5


def test_a_notch_whose_inner_corners_are_not_alike_is_told() -> None:
    points = [(0, 0), (100, 0), (100, 15, -5), (105, 20), (150, 20), (150, 0), *SHEET[1:]]
    text = nc1(contour(points))
    assert only(text).features == ()
    assert (
        "cut into the bottom edge, 50 mm wide, at x 125, y 0, inner corners rounded 5 mm"
        in "".join(note.text for note in read(text).notes)
    )


@pytest.mark.parametrize(
    ("points", "place"),
    [
        (((30, 0), (30, 20), (0, 20)), (0, 0)),
        (((270, 0), (270, 20), (300, 20)), (300, 0)),
    ],
)
def test_a_corner_is_along_x_by_along_y(points: Points, place: tuple[float, float]) -> None:
    left = place[0] == 0
    ring = [*points, (0, 100), (300, 100), (300, 0), points[0]]
    if not left:
        ring = [*points, (300, 100), (0, 100), (0, 0), points[0]]
    (corner,) = outer(ring)
    assert (corner.feature, corner.size_mm, corner.depth_mm) == ("corner", 30, 20)
    assert (corner.x_mm, corner.y_mm) == place


def test_a_corner_keeps_its_radius() -> None:
    ring = [(30, 0), (30, 15, 5), (25, 20), (0, 20), (0, 100), (300, 100), (300, 0), (30, 0)]
    (corner,) = outer(ring)
    assert (corner.size_mm, corner.depth_mm, corner.corner_radius_mm) == (30, 20, 5)


def test_a_vee_has_its_opening_depth_and_included_angle() -> None:
    (vee,) = outer([(0, 0), (100, 0), (120, 20), (140, 0), *SHEET[1:]])
    assert (vee.feature, vee.shape) == ("vee", "special")
    assert (vee.size_mm, vee.depth_mm, vee.angle_deg) == (40, 20, 90)
    assert (vee.x_mm, vee.y_mm) == (120, 0)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([(0, 0), (100, 0), (110, 20), (140, 0), *SHEET[1:]], "cut into the bottom edge, 40 mm"),
        ([(0, 0), (100, 0), (110, 20), (130, 20), (140, 0), *SHEET[1:]], "cut into the bottom"),
        ([(0, 0), (100, 0, -20), (140, 0), *SHEET[1:]], "cut into the bottom edge, 40 mm"),
        ([(0, 0), (300, 0), (300, 60), (280, 100), (0, 100), (0, 0)], "cut off slanting, 20 x 40"),
        ([(0, 0), (300, 0), (300, 60, 40), (260, 100), (0, 100), (0, 0)], "rounded 40 mm"),
        ([(0, 0), (250, 0), (300, 100), (0, 100), (0, 0)], "cut off slanting, 50 x 100"),
        ([(0, 50), (150, 0), (300, 50), (150, 100), (0, 50)], "no side of it lies along the edge"),
        ([(0, 0), (300, 0), (0, 0)], "its points or radii make no outline"),
        ([(0, 0), (300, 0, 10), (300, 100), (0, 100), (0, 0)], "make no outline"),
        (SHEET[:4], "it does not end where it began"),
        (
            [(0, 0), (200, 0), (200, 60), (100, 60), (100, 0), *SHEET[1:]],
            "it crosses itself",
        ),
    ],
)
def test_an_edge_that_is_nothing_known_is_noted(points: Points, words: str) -> None:
    text = nc1(contour(points))
    assert only(text).features == ()
    assert "contour not recognised" in notes(text)[27]
    assert words in notes(text)[27]


def test_a_contour_unlike_the_headers_size_is_noted() -> None:
    text = nc1(contour(SHEET), length=310.0)
    assert notes(text) == {27: "the contour is 300 x 100 mm, the header says 310 x 100 mm"}


def test_a_notch_in_an_angle_has_the_thickness_of_its_leg() -> None:
    text = nc1(contour(cut("bottom"), face="u"), code="L", width=100.0, flange=9.0, web=9.0)
    (notch,) = only(text).features
    assert (notch.face, notch.thickness_mm) == ("u", 9)


def test_a_cope_in_a_beam_is_noted_and_is_no_notch() -> None:
    text = nc1(contour(cut("bottom")), code="I")
    assert only(text).features == ()
    assert notes(text)[27] == (
        "notch 50 x 20 mm at x 125, y 0 in the front of the I shape is not read as a notch: cope it"
    )


def test_a_contour_whose_view_changes_before_it_closes_is_noted() -> None:
    text = nc1(
        ["AK", "  v 0 0 0", "  v 300 0 0", "  o 0 0 0", "  o 300 0 0", "  o 0 12 0", "  o 0 0"]
    )
    part = only(text)
    assert [(one.face, one.closed) for one in part.contours] == [("v", False), ("o", True)]
    assert "is not closed" in notes(text)[29]


def test_later_points_need_no_view() -> None:
    text = nc1(["AK", *[f"  {'v' if not n else ''} {p[0]} {p[1]}" for n, p in enumerate(SHEET)]])
    assert (len(only(text).contours), notes(text)) == (1, {})


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("  v 100q 0 0", "letter 'q' is not known"),
        ("  v 100 0 0 45 2 0 0", "bevel"),
        ("  v 100 0 0 0 0 0 0 9", "8 numbers"),
        ("  v 100 0w 5", "relief hole of radius 5 mm"),
        ("  q 100 0 0", "view 'q' is not known"),
    ],
)
def test_what_is_odd_about_a_point_is_noted(line: str, words: str) -> None:
    lines = contour(SHEET)
    text = nc1([*lines[:2], line, *lines[2:]])
    assert words in notes(text)[28]
    assert only(text).contours[0].closed
