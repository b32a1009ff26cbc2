"""Reading a list of very many lines, against reading its file bare."""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from crib.files.common.reading_ledger import ReadingLedger
from tests.bench.ratios import compare, timed_as_it_runs

pytestmark = pytest.mark.bench

LINES = 20_000
PHRASES = 200
ROUNDS = 3


HEADING = ("phrase", "quantity", "each", "mark")


def row(number: int) -> tuple[str, int, int, str]:
    """A line of the list, one of two hundred different features."""
    phrase = f"hole {number % PHRASES + 8}/16 thru 3/8 A36"
    return phrase, number % 24 + 1, 4, f"P-{number}"


@pytest.fixture(scope="module")
def text_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Twenty thousand lines as CSV."""
    path = tmp_path_factory.mktemp("list") / "list.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([HEADING, *map(row, range(LINES))])
    return path


@pytest.fixture(scope="module")
def workbook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Twenty thousand lines as a workbook."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Parts")
    sheet.append(HEADING)
    for number in range(LINES):
        sheet.append(row(number))
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


def count_bare(path: Path) -> None:
    """What any reading of the text has to do: decode, cells, numbers, a count, each line's end."""
    ledger = ReadingLedger(path.name)
    found: Counter[tuple[str, str, int]] = Counter()
    with path.open(encoding="utf-8-sig", newline="") as file:
        reader = csv.DictReader(file)
        for line in reader:
            each = int(line["each"])
            found[line["mark"], line["phrase"], int(line["quantity"])] += each
            ledger.meet(reader.line_num, "row", reader.line_num, line["phrase"])
            ledger.count(reader.line_num, each)
    assert len(ledger.closed(found.total()).items) == len(found) == LINES


def test_a_long_list_of_text_is_read_within_five_times_counting_its_cells(text_file: Path) -> None:
    found = compare(
        "a text file of 20,000 lines, counted by size",
        lambda: timed_as_it_runs(lambda: read_as_parts(text_file)),
        ("csv, counting and accounting", lambda: timed_as_it_runs(lambda: count_bare(text_file))),
        limit=5,
        rounds=ROUNDS,
    )
    assert found.ratio <= found.limit, found.line


def test_a_long_list_is_read_within_five_times_its_bare_reading(workbook: Path) -> None:
    found = compare(
        "a workbook of 20,000 lines, counted by size",
        lambda: timed_as_it_runs(lambda: read_as_parts(workbook)),
        ("openpyxl reading its values", lambda: timed_as_it_runs(lambda: read_bare(workbook))),
        limit=5,
        rounds=ROUNDS,
    )
    assert found.ratio <= found.limit, found.line
