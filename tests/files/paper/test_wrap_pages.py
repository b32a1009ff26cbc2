"""A drawing over several sheets: nothing is lost, every join is seen on both sides."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.files.common.paper_sizes import PAPERS_MM
from crib.files.paper.picture_paper import Box
from crib.files.paper.wrap_pages import OVERLAP_MM, spread


@given(
    width=st.floats(20, 2000),
    height=st.floats(20, 1200),
    left=st.floats(-50, 50),
    paper=st.sampled_from(sorted(PAPERS_MM)),
)
def test_every_part_fits_its_sheet_and_all_of_them_cover_the_drawing(
    width: float, height: float, left: float, paper: str
) -> None:
    drawing = Box(left, -24, left + width, -24 + height)
    sheets = spread(drawing, paper)
    assert len(sheets.sheets) == sheets.columns * sheets.rows
    for one in sheets.sheets:
        assert one.part.width <= sheets.room.width + 1e-6
        assert one.part.height <= sheets.room.height + 1e-6
    row = [one for one in sheets.sheets if one.row == 0]
    assert row[0].part.left == pytest.approx(drawing.left)
    assert row[-1].part.right == pytest.approx(drawing.right)
    for before, after in pairwise(row):
        assert before.part.right - after.part.left == pytest.approx(OVERLAP_MM)
    column = [one for one in sheets.sheets if one.column == 0]
    assert column[-1].part.top == pytest.approx(drawing.top)


def test_what_fits_one_sheet_takes_one_without_joins() -> None:
    (sheet,) = spread(Box(0, 0, 150, 100), "letter").sheets
    assert (sheet.number, sheet.joins_left, sheet.joins_below) == (1, "", "")


def test_a_tall_drawing_stands_upright() -> None:
    sheets = spread(Box(0, 0, 150, 200), "a4")
    assert (sheets.width_mm, sheets.height_mm, len(sheets.sheets)) == (210.0, 297.0, 1)


def test_every_join_has_a_letter_of_its_own() -> None:
    sheets = spread(Box(0, 0, 900, 600), "letter")
    letters = [letter for one in sheets.sheets for letter in (one.joins_left, one.joins_below)]
    used = [letter for letter in letters if letter]
    joins = sheets.rows * (sheets.columns - 1) + (sheets.rows - 1) * sheets.columns
    assert len(used) == len(set(used)) == joins
    assert sorted(used)[0] == "A"


def test_an_unknown_paper_is_refused_with_the_known_ones() -> None:
    with pytest.raises(BadValue, match="unknown paper 'a0'; known: A4, Letter"):
        spread(Box(0, 0, 10, 10), "a0")
