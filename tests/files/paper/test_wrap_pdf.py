"""The template's PDF read back: pages, sizes, texts, and the curve at 1:1 on the paper."""

from __future__ import annotations

from io import BytesIO
from math import hypot
from typing import Any

import pytest
from pypdf import PageObject, PdfReader

from crib.features.registry import read_phrase
from crib.features.saddles.saddle import Saddle
from crib.features.saddles.saddle_wrap import WrapTemplate, wrap_template
from crib.files.paper.wrap_frame import WrapTexts
from crib.files.paper.wrap_pdf import wrap_pdf, wrap_sheets
from tests.features.bench import IN

MM = 25.4 / 72
"""What one point of a PDF measures on paper."""
TEXTS = WrapTexts(
    "Template 1:1",
    ("first line", "second line"),
    "Measure the square first.",
    tuple(f"f{number}" for number in range(16)),
    25.4,
    "1 in",
)

Path = list[tuple[float, float]]


def template(text: str = "saddle 6 pipe sch 40 onto 8 pipe") -> WrapTemplate:
    """A template of a phrase in inches."""
    ask = read_phrase(text, IN)
    assert isinstance(ask, Saddle)
    return wrap_template(ask)


def read(made: WrapTemplate, paper: str = "letter") -> PdfReader:
    """The PDF as another program reads it."""
    return PdfReader(BytesIO(wrap_pdf(made, TEXTS, paper)))


def paths(page: PageObject) -> list[Path]:
    """Every path of a page in mm on the paper, with the page's own transformations done."""
    found: list[Path] = []

    def at(matrix: list[float], x: float, y: float) -> tuple[float, float]:
        a, b, c, d, e, f = matrix
        return ((a * x + c * y + e) * MM, (b * x + d * y + f) * MM)

    def visit(operator: bytes, operands: Any, matrix: list[float], _text: list[float]) -> None:
        numbers = [float(one) for one in operands] if operator in (b"m", b"l", b"re") else []
        if operator == b"m":
            found.append([at(matrix, *numbers)])
        elif operator == b"l":
            found[-1].append(at(matrix, *numbers))
        elif operator == b"re":
            x, y, width, height = numbers
            found.append([at(matrix, x, y), at(matrix, x + width, y + height)])

    page.extract_text(visitor_operand_before=visit)
    return found


def curve_on(page: PageObject) -> Path:
    """The drawn curve: the last of the long paths, since the grey under it comes first."""
    return [path for path in paths(page) if len(path) > 50][-1]


def test_a_six_inch_branch_takes_three_lying_letter_sheets() -> None:
    pages = read(template()).pages
    assert len(pages) == 3
    for page in pages:
        assert (page.mediabox.width, page.mediabox.height) == (792, 612)


def test_a4_is_a4() -> None:
    page = read(template("saddle 1 pipe sch 40 onto 2 pipe"), "a4").pages[0]
    assert float(page.mediabox.width) * MM == pytest.approx(297, abs=0.01)
    assert float(page.mediabox.height) * MM == pytest.approx(210, abs=0.01)


@pytest.mark.parametrize(
    "text",
    ["saddle 1 pipe sch 40 onto 2 pipe at 60", "saddle 6 pipe sch 40 onto 8 pipe"],
)
def test_the_curve_stands_on_the_paper_at_one_to_one(text: str) -> None:
    made = template(text)
    sheets = wrap_sheets(made, "letter")
    for sheet, page in zip(sheets.sheets, read(made).pages, strict=True):
        drawn = curve_on(page)
        wanted = [
            point for point in made.curve if sheet.part.left - 8 <= point[0] <= sheet.part.right + 8
        ]
        assert len(drawn) == len(wanted)
        moved = (drawn[0][0] - wanted[0][0], drawn[0][1] - wanted[0][1])
        for on_paper, point in zip(drawn, wanted, strict=True):
            off = (on_paper[0] - point[0] - moved[0], on_paper[1] - point[1] - moved[1])
            assert hypot(*off) < 0.01


def test_the_curve_lies_inside_the_paper_where_it_belongs_to_the_sheet() -> None:
    made = template()
    for sheet, page in zip(wrap_sheets(made, "letter").sheets, read(made).pages, strict=True):
        drawn = curve_on(page)
        width = float(page.mediabox.width) * MM
        seen = [x for x, _y in drawn if 6 <= x <= width - 6]
        assert max(seen) - min(seen) >= min(sheet.part.width, made.circumference_mm) - 24


def test_the_seams_are_a_circumference_apart() -> None:
    made = template("saddle 1 pipe sch 40 onto 2 pipe")
    upright = [
        path[0][0]
        for path in paths(read(made).pages[0])
        if len(path) == 2
        and abs(path[0][0] - path[1][0]) < 1e-6
        and abs(path[0][1] - path[1][1]) > 30
    ]
    gaps = {round(b - a, 2) for a in upright for b in upright}
    assert round(made.circumference_mm, 2) in gaps


def test_every_page_has_a_square_of_one_inch_to_measure() -> None:
    for page in read(template()).pages:
        sides = [
            (round(path[1][0] - path[0][0], 3), round(path[1][1] - path[0][1], 3))
            for path in paths(page)
            if len(path) == 2
        ]
        assert (25.4, 25.4) in sides


def test_pages_are_numbered_and_say_how_they_join() -> None:
    said = [page.extract_text() for page in read(template()).pages]
    for number, text in enumerate(said, 1):
        assert f"page {number} of 3" in text
        assert "Measure the square first." in text
    assert "line A of page 1" in said[1]
    assert "line B of page 2" in said[2]
    assert "Cut this page" not in said[0]


def test_every_line_has_its_figure_and_every_centre_line_its_name() -> None:
    text = read(template("saddle 1 pipe sch 40 onto 2 pipe at 60")).pages[0].extract_text()
    for number in range(16):
        assert f"f{number}" in text
    for name in ("throat, acute side", "heel, obtuse side", "side", "tab", "BRANCH STAYS"):
        assert name in text


def test_only_greys_are_used() -> None:
    colours: list[bytes] = []
    page = read(template()).pages[0]
    page.extract_text(visitor_operand_before=lambda operator, *_rest: colours.append(operator))
    assert not {b"rg", b"RG", b"k", b"K"} & set(colours)


def test_the_same_template_gives_the_same_bytes() -> None:
    made = template()
    assert wrap_pdf(made, TEXTS, "letter") == wrap_pdf(made, TEXTS, "letter")


def test_a_steep_cut_spreads_upwards_too() -> None:
    made = template("saddle 8 pipe sch 40 onto 12 pipe at 20")
    sheets = wrap_sheets(made, "letter")
    assert sheets.rows > 1
    assert len(read(made).pages) == len(sheets.sheets)
