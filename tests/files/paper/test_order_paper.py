"""An order on paper and in tables: complete, guarded, whole or not at all."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from crib.errors import BadInput, Refused
from crib.files.paper.order_paper import COLUMNS, PaperOrder, PaperOrderLine, write_order

LINES = (
    PaperOrderLine(
        *(1, 2, "round punch 13/16 in", "seat A: head 35 mm", "2 punches, round 13/16 in, seat A"),
        *(4250, "2026-05-01", "24-118"),
    ),
    PaperOrderLine(2, 1, "die", "special", "=1 die, special", None, "", "", ("a drawing",)),
)
ORDER = PaperOrder(
    *("2026-0007", "Our shop", "1 Mill Road, 99999 Ourtown", "North", "12 North Street, Anytown"),
    *("2026-03-02", "2026-05-01", "nights", "USD", LINES),
)


def test_the_pdf_has_every_line_and_what_is_to_be_settled(tmp_path: Path) -> None:
    path = tmp_path / "order.pdf"
    write_order(ORDER, path)
    text = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(path).pages)
    for words in (
        *("Order 2026-0007", "To North 12 North Street Anytown", "Needed by 2026-05-01"),
        *("From Our shop 1 Mill Road 99999 Ourtown", "round punch 13/16 in seat A: head 35 mm"),
        *(
            "our job 24-118",
            "42.50",
            "85.00",
            "quote",
            "To be settled: a drawing",
            "85.00 USD, and 1 to be quoted",
            "add no clearance",
        ),
    ):
        assert words in text


def test_the_csv_keeps_every_figure_and_no_formula(tmp_path: Path) -> None:
    path = tmp_path / "order.csv"
    write_order(ORDER, path)
    with path.open(encoding="utf-8-sig", newline="") as file:
        head, first, second = csv.reader(file)
    assert tuple(head) == COLUMNS
    assert first == ["1", "2", LINES[0].text, "42.50", "85.00", "USD", "2026-05-01", "24-118", ""]
    assert second[:5] == ["2", "1", "'=1 die, special", "", ""]
    assert second[-1] == "a drawing"


def test_the_workbook_says_the_same(tmp_path: Path) -> None:
    path = tmp_path / "order.xlsx"
    write_order(ORDER, path)
    page = load_workbook(path).worksheets[0]
    rows = list(page.iter_rows(values_only=True))
    assert rows[0] == COLUMNS
    assert rows[1][:5] == (1, 2, LINES[0].text, "42.50", "85.00")


def test_a_hundred_lines_go_on_over_the_page(tmp_path: Path) -> None:
    many = tuple(
        PaperOrderLine(at, 1, f"punch no {at}", "", f"1 punch no {at}", 100, "", "")
        for at in range(1, 101)
    )
    path = tmp_path / "order.pdf"
    write_order(replace(ORDER, lines=many), path)
    pages = PdfReader(path).pages
    assert len(pages) > 1
    assert "punch no 100" in pages[-1].extract_text()


def test_another_ending_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"must end in .pdf"):
        write_order(ORDER, tmp_path / "order.doc")


@pytest.mark.parametrize("name", ["order.pdf", "order.csv", "order.xlsx"])
def test_nothing_is_written_over(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_text("mine", "utf-8")
    with pytest.raises(Refused, match="is there already"):
        write_order(ORDER, path)
    assert path.read_text("utf-8") == "mine"
