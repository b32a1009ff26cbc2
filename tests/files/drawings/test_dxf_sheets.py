"""What of a drawing is a part: frames, title blocks and views set aside aloud, units doubted."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, box

from crib.acts import act, acts_in
from crib.errors import AskBack, BadInput
from crib.files.drawings.contour_sides import Side
from crib.files.drawings.dxf import DrawingFacts, read_dxf
from crib.files.drawings.dxf_chains import DrawnStroke, Source
from crib.files.drawings.dxf_looks import Takeable
from crib.files.drawings.dxf_nesting import nested
from crib.files.drawings.dxf_shapes import Shape, circle_shape, loop_shape, without_twins
from tests.files.dxf_text import THICK, notes, only, plate, read, text_of

Box = tuple[float, float, float, float]
PART: Box = (100, 120, 200, 80)


def rectangle(document: Drawing, left: float, low: float, width: float, height: float) -> None:
    corners = [(left, low), (left + width, low), (left + width, low + height), (left, low + height)]
    document.modelspace().add_lwpolyline(corners, close=True)


def words(document: Drawing, text: str, x: float, y: float) -> None:
    document.modelspace().add_text(text, dxfattribs={"insert": (x, y)})


def taking(*what: Takeable) -> DrawingFacts:
    return DrawingFacts(thickness_mm=10.0, take=frozenset(what))


def part_with_holes(box: Box = PART) -> Drawing:
    document = new(units=4)
    rectangle(document, *box)
    for x in (30, 150):
        document.modelspace().add_circle((box[0] + x, box[1] + 40), 9)
    return document


def by_paper(document: Drawing) -> None:
    rectangle(document, 0, 0, 420, 297)


def by_double_line(document: Drawing) -> None:
    rectangle(document, 0, 0, 440, 300)
    rectangle(document, 10, 10, 420, 280)


def by_words(document: Drawing) -> None:
    rectangle(document, 0, 0, 500, 300)
    words(document, "DRAWN", 10, 10)


def by_several_parts(document: Drawing) -> None:
    rectangle(document, 0, 0, 500, 300)
    rectangle(document, 20, 20, 60, 55)
    document.modelspace().add_circle((50, 50), 5)


@pytest.mark.parametrize("frame", [by_paper, by_double_line, by_words, by_several_parts])
@pytest.mark.parametrize("first", [True, False])
def test_a_frame_is_set_aside_aloud_and_a_part_when_told(
    frame: Callable[[Drawing], None], first: bool
) -> None:
    document = new(units=4)
    if first:
        frame(document)
    rectangle(document, *PART)
    for x in (130, 250):
        document.modelspace().add_circle((x, 160), 9)
    if not first:
        frame(document)
    result = read(document)
    part = max(result.parts, key=lambda part: part.length_mm)
    assert (part.length_mm, part.height_mm) == PART[2:]
    assert [(f.size_mm, f.x_mm, f.y_mm, f.note) for f in part.features] == [
        (18.0, 30.0, 40.0, ""),
        (18.0, 150.0, 40.0, ""),
    ]
    told = [note for note in result.notes if "the frame of the sheet" in note.text]
    assert {one for note in told for one in acts_in(note.said())} == {act("say.take", take="frame")}
    taken = read(document, taking("frame"))
    assert max(part.length_mm for part in taken.parts) >= 420


def test_the_fields_of_a_title_block_and_balloons_are_no_parts() -> None:
    document = part_with_holes()
    by_double_line(document)
    for field in ((310, 10, 120, 30), (310, 40, 60, 15), (370, 40, 60, 15)):
        rectangle(document, *field)
    words(document, "S355", 320, 20)
    words(document, "2", 60, 240)
    document.modelspace().add_circle((60, 240), 8)
    part = only(document)
    assert len(part.features) == 2
    said = notes(document)
    assert "3 fields of a title block left out" in said
    assert "no hole but a balloon" in said


def test_a_plate_with_a_window_around_nothing_is_no_frame() -> None:
    document = plate(420.0, 297.0)
    rectangle(document, 30, 30, 360, 250)
    words(document, "P-7", 10, 10)
    part = only(document)
    assert (part.length_mm, [one.feature for one in part.features]) == (420.0, ["rectangle"])


@pytest.mark.parametrize("where", ["below", "beside"])
def test_the_edge_of_the_plate_is_a_view_and_offers_its_thickness(where: str) -> None:
    document = part_with_holes()
    left, low, width, height = PART
    edge = (left, low - 50, width, 12) if where == "below" else (left + 250, low, 12, height)
    rectangle(document, *edge)
    result = read(document, DrawingFacts())
    (part,) = result.parts
    assert len(part.features) == 2
    (note,) = [note for note in result.notes if "left out as the edge of" in note.text]
    assert acts_in(note.said()) == (
        act("say.take", take="views"),
        act("say.thickness", thickness="12mm"),
    )
    assert len(read(document, taking("views")).parts) == 2


@pytest.mark.parametrize("shift", [0.0, 30.0])
def test_outlines_in_line_are_asked_about_and_read_as_told(shift: float) -> None:
    document = part_with_holes()
    left, low, width, _ = PART
    rectangle(document, left + shift, low + 120, width, 60)
    document.modelspace().add_circle((left + 60, low + 150), 5.5)
    if shift:
        assert len(read(document).parts) == 2
        return
    with pytest.raises(AskBack, match="1 more outline is in line with LWPOLYLINE") as asked:
        read(document)
    assert asked.value.choose == "take"
    assert acts_in(asked.value.way_out) == (
        act("say.take", take="views"),
        act("say.take", take="one-view"),
    )
    assert [len(part.features) for part in read(document, taking("views")).parts] == [2, 1]
    assert [len(part.features) for part in read(document, taking("one-view")).parts] == [2]
    assert "left out as a view of" in notes(document, facts=taking("one-view"))


@pytest.mark.parametrize(
    ("unit", "said", "size", "other"),
    [
        (1, "inches", 20.6375, "mm"),
        (1, "inches", 18.0, "mm"),
        (4, "mm", 0.8125, "in"),
        (6, "m", 22.0, "mm"),
    ],
)
def test_holes_of_usual_sizes_in_another_unit_are_asked_about(
    unit: int, said: str, size: float, other: str
) -> None:
    document = plate(12 * size, 6 * size, unit=unit)
    for n in range(3):
        document.modelspace().add_circle((7 + (2 + 3 * n) * size, 3 + 3 * size), size / 2)
    with pytest.raises(AskBack, match=f"says it is in {said}.* read in {other} they are") as asked:
        read(document)
    assert asked.value.choose == "unit"
    ways = acts_in(asked.value.way_out)
    assert ways[0] == act("say.unit", unit=other)
    for one in ways:
        unit_told: Any = dict(one.figures)["unit"]
        assert len(only(document, DrawingFacts(unit_told, 10.0)).features) == 3


@given(unit=st.sampled_from([1, 4]), sixteenths=st.integers(2, 64), half_mm=st.integers(6, 200))
@settings(max_examples=25, deadline=None)
def test_a_drawing_whose_holes_can_be_punched_is_not_doubted(
    unit: int, sixteenths: int, half_mm: int
) -> None:
    size = sixteenths / 16 if unit == 1 else half_mm / 2
    document = plate(size * 4, size * 4, unit=unit)
    document.modelspace().add_circle((7 + size * 2, 3 + size * 2), size / 2)
    assert len(only(document).features) == 1


def test_a_unit_that_is_not_said_is_asked_with_what_the_holes_look_like() -> None:
    document = plate(12.0, 6.0, unit=0)
    document.modelspace().add_circle((12, 6), 13 / 32)
    with pytest.raises(AskBack, match="its holes are of usual sizes in in"):
        read(document)


def test_an_outline_over_another_is_one_error_that_names_both_and_the_place() -> None:
    document = part_with_holes()
    rectangle(document, 250, 100, 100, 60)
    said = r"200 x 80 mm and .*100 x 60 mm run over each other at x (\S+), y (\S+) mm"
    with pytest.raises(BadInput, match=said) as caught:
        read(document)
    found = re.search(said, caught.value.message)
    assert found
    at = Point(float(found[1]), float(found[2]))
    drawn = [box(100, 100, 300, 180), box(250, 100, 350, 160)]
    assert max(one.boundary.distance(at) for one in drawn) < 0.05


def test_an_outline_over_itself_is_an_error_and_an_opening_over_itself_told() -> None:
    crossed = [(0, 0), (300, 0), (300, 100), (200, -40), (100, 140), (0, 100)]
    document = new(units=4)
    document.modelspace().add_lwpolyline(crossed, close=True)
    with pytest.raises(BadInput, match="runs over itself at x "):
        read(document)
    inside = plate(400.0, 300.0)
    inside.modelspace().add_lwpolyline([(50 + x, 100 + y) for x, y in crossed], close=True)
    assert only(inside).features == ()
    assert "contour not recognised" in notes(inside)


def test_a_hole_over_the_edge_is_counted_and_said() -> None:
    document = part_with_holes()
    document.modelspace().add_circle((299, 130), 5)
    part = only(document)
    assert [one.note for one in part.features] == ["over the edge of the outline", "", ""]
    assert "is over the edge of the outline" in notes(document)


places = st.tuples(st.integers(0, 40), st.integers(0, 40))


@st.composite
def shapes(data: st.DrawFn) -> Shape:
    """A circle, a rectangle or a triangle on a coarse grid, so that many touch and cross."""
    (x, y), (width, height) = data(places), data(places)
    source = Source("LINE", "0")
    if data(st.booleans()):
        return circle_shape(complex(x, y), (width + 1) / 2, source)
    corners = [complex(x, y), complex(x + width + 1, y), complex(x + width + 1, y + height + 1)]
    if data(st.booleans()):
        corners.append(complex(x, y + height + 1))
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    shape = loop_shape([DrawnStroke(Side(one, two), source) for one, two in pairs])
    assert shape is not None
    return shape


@given(st.lists(shapes(), min_size=1, max_size=12))
@settings(max_examples=60, deadline=None)
def test_what_lies_in_a_shape_lies_in_all_that_hold_it(some: list[Shape]) -> None:
    some, _ = without_twins(some)
    found = nested(some, "P-7.dxf")
    for n, outers in enumerate(found.within):
        assert n not in outers
        for outer in outers:
            assert some[outer].area_mm2 >= some[n].area_mm2
            assert set(found.within[outer]) <= set(outers)
            one, two = some[outer].box, some[n].box
            assert one.left - 0.1 <= two.left
            assert two.right <= one.right + 0.1
    assert not any(
        {(a, b), (b, a)} & set(found.crossing)
        for b, outers in enumerate(found.within)
        for a in outers
    )


@given(st.lists(shapes(), min_size=1, max_size=12))
@settings(max_examples=40, deadline=None)
def test_shapes_in_any_heap_are_parts_or_one_clear_error(some: list[Shape]) -> None:
    document = new(units=4)
    model = document.modelspace()
    for shape in some:
        if shape.is_circle:
            model.add_circle((shape.middle.real, shape.middle.imag), shape.radius_mm)
        else:
            model.add_lwpolyline([(s.start.real, s.start.imag) for s in shape.sides], close=True)
    try:
        result = read_dxf(text_of(document), "P-7.dxf", THICK)
    except BadInput as error:
        expected = r"may be views of one part|of usual sizes|run over each other at x"
        said = re.search(expected, error.message) is not None
    else:
        (account,) = result.accounts
        said = account.sums()["met"] == len(some)
    assert said
