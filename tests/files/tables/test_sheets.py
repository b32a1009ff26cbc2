"""Files as spreadsheets write them: separators, marks, line ends, quotes, workbooks."""

from __future__ import annotations

from contextlib import suppress
from datetime import date, datetime
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from crib.errors import BadInput, BadRows
from crib.files.tables.cells import Units
from crib.files.tables.columns import find_table
from crib.files.tables.rows import read_rows
from crib.files.tables.sheets import read_csv, read_source
from crib.files.tables.table_lines import TableLines

KINDS = find_table("kinds")


def lines(content: bytes) -> list[tuple[int, list[str]]]:
    (sheet,) = read_csv(KINDS, "kinds.csv", content)
    return [(sheet.heading_line, sheet.heading), *sheet.lines]


@pytest.mark.parametrize(
    "content",
    [
        b"role,size\npunch,1\n",
        b"role;size\r\npunch;1\r\n",
        b"role\tsize\rpunch\t1\r",
        b"\xef\xbb\xbfrole,size\r\npunch,1",
        "role;size\r\npunch;1".encode("utf-16"),
    ],
    ids=["comma", "semicolon and CRLF", "tab and CR", "mark", "UTF-16"],
)
def test_the_separator_the_mark_and_the_line_ends_do_not_matter(content: bytes) -> None:
    assert lines(content) == [(1, ["role", "size"]), (2, ["punch", "1"])]


def test_a_separator_line_of_a_spreadsheet_is_obeyed() -> None:
    assert lines(b"sep=;\r\nrole;size\r\npunch;1") == [(2, ["role", "size"]), (3, ["punch", "1"])]


def test_the_separator_is_that_which_names_the_most_columns() -> None:
    assert lines(b'role;"name, or what, it, is";size\npunch;a;1')[0][1][2] == "size"


def test_text_that_is_not_utf_8_is_taken_for_cp1252() -> None:
    assert lines("name,role\nM\xfcller,punch".encode("cp1252"))[1] == (2, ["M\xfcller", "punch"])


def test_empty_lines_are_left_out_and_still_counted() -> None:
    content = b'\n,,\nrole,note\n\n"punch","a\nb"\n  ,\ndie,c\n'
    assert lines(content) == [
        (3, ["role", "note"]),
        (5, ["punch", "a\nb"]),
        (8, ["die", "c"]),
    ]


def test_an_inch_sign_in_a_cell_is_not_a_quote() -> None:
    assert lines(b'role,size\npunch,13/16"\n')[1] == (2, ["punch", '13/16"'])


def test_a_file_with_nothing_in_it_is_no_sheet() -> None:
    assert read_csv(KINDS, "kinds.csv", b"\r\n ;\r\n") == []


def test_a_quote_that_is_not_closed_is_a_fault_of_its_line() -> None:
    with pytest.raises(BadRows, match=r"kinds.csv is not a sound CSV file") as caught:
        lines(b'role,size\npunch,1\ndie,"2\npunch,3\n')
    assert (caught.value.faults[0].line, caught.value.faults[0].file) == (3, "kinds.csv")


def test_a_folder_gives_every_table_in_it(tmp_path: Path) -> None:
    (tmp_path / "Kinds.CSV").write_text("role\npunch")
    (tmp_path / "job lines.tsv").write_text("job\tphrase\nJ\tx")
    for name in ("README.txt", ".hidden.csv", "~lock.xlsx"):
        (tmp_path / name).write_text("not a table")
    assert sorted(sheet.table.name for sheet in read_source(tmp_path)) == ["job_lines", "kinds"]


@pytest.mark.parametrize(
    ("name", "message", "way_out"),
    [
        ("nothing", "there is nothing at", "folder of CSV"),
        ("kinds.pdf", "kinds.pdf is not a CSV or XLSX file", "save it as CSV"),
        ("kinds.xlsx", "not a workbook that can be read", "save it as XLSX"),
        ("empty", "holds no CSV or XLSX file", "import.template"),
    ],
)
def test_what_is_not_a_source_is_refused(
    tmp_path: Path, name: str, message: str, way_out: str
) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "kinds.pdf").write_text("x")
    (tmp_path / "kinds.xlsx").write_text("x")
    with pytest.raises(BadInput, match=message) as caught:
        read_source(tmp_path / name)
    assert way_out in str(caught.value.way_out)


def test_a_file_not_named_for_a_table_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "peaces.csv").write_text("tag\nP-1")
    with pytest.raises(BadRows, match="cannot be taken in") as caught:
        read_source(tmp_path)
    assert "no table is called 'peaces'" in str(caught.value.faults[0])
    assert "pieces" in str(caught.value.faults[0])


def test_a_table_that_comes_twice_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "kind.csv").write_text("role\npunch")
    (tmp_path / "kinds.csv").write_text("role\npunch")
    with pytest.raises(BadRows, match="cannot be taken in") as caught:
        read_source(tmp_path)
    assert "the table kinds is in kind.csv already" in str(caught.value.faults[0])


def book(path: Path, **pages: list[list[Any]]) -> Path:
    made = Workbook()
    made.remove(made.worksheets[0])
    for name, rows in pages.items():
        page = made.create_sheet(name)
        for row in rows:
            page.append(row)
    made.save(path)
    return path


def the(sheets: list[TableLines]) -> TableLines:
    assert len(sheets) == 1
    return sheets[0]


def test_a_workbook_gives_a_table_for_each_sheet_with_anything_on_it(tmp_path: Path) -> None:
    path = book(tmp_path / "shop.xlsx", Kinds=[["role"], ["die"]], People=[["name"]], Sheet3=[])
    assert [sheet.table.name for sheet in read_source(path)] == ["kinds", "people"]


def test_a_workbook_with_one_sheet_is_named_by_its_file(tmp_path: Path) -> None:
    sheet = the(read_source(book(tmp_path / "kinds.xlsx", Sheet1=[[], ["role"], ["die"]])))
    assert (sheet.table.name, sheet.file) == ("kinds", "kinds.xlsx [Sheet1]")
    assert (sheet.heading_line, list(sheet.lines)) == (2, [(3, ["die"])])


def test_a_sheet_not_named_for_a_table_is_a_fault(tmp_path: Path) -> None:
    path = book(tmp_path / "shop.xlsx", kinds=[["role"], ["die"]], colours=[["red"]])
    with pytest.raises(BadRows, match="cannot be taken in") as caught:
        read_source(path)
    assert caught.value.faults[0].file == "shop.xlsx [colours]"


def test_cells_of_a_workbook_are_what_a_person_would_have_typed(tmp_path: Path) -> None:
    row = [True, 5, 5.0, 0.8125, date(2026, 3, 2), datetime(2026, 3, 2, 14, 30), None, "a", 1e-05]
    made = the(read_source(book(tmp_path / "kinds.xlsx", kinds=[["role"] * len(row), row])))
    assert next(made.lines)[1] == [
        *("yes", "5", "5", "0.8125", "2026-03-02", "2026-03-02T14:30:00", "", "a", "0.00001")
    ]


def test_a_number_shown_as_a_fraction_is_inches(tmp_path: Path) -> None:
    made = Workbook()
    page = made.worksheets[0]
    page.append(["size"])
    page.append([0.8125])
    page["A2"].number_format = "# ??/??"
    made.save(tmp_path / "kinds.xlsx")
    assert next(the(read_source(tmp_path / "kinds.xlsx")).lines) == (2, ["0.8125 in"])


texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=200)
signs = st.lists(st.sampled_from(list("role,;size\t\"\n\r'=- 13/16punchdie")), max_size=60)


@given(content=st.binary(max_size=200) | texts.map(str.encode))
def test_no_bytes_do_more_than_give_rows_or_faults(content: bytes) -> None:
    with suppress(BadRows):
        for sheet in read_csv(KINDS, "kinds.csv", content):
            read_rows(sheet, Units())


@given(words=signs)
def test_no_arrangement_of_signs_does_more_than_give_rows_or_faults(words: list[str]) -> None:
    with suppress(BadRows):
        for sheet in read_csv(KINDS, "kinds.csv", b"role;size\n" + "".join(words).encode()):
            assert all(row.line > 1 for row in read_rows(sheet, Units()).rows)


def test_a_cell_that_is_far_too_long_is_a_fault() -> None:
    with pytest.raises(BadRows, match="not a sound CSV file"):
        lines(b"role," + b"x" * 200_000)


@pytest.mark.parametrize("part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml"])
@pytest.mark.parametrize("content", [b"", b"<broken"])
def test_a_broken_workbook_is_refused(tmp_path: Path, part: str, content: bytes) -> None:
    path = book(tmp_path / "kinds.xlsx", kinds=[["role"], ["die"]])
    with ZipFile(path) as whole, ZipFile(tmp_path / "people.xlsx", "w") as broken:
        for name in whole.namelist():
            broken.writestr(name, content if name == part else whole.read(name))
    with pytest.raises(BadInput, match="not a workbook that can be read"):
        read_source(tmp_path / "people.xlsx")
