"""A part as a picture to accept: views, openings at their place, letters, counts, pages."""

from __future__ import annotations

from itertools import pairwise
from math import hypot
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadInput
from crib.features.common.picture import Circle, Dimension, Label, Line, Picture
from crib.files.drawings.nc1 import read_nc1_file
from crib.files.drawings.parts import Part
from crib.files.paper.part_picture import MOST_DRAWN, MOST_LABELS, part_picture
from crib.files.paper.picture_frame import TitleBlock
from crib.files.paper.pictures import drawn, render_pages
from tests.files.dxf_text import Wanted, draw, only, plate
from tests.files.nc1_text import SLOT, contour, holes, nc1
from tests.files.nc1_text import only as only_nc

DATA = Path(__file__).parents[1] / "data" / "nc1"


def picture(part: Part, *notes: str) -> Picture:
    phrases = [f"{one.feature} {one.size_mm:g}" for one in part.features]
    found = part_picture(part, phrases, "mm", notes)
    assert found is not None
    return found


def labels(found: Picture) -> list[tuple[str, float, float]]:
    return [(one.text, one.x_mm, one.y_mm) for one in found.shapes if isinstance(one, Label)]


def test_every_opening_is_at_its_place_with_the_letter_of_its_size() -> None:
    part = only_nc(nc1(holes("  v 40 60 22", "  v 90 60 22", "  v 200 30 18")))
    found = picture(part)
    circles = [one for one in found.shapes if isinstance(one, Circle)]
    assert [(one.x_mm, one.y_mm, one.radius_mm) for one in circles] == [
        (40, 60, 11),
        (90, 60, 11),
        (200, 30, 9),
    ]
    assert labels(found) == [("A", 48.25, 68.25), ("A", 98.25, 68.25), ("B", 206.75, 36.75)]
    assert found.notes[:2] == ("A: 2 x hole 22", "B: 1 x hole 18")


def test_the_counts_are_for_one_part_and_for_all() -> None:
    part = only_nc(nc1(holes("  v 40 60 22")))._replace(quantity=1_200)
    assert picture(part, "look here").notes == (
        "A: 1 x hole 22, 1,200 in all 1,200 parts",
        "a face without a contour in the file is drawn as a rectangle of the header's sizes",
        "look here",
    )


def test_a_slot_is_drawn_as_long_as_it_is_at_its_angle() -> None:
    part = only_nc(nc1(holes(SLOT.replace("28.00  0.00  0.00", "28.00 0.00 30.00"))))
    (slot,) = [one for one in picture(part).shapes if isinstance(one, Line)][1:]
    middle = complex(part.features[0].x_mm, part.features[0].y_mm)
    away = [abs(complex(*point) - middle) for point in slot.points]
    assert max(away) == pytest.approx(25.0)
    assert min(away) == pytest.approx(hypot(14.0, 11.0))
    assert (slot.style, slot.closed) == ("outline", True)


def test_what_no_punch_makes_is_drawn_as_cut_away() -> None:
    document = plate(200, 100)
    odd = [(50, 40), (90, 40), (95, 60), (70, 70), (45, 60)]
    document.modelspace().add_lwpolyline(odd, close=True)
    draw(document, Wanted("hexagon", 24, None, complex(150, 50), 10, "polyline"))
    styles = [one.style for one in picture(only(document)).shapes if isinstance(one, Line)]
    assert styles == ["outline", "cut", "outline"]


def test_each_face_is_a_view_of_its_own_and_they_keep_apart() -> None:
    part = read_nc1_file(DATA / "b_0008-SE0004.nc1").parts[0]
    found = picture(part)
    named = {text: y for text, _, y in labels(found) if ": " in text}
    assert named["u: bottom"] < named["v: front"] < named["o: top"]
    outlines = [one for one in found.shapes if isinstance(one, Line) and one.style == "outline"]
    spans = sorted(
        (min(y for _, y in one.points), max(y for _, y in one.points)) for one in outlines
    )
    assert all(lower[1] < upper[0] for lower, upper in pairwise(spans))
    assert sum(isinstance(one, Line) and one.style == "hidden" for one in found.shapes) == 2


def test_the_sizes_of_a_view_are_beside_it() -> None:
    part = only_nc(nc1(holes("  v 40 60 22")))
    told = [one.text for one in picture(part).shapes if isinstance(one, Dimension)]
    assert told == ["300 mm", "100 mm"]


def test_a_contour_that_does_not_close_is_hidden() -> None:
    part = only_nc(nc1(contour([(0, 0), (100, 0), (100, 50)]), holes("  v 40 60 22")))
    lines = [one for one in picture(part).shapes if isinstance(one, Line)]
    assert ("hidden", 3) in [(one.style, len(one.points)) for one in lines]


def test_a_corner_that_is_gone_has_its_letter_where_it_was() -> None:
    part = read_nc1_file(DATA / "b_P465.nc").parts[0]
    assert labels(picture(part))[-1] == ("B", 172.5 - 8.75, 110 - 23)


def test_holes_without_an_outline_are_drawn_alone() -> None:
    document = plate(200, 100)
    document.modelspace().delete_all_entities()
    document.modelspace().add_circle((10, 10), 5)
    document.modelspace().add_circle((40, 10), 5)
    shapes = picture(only(document)).shapes
    assert [type(one) for one in shapes] == [Circle, Circle, Label, Label]


def test_a_part_with_nothing_cut_into_it_is_drawn_bare() -> None:
    assert [type(one) for one in picture(only_nc(nc1())).shapes] == [Line, Dimension, Dimension]


def test_what_has_no_place_has_no_picture() -> None:
    part = only_nc(nc1(holes("  v 40 60 22")))
    listed = part.features[0]._replace(asked="hole 22mm thru 12mm")
    assert part_picture(part._replace(length_mm=0.0, features=(listed,)), ["hole"], "mm") is None


def test_very_many_holes_have_a_letter_for_each_size_and_the_last_are_left_out() -> None:
    many = [f"  v {10 + 3 * n} {50} {2 if n % 2 else 3}" for n in range(MOST_DRAWN + 20)]
    found = picture(only_nc(nc1(holes(*many), length=9000)))
    assert [text for text, _, _ in labels(found)] == ["A", "B"]
    assert sum(isinstance(one, Circle) for one in found.shapes) == MOST_DRAWN
    assert f"only {MOST_DRAWN:,} of {MOST_DRAWN + 20:,} openings are drawn" in found.notes
    assert "only the first of each size has its letter" in found.notes
    few = [f"  v {10 + 30 * n} 50 20" for n in range(MOST_LABELS)]
    assert len(labels(picture(only_nc(nc1(holes(*few), length=9000))))) == MOST_LABELS


def test_letters_go_on_after_z() -> None:
    lines = [f"  v {20 + 30 * n} 50 {2 + n / 4}" for n in range(28)]
    found = picture(only_nc(nc1(holes(*lines), length=900)))
    assert [text for text, _, _ in labels(found)][25:] == ["Z", "AA", "AB"]


@pytest.mark.parametrize("path", sorted(DATA.glob("*.[nN][cC]*")), ids=lambda path: path.name)
def test_a_real_part_fits_its_sheet(path: Path) -> None:
    for part in read_nc1_file(path).parts:
        drawing = drawn(picture(part), TitleBlock(sheet="A4"))
        left, low, right, top = drawing.getBounds()
        assert min(left, low) >= -1
        assert right <= drawing.width + 1
        assert top <= drawing.height + 1


def test_pictures_are_the_pages_of_one_file(tmp_path: Path) -> None:
    one = picture(only_nc(nc1(holes("  v 40 60 22"))))
    pages = [(one, TitleBlock(sheet="A4")), (one, TitleBlock(sheet="Letter"))]
    assert render_pages(pages, "Parts", tmp_path / "parts.pdf") == 2
    data = (tmp_path / "parts.pdf").read_bytes()
    assert data.count(b"/Type /Page\n") == 2


def test_an_svg_has_no_pages_and_a_file_without_a_picture_is_not_written(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="several pictures are the pages of a PDF file"):
        render_pages([], "Parts", tmp_path / "parts.svg")
    with pytest.raises(BadInput, match="there is no picture to write"):
        render_pages([], "Parts", tmp_path / "parts.pdf")
    assert list(tmp_path.iterdir()) == []


@given(length=st.integers(100, 12_000), height=st.integers(60, 1_000), width=st.integers(40, 400))
@settings(max_examples=20, deadline=None)
def test_no_size_of_a_view_runs_through_the_next(length: int, height: int, width: int) -> None:
    lines = ("  v 40 30 9", "  o 40 20 9", "  u 40 20 9")
    text = nc1(holes(*lines), code="I", length=length, height=height, width=width, web=8.0)
    shapes = picture(only_nc(text)).shapes
    outlines = [one.points for one in shapes if isinstance(one, Line) and one.closed]
    below = [one for one in shapes if isinstance(one, Dimension) and one.y1_mm == one.y2_mm]
    assert len(below) == len(outlines) == 3
    for size in below:
        tops = [max(y for _, y in points) for points in outlines]
        under = max((top for top in tops if top < size.y1_mm), default=-1e9)
        assert size.y1_mm - 2 * size.off_mm > under


def test_a_face_has_its_own_size_though_an_opening_lies_outside_of_it() -> None:
    inside, outside = (picture(only_nc(nc1(holes(f"  v 40 {y} 22")))) for y in (60, 160))
    sizes = [
        [(one.text, one.y2_mm) for one in found.shapes if isinstance(one, Dimension)]
        for found in (inside, outside)
    ]
    assert sizes[0] == sizes[1]
