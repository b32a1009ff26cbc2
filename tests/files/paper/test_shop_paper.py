"""What all shop papers share: pages, frames, breaks, whole files, the same bytes."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from crib.errors import BadValue
from crib.files.paper.shop_paper import PaperFrame, paper_pdf, write_paper
from crib.files.paper.shop_paper_parts import ruled, text, tick
from tests.files.paper_samples import pages

FRAME = PaperFrame("Title", ("Job J-1", "Made 2026-11-25"), ("Mind your hands.",))


def of_rows(frame: PaperFrame, *rows: str) -> tuple[bytes, int]:
    """A paper of one table with a text in each row."""
    return paper_pdf(
        frame, lambda width: [ruled(("Words",), [[text(row)] for row in rows], (width,))]
    )


def test_head_and_foot_stand_on_every_page_with_its_number() -> None:
    data, count = of_rows(FRAME, *["row"] * 120)
    said = pages(data)
    assert count == len(said) > 2
    for number, page in enumerate(said, 1):
        assert f"page {number} of {count}" in page
        for word in ("Title", "Job J-1", "Made 2026-11-25", "Words", "Mind your hands."):
            assert word in page


def test_no_row_is_lost_or_broken_between_pages() -> None:
    rows = [f"row {number} begins {'word ' * 60}and row {number} ends" for number in range(40)]
    data, _count = of_rows(FRAME, *rows)
    said = pages(data)
    for number in range(40):
        holders = [page for page in said if f"row {number} begins" in page]
        assert len(holders) == 1
        assert f"row {number} ends" in holders[0]


def test_a_row_that_is_taller_than_a_page_goes_on_to_the_next() -> None:
    data, count = of_rows(FRAME, "first", f"{'word ' * 3000}end", "last")
    assert count > 2
    assert "last" in pages(data)[-1]


def test_a_row_is_never_lower_than_the_least_nor_than_its_words_need() -> None:
    rows = [[text("short")], [text("word " * 60)]]
    plain: Any = ruled(("Words",), rows, (120.0,))
    least: Any = ruled(("Words",), rows, (120.0,), least=40.0)
    heading, short, long = least._rowHeights
    assert short == 40.0
    assert (heading, long) == (plain._rowHeights[0], plain._rowHeights[2])
    assert long > 100.0


def test_a_word_that_is_wider_than_its_column_is_broken_inside() -> None:
    data, count = of_rows(FRAME, "W" * 400)
    assert count == 1
    assert pages(data)[0].count("W") - 1 == 400


def test_signs_of_other_programs_are_printed_as_words_and_not_obeyed() -> None:
    said = pages(of_rows(FRAME, "<b>a & b</b> ⌀22 ≤ 3/8")[0])[0]
    assert "<b>a & b</b> dia 22 <= 3/8" in said


def test_a_long_foot_is_printed_smaller_before_it_is_refused() -> None:
    long = PaperFrame(
        "Title", (), tuple(f"caution {number} {'word ' * 30}" for number in range(10))
    )
    assert "caution 9" in pages(of_rows(long, "row")[0])[0]


def test_a_head_and_foot_that_leave_no_page_are_refused() -> None:
    endless = PaperFrame("Title", (), ("word " * 5000,))
    with pytest.raises(BadValue, match=r"head and foot take \d+ % of a page, must be <= 50 %"):
        of_rows(endless, "row")


def test_the_same_paper_gives_the_same_bytes() -> None:
    assert of_rows(FRAME, "row") == of_rows(FRAME, "row")


def test_only_black_white_and_grey_are_used() -> None:
    colours: list[tuple[float, ...]] = []

    def note(operator: bytes, operands: list[float], *_rest: object) -> None:
        if operator in (b"rg", b"RG"):
            colours.append(tuple(float(one) for one in operands))

    page = PdfReader(BytesIO(of_rows(FRAME, "row")[0])).pages[0]
    page.extract_text(visitor_operand_before=note)
    assert [one for one in colours if len(set(one)) > 1] == []


def test_a_file_is_written_whole_and_nothing_stays_beside_it(tmp_path: Path) -> None:
    place = tmp_path / "paper.pdf"
    assert write_paper(FRAME, lambda _width: [tick()], place) == 1
    assert [one.name for one in tmp_path.iterdir()] == ["paper.pdf"]
    held = BytesIO()
    write_paper(FRAME, lambda _width: [tick()], held)
    assert held.getvalue() == place.read_bytes()


def test_a_file_that_cannot_be_made_leaves_what_was_there(tmp_path: Path) -> None:
    place = tmp_path / "paper.pdf"
    place.write_bytes(b"old")
    endless = PaperFrame("Title", (), ("word " * 5000,))
    with pytest.raises(BadValue, match="head and foot"):
        write_paper(endless, lambda _width: [tick()], place)
    assert place.read_bytes() == b"old"
