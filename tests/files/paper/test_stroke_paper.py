"""The paper stroke sheet read back: its codes, its boxes, and how it is typed in."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from crib.acts import act
from crib.cli.wording import spelled
from crib.errors import BadValue
from crib.files.paper.stroke_paper import ROW, StrokePaper, typed_back, write_stroke_paper
from tests.files.paper_samples import pages, stroke_paper


def pdf(sheet: StrokePaper, paper: str = "Letter") -> bytes:
    """The file of a sheet."""
    held = BytesIO()
    count = write_stroke_paper(sheet, held, paper, spelled)
    data = held.getvalue()
    assert len(PdfReader(BytesIO(data)).pages) == count
    return data


def boxes(data: bytes) -> int:
    """How many boxes to tick there are on all pages."""
    found = 0

    def count(operator: bytes, operands: Any, *_rest: object) -> None:
        nonlocal found
        if operator == b"re" and float(operands[2]) == float(operands[3]):
            found += 1

    for page in PdfReader(BytesIO(data)).pages:
        page.extract_text(visitor_operand_before=count)
    return found


@pytest.mark.parametrize(
    "words",
    [
        "Strokes of the shift",
        "Machine Ironworker 1 (north bay) Made 2026-11-25 Sheet 7",
        "Line Tool and work Planned Count About Who Shift date Note",
        "7-1 P-0139 / D-0202 hole 13/16 thru 3/8 A36 job J-1207 120",
        "job J-1207 - 7-3",
        "To type it in, each code and its count: crib log 7-1 400 7-2 60",
        "A line without a code: crib log P-0137 400 thru 3/8 A36",
    ],
)
def test_the_sheet_says(words: str) -> None:
    assert words in pages(pdf(stroke_paper()))[0]


def test_the_sheet_lies() -> None:
    page = PdfReader(BytesIO(pdf(stroke_paper(), "a4"))).pages[0]
    assert page.mediabox.width > page.mediabox.height


def test_planned_and_blank_lines_each_have_one_box_to_tick() -> None:
    data = pdf(stroke_paper(7, 9))
    assert len(pages(data)) > 1
    assert boxes(data) == 16


def test_a_row_is_high_enough_for_a_glove() -> None:
    assert ROW >= 72 * 0.5


def test_each_page_says_how_to_type_it_in() -> None:
    said = pages(pdf(stroke_paper(30, 4)))
    assert len(said) > 2
    assert all("crib log 7-1 400 7-2 60" in page for page in said)


def test_a_sheet_of_blank_lines_only_shows_the_tag_to_type() -> None:
    said = pages(pdf(stroke_paper(0, 10)))[0]
    assert "each code" not in said
    assert "A line without a code" in said


def test_one_line_is_typed_with_its_one_code() -> None:
    assert typed_back(stroke_paper(1).lines) == act("log", words="7-1 400")
    assert typed_back(()) is None


def test_a_long_code_is_still_whole() -> None:
    sheet = stroke_paper(1)
    long = replace(sheet, lines=(replace(sheet.lines[0], code="1024-17"),))
    assert "1024-17" in pages(pdf(long))[0]


@pytest.mark.parametrize(
    ("lines", "blank_lines", "words"),
    [
        (0, 0, "the stroke sheet '7' has no line"),
        (1, -1, "blank_lines=-1 must be 0 to 60"),
        (1, 61, "blank_lines=61 must be 0 to 60"),
    ],
)
def test_a_sheet_that_cannot_be_filled_in_is_refused(
    lines: int, blank_lines: int, words: str
) -> None:
    with pytest.raises(BadValue, match=words):
        pdf(stroke_paper(lines, blank_lines))
