"""Workbooks as people and programs leave them: every cell is read, told of, or the file refused."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from crib.errors import BadInput, BadRows
from crib.features.common.plate_phrase import Reading
from crib.files.drawings.part_list import read_part_list
from crib.files.tables import workbook_scan
from crib.files.tables.cells import Units
from crib.files.tables.columns import find_table
from crib.files.tables.rows import read_rows
from crib.files.tables.shop_list import read_shop_list
from crib.files.tables.table_lines import TableLines
from crib.files.tables.workbook_in import BookPage, pages_of
from crib.trade.shop.shop_rules import Rules

Cells = Sequence[Sequence[str | float | None]]
HOLE = "hole 1/2 thru 1/4 A36"


def saved(path: Path, cells: Cells, merged: Sequence[str] = ()) -> Workbook:
    book = Workbook()
    sheet = book.worksheets[0]
    for row in cells:
        sheet.append(list(row))
    for area in merged:
        sheet.merge_cells(area)
    book.save(path)
    return book


def the_page(path: Path) -> BookPage:
    (page,) = pages_of(path)
    return page


def altered(path: Path, part: str, pattern: str, into: str) -> None:
    """Write a workbook anew with one of its parts changed, as another program would write it."""
    with ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    before = parts[part].decode()
    parts[part] = re.sub(pattern, into, before, flags=re.DOTALL).encode()
    assert parts[part].decode() != before
    with ZipFile(path, "w", ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)


@given(
    cells=st.lists(
        st.lists(st.sampled_from(["", "a", 7, 2.5]), min_size=3, max_size=3),
        min_size=2,
        max_size=8,
    ).filter(lambda rows: any(cell != "" for row in rows for cell in row)),
    stated=st.sampled_from(["A1", "A1:B2", "B2:C3", "A1:ZZ90000", ""]),
    hidden_lines=st.sets(st.integers(1, 8), max_size=3),
    hidden_columns=st.sets(st.integers(1, 3), max_size=2),
)
@settings(max_examples=60, deadline=None)
def test_every_cell_is_read_or_told(
    tmp_path_factory: pytest.TempPathFactory,
    cells: list[list[str | float]],
    stated: str,
    hidden_lines: set[int],
    hidden_columns: set[int],
) -> None:
    path = tmp_path_factory.mktemp("book") / "a.xlsx"
    book = Workbook()
    sheet = book.worksheets[0]
    for row in cells:
        sheet.append([None if cell == "" else cell for cell in row])
    for line in hidden_lines:
        sheet.row_dimensions[line].hidden = True
    for column in hidden_columns:
        sheet.column_dimensions[get_column_letter(column)].hidden = True
    book.save(path)
    dimension = f'<dimension ref="{stated}"/>' if stated else ""
    altered(path, "xl/worksheets/sheet1.xml", r"<dimension ref=[^>]*>", f"{dimension} ")
    pages = pages_of(path)
    read = {
        (line, at + 1): cell
        for page in pages
        for line, row in page.lines
        for at, cell in enumerate(row)
        if cell
    }
    seen = {
        (line, column): str(cell)
        for line, row in enumerate(cells, start=1)
        for column, cell in enumerate(row, start=1)
        if cell != "" and line not in hidden_lines and column not in hidden_columns
    }
    assert read == seen
    if pages:
        told = " ".join(pages[0].notes)
        assert ("hidden lines" in told, "hidden columns" in told) == (
            bool(hidden_lines),
            bool(hidden_columns),
        )


def test_a_hidden_first_sheet_is_not_read_and_told(tmp_path: Path) -> None:
    book = saved(tmp_path / "a.xlsx", [["phrase", "qty"], [HOLE, 3]])
    old = book.create_sheet("Old", 0)
    old.append(["phrase", "qty"])
    old.append(["hole 1 thru 1/4", 500])
    old.sheet_state = "hidden"
    book.save(tmp_path / "a.xlsx")
    read = read_part_list(tmp_path / "a.xlsx", Reading(Rules.defaults()))
    assert [part.quantity for part in read.parts] == [3]
    assert [note.text for note in read.notes] == ["the sheet 'Old' is hidden and not read"]


def test_a_workbook_whose_sheets_are_all_hidden_says_so(tmp_path: Path) -> None:
    book = saved(tmp_path / "a.xlsx", [])
    book.create_sheet("Old").append(["phrase"])
    book["Old"].sheet_state = "hidden"
    book.save(tmp_path / "a.xlsx")
    with pytest.raises(BadInput, match="shows nothing: hidden are 'Old'"):
        pages_of(tmp_path / "a.xlsx")


def test_a_merged_mark_holds_for_its_lines(tmp_path: Path) -> None:
    rows: Cells = [
        ["mark", "qty", "phrase"],
        ["P-7", 24, HOLE],
        [None, None, HOLE],
        ["P-8", 2, HOLE],
    ]
    saved(tmp_path / "a.xlsx", rows, ["A2:A3", "B2:B3"])
    read = read_part_list(tmp_path / "a.xlsx", Reading(Rules.defaults()))
    assert [(part.mark, part.quantity) for part in read.parts] == [
        ("P-7", 24),
        ("P-7", 24),
        ("P-8", 2),
    ]
    assert "A2 is merged: 'P-7' holds for lines 2 to 3" in [note.text for note in read.notes]


def test_a_merged_title_is_not_written_over_its_columns(tmp_path: Path) -> None:
    saved(tmp_path / "a.xlsx", [["Parts of job 7", None, None], ["a", "b", "c"]], ["A1:C1"])
    assert the_page(tmp_path / "a.xlsx").lines[0][1][0] == "Parts of job 7"
    assert not any(the_page(tmp_path / "a.xlsx").lines[0][1][1:])


def test_one_figure_for_several_lines_is_not_taken_for_each(tmp_path: Path) -> None:
    saved(tmp_path / "kinds.xlsx", [["role", "stock"], ["die", 2], ["die", None]], ["B2:B3"])
    page = the_page(tmp_path / "kinds.xlsx")
    table = find_table("kinds")
    count = next(column.name for column in table.columns if column.reader == "count")
    lines = [(number, cells) for number, cells in page.lines[1:]]
    sheet = TableLines(table, "kinds", 1, ["role", count], iter(lines), (), page.repeated)
    told = [str(fault) for fault in read_rows(sheet, Units()).faults if fault.line == 3]
    assert any("one merged cell holds for several lines" in text for text in told)


def test_a_merged_count_of_a_list_is_of_its_first_line(tmp_path: Path) -> None:
    rows: Cells = [["What", "Qty"], ["13/16 round punch", 3], ["9/16 round punch", None]]
    saved(tmp_path / "tools.xlsx", rows, ["B2:B3"])
    lines = read_shop_list(tmp_path / "tools.xlsx").lines
    assert [line.cells["count"] for line in lines] == ["3", "3 for several lines"]


def test_a_formula_without_a_result_is_refused_with_its_place(tmp_path: Path) -> None:
    saved(tmp_path / "a.xlsx", [["phrase", "qty"], [HOLE, "=12*2"]])
    with pytest.raises(BadRows, match="cells without a value: 1") as caught:
        pages_of(tmp_path / "a.xlsx")
    (fault,) = caught.value.faults
    assert (fault.line, fault.column) == (2, "B")
    assert "not in the file" in str(fault)


def test_a_cell_that_holds_an_error_is_refused(tmp_path: Path) -> None:
    saved(tmp_path / "a.xlsx", [["phrase", "mark"], [HOLE, "#REF!"]])
    with pytest.raises(BadRows, match="without a value") as caught:
        pages_of(tmp_path / "a.xlsx")
    assert "the cell holds #REF!" in str(caught.value.faults[0])


@pytest.mark.parametrize(
    ("pattern", "into"),
    [
        ('<row r="2"', '<row r="1"'),
        ('<c r="B2"', '<c r="A2"'),
        (r"<worksheet xmlns=\"[^\"]*\"", '<worksheet xmlns="urn:other"'),
    ],
    ids=["a line twice", "a cell twice", "a sheet that is not read at all"],
)
def test_what_would_be_lost_refuses_the_workbook(tmp_path: Path, pattern: str, into: str) -> None:
    saved(tmp_path / "a.xlsx", [["phrase", "qty"], [HOLE, 3]])
    altered(tmp_path / "a.xlsx", "xl/worksheets/sheet1.xml", pattern, into)
    with pytest.raises(BadInput, match=r"a\.xlsx \[Sheet\] holds 4 values, of which"):
        pages_of(tmp_path / "a.xlsx")


_SHEET = "<worksheet xmlns='http://schemas.openxmlformats.org/spreadsheetml/2006/main'>"


@pytest.mark.parametrize(
    ("part", "content", "message"),
    [
        ("xl/worksheets/sheet1.xml", "<sheetData>" + "<row/>" * 30_001, "cells in one sheet"),
        ("xl/worksheets/sheet1.xml", "<sheetData><row>" + "<c/>" * 1_001, "line 1 has over"),
        ("xl/worksheets/sheet1.xml", "<sheetData>" + "<row><c r='XFD1'/></row>" * 2, "cells in"),
        ("xl/styles.xml", "<xf/>" * 1_001, "styles or rules in xl/styles.xml"),
        ("xl/extra.xml", " " * 1_000_000, "MB unpacked, at most 1"),
    ],
    ids=["lines", "one line", "far columns", "styles", "size"],
)
def test_a_bomb_is_refused_before_it_unpacks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, part: str, content: str, message: str
) -> None:
    monkeypatch.setattr(workbook_scan, "MOST_CELLS", 30_000)
    monkeypatch.setattr(workbook_scan, "MOST_OF_A_LINE", 1_000)
    monkeypatch.setattr(workbook_scan, "MOST_OTHERS", 1_000)
    monkeypatch.setattr(workbook_scan, "MOST_UNPACKED", 1_000_000)
    path = tmp_path / "bomb.xlsx"
    saved(path, [["phrase"]])
    with ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    parts[part] = (_SHEET + content).encode()
    with ZipFile(path, "w", ZIP_DEFLATED, compresslevel=1) as archive:
        for name, written in parts.items():
            archive.writestr(name, written)
    with pytest.raises(BadInput, match=rf"bomb\.xlsx is too large a workbook: .*{message}"):
        pages_of(path)


def test_a_document_type_is_refused(tmp_path: Path) -> None:
    saved(tmp_path / "a.xlsx", [["phrase"]])
    entity = '<!DOCTYPE x [<!ENTITY y "z">]><worksheet'
    altered(tmp_path / "a.xlsx", "xl/worksheets/sheet1.xml", "<worksheet", entity)
    with pytest.raises(BadInput, match=r"sheet1\.xml declares a document type"):
        pages_of(tmp_path / "a.xlsx")


@given(data=st.data())
@settings(max_examples=80, deadline=None)
def test_a_broken_workbook_is_named_in_one_error(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    path = tmp_path_factory.mktemp("book") / "broken.xlsx"
    saved(path, [["phrase", "qty"], [HOLE, 3]])
    with ZipFile(path) as archive:
        parts = {name: bytearray(archive.read(name)) for name in archive.namelist()}
    name = data.draw(st.sampled_from(sorted(parts)))
    how = data.draw(st.sampled_from(["gone", "cut", "changed"]))
    place = data.draw(st.integers(0, len(parts[name]) - 1))
    if how == "cut":
        del parts[name][place:]
    elif how == "changed":
        parts[name][place] = data.draw(st.integers(0, 255))
    with ZipFile(path, "w") as archive:
        for one, content in parts.items():
            if (one, how) != (name, "gone"):
                archive.writestr(one, bytes(content))
    try:
        read = pages_of(path)
    except BadInput as error:
        told = error.message
    else:
        told = f"broken.xlsx has {[len(page.lines) for page in read]}"
    assert "broken.xlsx" in told
    assert "has []" not in told


@pytest.mark.parametrize("letters", ["A", "Z", "AA", "AZ", "ZZ", "XFD"])
def test_columns_have_letters(letters: str) -> None:
    number = workbook_scan.column_number(letters)
    assert get_column_letter(number) == letters
    assert workbook_scan.column_letters(number) == letters
