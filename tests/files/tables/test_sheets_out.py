"""Files going out: nothing is written over, nothing half written stays."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.errors import BadValue, Refused
from crib.files.tables import sheets_out
from crib.files.tables.columns import TABLES, find_table
from crib.files.tables.sheets import read_source
from crib.files.tables.sheets_out import Cells, write_folder, write_workbook
from crib.files.tables.template import write_template

PEOPLE = find_table("people")
MACHINES = find_table("machines")


def broken() -> Iterator[Cells]:
    yield ["bench 2", ""]
    message = "the disk is full"
    raise BadValue(message)


def test_a_folder_holds_a_csv_for_each_table(tmp_path: Path) -> None:
    counts = write_folder(
        tmp_path / "out", [(PEOPLE, [["bench 2", "a;b,c", "", ""]]), (MACHINES, [])]
    )
    assert counts == {"people": 1, "machines": 0}
    text = (tmp_path / "out" / "people.csv").read_bytes()
    assert text == b'\xef\xbb\xbfname,role,may,site\r\nbench 2,"a;b,c",,\r\n'


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "machines.csv").write_text("mine")
    with pytest.raises(Refused, match=r"machines.csv is there already"):
        write_folder(tmp_path, [(PEOPLE, [["bench 2", ""]]), (MACHINES, [])])
    assert [path.name for path in tmp_path.iterdir()] == ["machines.csv"]
    assert (tmp_path / "machines.csv").read_text() == "mine"


def test_a_folder_that_cannot_be_finished_is_taken_away(tmp_path: Path) -> None:
    with pytest.raises(BadValue, match="disk is full"):
        write_folder(tmp_path / "out", [(MACHINES, []), (PEOPLE, broken())])
    assert list(tmp_path.iterdir()) == []


def test_a_workbook_that_cannot_be_finished_is_taken_away(tmp_path: Path) -> None:
    with pytest.raises(BadValue, match="disk is full"):
        write_workbook(tmp_path / "out.xlsx", [(PEOPLE, broken())])
    assert list(tmp_path.iterdir()) == []


def test_a_workbook_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "out.xlsx").write_text("mine")
    with pytest.raises(Refused, match=r"out.xlsx is there already"):
        write_workbook(tmp_path / "out.xlsx", [(PEOPLE, [])])


def test_more_rows_than_a_sheet_holds_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sheets_out, "MOST_SHEET_ROWS", 2)
    with pytest.raises(Refused, match="people has more than the 2 rows") as caught:
        write_workbook(tmp_path / "out.xlsx", [(PEOPLE, [["a", ""], ["b", ""], ["c", ""]])])
    assert "CSV" in str(caught.value.way_out)
    assert list(tmp_path.iterdir()) == []


def test_a_text_longer_than_a_cell_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="people has a text of more than 32767 characters"):
        write_workbook(tmp_path / "out.xlsx", [(PEOPLE, [["x" * 32_768, ""]])])
    assert list(tmp_path.iterdir()) == []


def test_a_workbook_has_no_character_that_it_cannot_hold(tmp_path: Path) -> None:
    write_workbook(tmp_path / "people.xlsx", [(PEOPLE, [["bench\x07 2", "1"]])])
    (sheet,) = read_source(tmp_path / "people.xlsx")
    assert next(sheet.lines)[1][0] == "bench\ufffd 2"


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_a_template_describes_every_column(tmp_path: Path, unit: str) -> None:
    files = write_template(tmp_path / "t", "mm" if unit == "mm" else "in")
    assert sorted(path.name for path in (tmp_path / "t").iterdir()) == sorted(files)
    page = (tmp_path / "t" / "README.txt").read_text(encoding="utf-8")
    assert max(len(line) for line in page.splitlines()) <= 80
    for table in TABLES:
        assert (f"\n{table.name}.csv\n" in page) != table.only_whole
        for column in table.columns:
            assert table.only_whole or f"\n  {column.name}" in page


def test_a_template_gives_examples_in_the_cribs_unit(tmp_path: Path) -> None:
    write_template(tmp_path / "t", "mm")
    assert "20.6 mm" in (tmp_path / "t" / "kinds.csv").read_text(encoding="utf-8")


def test_a_template_writes_over_nothing(tmp_path: Path) -> None:
    (tmp_path / "README.txt").write_text("mine")
    with pytest.raises(Refused, match=r"README.txt is there already"):
        write_template(tmp_path, "in")
    assert (tmp_path / "README.txt").read_text() == "mine"
    assert len(list(tmp_path.iterdir())) == 1
