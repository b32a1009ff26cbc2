"""A picture becomes a sheet: whole, readable in grey, at a scale that it says, or not at all."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import combinations
from math import hypot
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadInput, Missing, Refused
from crib.features.common.picture import Circle, Dimension, Label, Line, Picture, Shape, Style
from crib.files.paper.picture_frame import CAUTION, TitleBlock
from crib.files.paper.picture_ink import BLACK, DARK, LIGHT, PENS, WHITE
from crib.files.paper.picture_layout import hatching, laid_out
from crib.files.paper.picture_paper import POINTS_PER_MM, Box, letters_width, printable, wrapped
from crib.files.paper.pictures import check_place, drawn, render

TEXT_CONTRAST, LINE_CONTRAST = 4.5, 3.0
SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
EVERY_STYLE: tuple[Shape, ...] = tuple(
    Line(tuple((x + 50 * number, y) for x, y in SQUARE), style, closed=True)
    for number, style in enumerate(get_args(Style))
)
PAIR = Picture(
    "Punch P-1 in die D-1",
    (
        *EVERY_STYLE,
        Circle(20, 20, 10.3, "tool"),
        Dimension(10, 20, 30, 20, 30, "20 mm"),
        Label(20, 20, "P-1"),
    ),
    ("24.4 US tons of 50 US tons", "clearance 1/32 in"),
)


def sheet(picture: Picture, folder: Path, block: TitleBlock | None = None) -> str:
    """A picture's SVG."""
    path = folder / f"{len(list(folder.iterdir()))}.svg"
    render(picture, path, block)
    return path.read_text("utf-8")


def words(svg: str) -> list[str]:
    """Every text of an SVG."""
    return [one.text or "" for one in ET.fromstring(svg).iter() if one.tag.endswith("}text")]


def contrast(first: float, second: float) -> float:
    """The contrast ratio of two greys by their relative luminance."""

    def light(grey: float) -> float:
        return grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4

    high, low = sorted((light(first), light(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


# The file


@pytest.mark.parametrize(("ending", "begins"), [("svg", b"<?xml"), ("pdf", b"%PDF"), ("PDF", b"%")])
def test_the_ending_chooses_the_format(tmp_path: Path, ending: str, begins: bytes) -> None:
    path = tmp_path / f"pair.{ending}"
    render(PAIR, path)
    assert path.read_bytes().startswith(begins)
    assert [one.name for one in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize("ending", ["svg", "pdf"])
def test_the_same_picture_gives_the_same_bytes(tmp_path: Path, ending: str) -> None:
    first, second = tmp_path / f"1.{ending}", tmp_path / f"2.{ending}"
    render(PAIR, first)
    render(PAIR, second)
    assert first.read_bytes() == second.read_bytes()


@pytest.mark.parametrize("name", ["pair.png", "pair", "pair.svgz", ".pdf"])
def test_another_ending_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(BadInput, match=r"a drawing ends in \.svg or \.pdf"):
        render(PAIR, tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "pair.svg"
    path.write_text("mine")
    with pytest.raises(Refused, match="is there already"):
        render(PAIR, path)
    assert path.read_text() == "mine"


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Missing, match="there is no folder"):
        check_place(tmp_path / "none" / "pair.svg")


def test_a_failing_disk_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_from: object, _to: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("crib.files.common.whole_file.os.replace", full)
    with pytest.raises(OSError, match="No space left"):
        render(PAIR, tmp_path / "pair.pdf")
    assert list(tmp_path.iterdir()) == []


# What stands on the sheet


def test_the_sheet_says_its_title_ask_notes_scale_and_who_decides(tmp_path: Path) -> None:
    block = TitleBlock("Our crib", "hole 13/16 thru 3/8 A36", "Letter", ("Lock the power out.",))
    said = words(sheet(PAIR, tmp_path, block))
    for text in (
        "Punch P-1 in die D-1",
        "Our crib",
        "hole 13/16 thru 3/8 A36",
        "- 24.4 US tons of 50 US tons",
        "- clearance 1/32 in",
        "P-1",
        "20 mm",
        "Lock the power out.",
        "the part",
        "what is cut away",
        "tool or machine",
    ):
        assert text in said
    assert CAUTION in " ".join(said)
    assert any(re.fullmatch(r"Scale \d+:\d+ on Letter at 100 %", text) for text in said)


@pytest.mark.parametrize(
    ("side_mm", "scale"),
    [
        (1.0, "50:1"),
        (10.0, "10:1"),
        (40.0, "3:1"),
        (100.0, "1:1"),
        (200.0, "1:2"),
        (2500.0, "1:20"),
    ],
)
def test_the_largest_usual_scale_that_fits_is_taken(
    tmp_path: Path, side_mm: float, scale: str
) -> None:
    square = tuple((x * side_mm / 40, y * side_mm / 40) for x, y in SQUARE)
    svg = sheet(Picture("square", (Line(square, closed=True),)), tmp_path)
    assert f"Scale {scale} on A4 at 100 %" in words(svg)
    paper, part = (int(number) for number in scale.split(":"))
    outline = next(
        one for one in ET.fromstring(svg).iter() if "stroke-width: 1.6" in one.get("style", "")
    )
    xs = [float(pair.split()[0]) for pair in outline.get("points", "").split(",")]
    assert max(xs) - min(xs) == pytest.approx(side_mm * paper / part * POINTS_PER_MM, abs=0.01)


def test_an_svg_is_as_large_as_its_sheet_on_paper(tmp_path: Path) -> None:
    root = ET.fromstring(sheet(PAIR, tmp_path))
    wide, high = (round(side * POINTS_PER_MM) for side in (297.0, 210.0))
    assert (root.get("width"), root.get("height")) == (f"{wide}pt", f"{high}pt")
    assert root.get("viewBox") == f"0 0 {wide} {high}"


@pytest.mark.parametrize(
    "picture",
    [
        Picture("show only", EVERY_STYLE, to_scale=False),
        Picture("100 m long", (Line(((0, 0), (100_000, 0))),)),
        Picture("wide", (Line(((0, 0), (1, 1))), Label(0, 0, "W" * 300))),
    ],
)
def test_what_is_for_show_or_fits_no_scale_says_so(tmp_path: Path, picture: Picture) -> None:
    assert "Not to scale" in words(sheet(picture, tmp_path))


@pytest.mark.parametrize("shapes", [(), (Label(0, 0, "P-1"),), (Line(((3, 3),)),)])
def test_a_picture_with_next_to_nothing_in_it_is_a_sheet_all_the_same(
    tmp_path: Path, shapes: tuple[Shape, ...]
) -> None:
    assert "bare" in words(sheet(Picture("bare", shapes), tmp_path))


def test_more_notes_than_the_sheet_holds_say_how_many_are_not_shown(tmp_path: Path) -> None:
    notes = tuple(f"note {number} with some words behind it" for number in range(200))
    said = words(sheet(Picture("many", EVERY_STYLE, notes), tmp_path))
    told = [text for text in said if "not shown here" in text]
    shown = sum(text.startswith("- note") for text in said)
    assert told == [f"- and {200 - shown} more lines, not shown here: read them on the screen"]


def test_letters_that_the_font_lacks_are_written_out_or_marked() -> None:
    assert printable("⌀ 22 ≤ 5″\x07 ½ ⅝ × 5° 名") == 'dia 22 <= 5" ½ 5/8 × 5° ?'


def test_a_text_with_marks_of_the_format_is_still_a_text(tmp_path: Path) -> None:
    svg = sheet(Picture('<b> & "quotes"', (Label(0, 0, "a < b & c"),)), tmp_path)
    assert "a < b & c" in words(svg)
    assert '<b> & "quotes"' in words(svg)


@pytest.mark.parametrize("text", ["one two three four", "W" * 50, "", "a " + "W" * 30 + " b"])
def test_a_wrapped_text_keeps_its_letters_and_its_width(text: str) -> None:
    lines = wrapped(text, 9.0, 60.0)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(letters_width(line, 9.0) <= 60.0 for line in lines)


# Grey


def test_only_greys_stand_on_the_sheet_and_each_can_be_read(tmp_path: Path) -> None:
    svg = sheet(PAIR, tmp_path)
    colours = set(re.findall(r"rgb\(([^)]*)\)", svg))
    assert all(len(set(colour.split(","))) == 1 for colour in colours)
    greys = {float(colour.split("%")[0]) / 100 for colour in colours}
    assert greys == {BLACK, DARK, LIGHT, WHITE}
    assert "#" not in svg.replace("url(#clip)", "")


def test_lines_and_texts_keep_their_contrast_on_white_and_on_a_grey_area() -> None:
    for pen in PENS.values():
        assert contrast(pen.grey, WHITE) >= LINE_CONTRAST
        assert contrast(pen.grey, LIGHT) >= LINE_CONTRAST
    assert contrast(BLACK, WHITE) >= TEXT_CONTRAST
    assert contrast(BLACK, LIGHT) >= TEXT_CONTRAST


def test_no_two_styles_look_alike_without_colour() -> None:
    looks = {
        style: (pen.width, pen.dashes, pen.fill, style == "hatch") for style, pen in PENS.items()
    }
    assert set(looks) == set(get_args(Style))
    assert len(set(looks.values())) == len(looks)


def test_hatching_stays_inside_its_outline_at_45_degrees() -> None:
    strokes = list(hatching(((0, 0), (50, 0), (50, 20), (0, 20))))
    assert len(strokes) >= 5
    for stroke in strokes:
        (x1, y1), (x2, y2) = stroke.points
        assert x2 - x1 == pytest.approx(y2 - y1)
        assert all(-1e-6 <= x <= 50 + 1e-6 and -1e-6 <= y <= 20 + 1e-6 for x, y in stroke.points)


# Dimensions and labels


def test_a_dimension_has_its_arrows_on_its_ends_and_its_text_over_it() -> None:
    paper = laid_out(Picture("", (Dimension(0, 0, 50, 0, 20, "50 mm"),)), 2.0)
    assert [arrow.points[0] for arrow in paper.arrows] == [(0.0, 40.0), (100.0, 40.0)]
    (text,) = paper.texts
    assert (text.x, text.angle) == (50.0, 0.0)
    assert text.y > 40.0
    assert len(paper.strokes) == 3


@pytest.mark.parametrize(
    ("end", "angle"), [((50, 0), 0), ((-50, 0), 0), ((0, 50), 90), ((0, -50), 90), ((-9, 9), -45)]
)
def test_a_dimension_is_read_from_below_or_from_the_right(
    end: tuple[float, float], angle: float
) -> None:
    paper = laid_out(Picture("", (Dimension(0, 0, *end, 10, "5"),)), 3.0)
    assert paper.texts[0].angle == pytest.approx(angle)


def test_a_dimension_too_small_for_its_arrows_takes_them_from_outside() -> None:
    paper = laid_out(Picture("", (Dimension(0, 0, 1, 0, 10, "1/32 in"),)), 3.0)
    tip, *back = paper.arrows[0].points
    assert all(x < tip[0] for x, _y in back)
    assert paper.texts[0].box().left > 3.0


def test_a_dimension_between_the_same_points_is_only_its_text() -> None:
    paper = laid_out(Picture("", (Dimension(5, 5, 5, 5, 10, "0"),)), 3.0)
    assert (len(paper.texts), paper.arrows, paper.strokes) == (1, [], [])


def test_a_label_that_had_to_move_has_a_line_to_its_place() -> None:
    paper = laid_out(Picture("", tuple(Label(0, 0, f"tag {n}") for n in range(5))), 1.0)
    assert {stroke.points[0] for stroke in paper.strokes} == {(0.0, 0.0)}


@pytest.mark.parametrize(
    ("start", "end", "crossed"),
    [
        ((-5, 5), (15, 5), True),
        ((5, -5), (5, 15), True),
        ((-5, -5), (15, 15), True),
        ((4, 4), (6, 6), True),
        ((-5, 11), (15, 11), False),
        ((11, -5), (11, 15), False),
        ((-5, 8), (2, 15), False),
        ((-5, 5), (-1, 5), False),
    ],
)
def test_a_line_crosses_a_box_or_not(
    start: tuple[float, float], end: tuple[float, float], crossed: bool
) -> None:
    box = Box(0.0, 0.0, 10.0, 10.0)
    assert box.is_crossed(start, end) is crossed
    assert box.is_crossed(end, start) is crossed


def test_a_text_lets_the_lines_of_the_part_be_seen() -> None:
    edge = Line(((-50, 0), (50, 0)))
    for shape in (Label(0, 0, "job"), Dimension(10, -5, -10, -5, -5.5, "20")):
        paper = laid_out(Picture("", (edge, shape)), 1.0)
        assert not paper.texts[0].box().is_crossed((-50.0, 0.0), (50.0, 0.0))


def test_a_label_does_not_hide_a_mark() -> None:
    paper = laid_out(Picture("", (Circle(0, 0, 1, "fill"), Label(0, 1, "job"))), 3.0)
    assert not any(paper.texts[0].box().meets(mark) for mark in paper.marks)


PLACES = st.floats(-60, 60).map(lambda value: round(value, 1))
LABELS = st.builds(Label, PLACES, PLACES, st.sampled_from(["P-0137", "1", "die"]))
DIMENSIONS = st.builds(
    Dimension,
    PLACES,
    PLACES,
    PLACES,
    PLACES,
    st.floats(-30, 30).map(lambda value: round(value, 1)),
    st.sampled_from(["13/16 in", "22", "die OD 54 mm"]),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.one_of(LABELS, DIMENSIONS), max_size=8))
def test_texts_never_stand_on_each_other(shapes: list[Shape]) -> None:
    texts = laid_out(Picture("", tuple(shapes)), 3.0).texts
    for first, second in combinations(texts, 2):
        assert not first.box().meets(second.box())


@settings(max_examples=30, deadline=None)
@given(st.lists(st.one_of(LABELS, DIMENSIONS), max_size=8), st.booleans())
def test_everything_stays_on_the_sheet(shapes: list[Shape], to_scale: bool) -> None:
    picture = Picture("x", (*EVERY_STYLE, *shapes), to_scale=to_scale)
    drawing = drawn(picture, TitleBlock())
    left, bottom, right, top = drawing.getBounds()
    assert (left, bottom) == (0, 0)
    assert right <= drawing.width
    assert top <= drawing.height
    assert hypot(right, top) > 0
