"""Sheets of labels: they lie on their paper, are said in words, and labels find their places."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadInput, BadValue, UnknownName
from crib.files.paper.label_sheets import LABEL_SHEETS, LabelSheet, places, read_label_sheet

OFFICE = read_label_sheet("a4 3x8")


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.name)
def test_a_sheet_lies_on_its_paper_and_its_labels_do_not_overlap(sheet: LabelSheet) -> None:
    width_mm, height_mm = sheet.paper_mm
    spots = [spot[1:] for spot in places(sheet, sheet.count)]
    assert len(set(spots)) == sheet.count
    assert min(left for left, _top in spots) >= 0
    assert min(top for _left, top in spots) >= 0
    assert max(left for left, _top in spots) + sheet.width_mm <= width_mm + 0.01
    assert max(top for _left, top in spots) + sheet.height_mm <= height_mm + 0.01
    assert sheet.across_mm >= sheet.width_mm
    assert sheet.down_mm >= sheet.height_mm


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.name)
def test_a_sheet_is_found_by_its_name_in_full_and_short(sheet: LabelSheet) -> None:
    assert read_label_sheet(sheet.name) is sheet
    assert read_label_sheet(f"  {sheet.paper.upper()}  {sheet.columns}X{sheet.rows} ") is sheet


def test_no_two_sheets_have_the_same_short_name() -> None:
    assert len({(one.paper, one.columns, one.rows) for one in LABEL_SHEETS}) == len(LABEL_SHEETS)


@pytest.mark.parametrize(
    ("said", "left_mm", "top_mm"),
    [
        ("a4 3x8", 0.0, 0.5),
        ("a4 3x7", 7.25, 15.15),
        ("letter 3x10", 4.7625, 12.7),
        ("letter 2x5", 3.96875, 12.7),
    ],
)
def test_the_field_stands_in_the_middle_of_the_paper(
    said: str, left_mm: float, top_mm: float
) -> None:
    sheet = read_label_sheet(said)
    assert (sheet.left_mm, sheet.top_mm) == pytest.approx((left_mm, top_mm))


def test_another_sheet_is_said_with_size_and_pitch() -> None:
    sheet = read_label_sheet("A4 3×9 63.5x29.6 every 66x29.6")
    assert sheet == LabelSheet("a4", 3, 9, 63.5, 29.6, 66.0, 29.6)
    assert sheet.name == "a4 3x9 63.5x29.6"


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("", "cannot be read"),
        ("three by eight", "cannot be read"),
        ("a4 3x8 70", "cannot be read"),
        ("a4 3x9 every 66x29.6", r"needs a paper \(a4, letter\) and a size"),
        ("a5 3x9 63.5x29.6 every 66x29.6", r"needs a paper \(a4, letter\)"),
        ("a4 3x9 6.3.5x29.6 every 66x29.6", "is no number"),
    ],
)
def test_words_that_describe_no_sheet_are_refused(said: str, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        read_label_sheet(said)


@pytest.mark.parametrize("said", ["a4 3x9", "letter 3x8", "a4 3x8 70x38"])
def test_a_sheet_that_is_not_known_lists_those_that_are(said: str) -> None:
    with pytest.raises(UnknownName, match="known: a4 3x8 70x37;") as caught:
        read_label_sheet(said)
    assert "every 66x29.6" in str(caught.value.way_out)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("a4 0x9 63.5x29.6 every 66x29.6", "0 columns and 9 rows must both be > 0"),
        ("a4 3x9 9.9x29.6 every 66x29.6", "labels of 9.9 x 29.6 mm must be >= 10 mm"),
        (
            "a4 3x9 63.5x29.6 every 63x29.6",
            "a pitch of 63 x 29.6 mm, from edge to edge, must be >= the label's",
        ),
        ("a4 3x9 63.5x29.6 every 66x34", "are larger than their paper of 210 x 297 mm"),
        ("a4 4x9 63.5x29.6 every 66x29.6", "are larger than their paper"),
    ],
)
def test_labels_that_cannot_be_on_their_paper_are_refused(said: str, words: str) -> None:
    with pytest.raises(BadValue, match=words):
        read_label_sheet(said)


def test_labels_go_along_the_rows_and_on_to_the_next_sheet() -> None:
    spots = list(places(OFFICE, 25))
    assert spots[1] == (0, 70.0, 0.5)
    assert spots[3] == (0, 0.0, 37.5)
    assert spots[24] == (1, 0.0, 0.5)


@pytest.mark.parametrize("skip", [-1, 24, 100])
def test_more_than_a_sheet_cannot_be_skipped(skip: int) -> None:
    with pytest.raises(BadValue, match=rf"skip={skip} must be 0 to 23 on a4 3x8 70x37"):
        list(places(OFFICE, 1, skip))


@given(
    st.sampled_from(LABEL_SHEETS),
    st.integers(min_value=1, max_value=200),
    st.integers(min_value=0, max_value=9),
)
def test_skipping_is_having_printed_so_many_before(
    sheet: LabelSheet, count: int, skip: int
) -> None:
    assert list(places(sheet, count, skip)) == list(places(sheet, count + skip))[skip:]
