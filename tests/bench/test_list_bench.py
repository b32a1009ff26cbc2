"""Reading a list of very many lines, against the library that reads its workbook bare."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from tests.bench.ratios import compare, timed_as_it_runs

pytestmark = pytest.mark.bench

LINES = 20_000
PHRASES = 200
ROUNDS = 3


@pytest.fixture(scope="module")
def workbook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Twenty thousand lines of two hundred different features."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Parts")
    sheet.append(["phrase", "quantity", "each", "mark"])
    for number in range(LINES):
        phrase = f"hole {number % PHRASES + 8}/16 thru 3/8 A36"
        sheet.append([phrase, number % 24 + 1, 4, f"P-{number}"])
    path = tmp_path_factory.mktemp("list") / "list.xlsx"
    book.save(path)
    return path


def read_as_parts(path: Path) -> None:
    """Read the list as ``crib read`` does, and count its lines by size."""
    from crib.desk.parts.read_parts import ReadRequest, read_parts

    assert len(read_parts(None, ReadRequest((path,))).lines) == LINES


def read_bare(path: Path) -> None:
    """Every value of the workbook by the library alone."""
    book = load_workbook(path, read_only=True, data_only=True)
    assert sum(len(row) for row in book["Parts"].iter_rows(values_only=True)) == 4 * (LINES + 1)
    book.close()


def test_a_long_list_is_read_within_five_times_its_bare_reading(workbook: Path) -> None:
    found = compare(
        "a workbook of 20,000 lines, counted by size",
        lambda: timed_as_it_runs(lambda: read_as_parts(workbook)),
        ("openpyxl reading its values", lambda: timed_as_it_runs(lambda: read_bare(workbook))),
        limit=5,
        rounds=ROUNDS,
    )
    assert found.ratio <= found.limit, found.line
