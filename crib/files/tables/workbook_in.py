"""Workbooks (XLSX) to lines of text: one sheet a table, or one sheet in a file named for it.

Hidden sheets, lines and columns are not read, and that is told. Whatever else has a value is read,
or the workbook is refused: what was read is counted against what the file holds.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any, BinaryIO

from crib.errors import BadInput, BadRows, RowFault, UnknownName
from crib.files.tables.columns import Table, find_table
from crib.files.tables.table_lines import Line, TableLines, under_heading
from crib.files.tables.workbook_scan import (
    MOST_CELLS,
    NOT_A_WORKBOOK,
    BookScan,
    Merged,
    SheetFacts,
    column_letters,
    scan,
)

ARCHIVE = b"PK\x03\x04"
"""What a workbook begins with."""
WORKBOOK_ENDINGS = (".xlsx", ".xlsm")
_NOT_OPENED = (*NOT_A_WORKBOOK, ArithmeticError, AttributeError, OSError, SyntaxError, TypeError)
"""What the library raises for a broken file beside what the walk does: any part may be odd."""
_MOST_NAMED = 8


@dataclass(frozen=True, slots=True)
class BookPage:
    """A sheet that can be seen: its lines with anything on them, and what was done to read them.

    ``repeated`` are the cells by line and column (from 1 and from 0) that only stand there because
    a merged cell holds for them.
    """

    title: str
    lines: list[Line]
    notes: tuple[str, ...]
    repeated: frozenset[tuple[int, int]] = frozenset()
    hidden_lines: tuple[int, ...] = ()
    hidden_columns: tuple[str, ...] = ()
    hidden_sheets: tuple[str, ...] = ()
    """Beside it in the same file; only the first page names them."""


def read_workbook(path: Path, faults: list[RowFault]) -> list[TableLines]:
    """Every sheet of a workbook that has anything on it.

    Raises:
        BadInput: when the file is not a workbook, or too large a one.
        BadRows: for formulas that are not worked out.
    """
    pages = pages_of(path)
    return [sheet for page in pages for sheet in _table_in(path, page, len(pages) == 1, faults)]


def pages_of(path: Path) -> list[BookPage]:
    """Every sheet that can be seen and has anything on it, whatever it is called.

    Raises:
        BadInput: when the file is not a workbook, or too large a one.
        BadRows: for formulas that are not worked out, and cells that hold an error.
    """
    with path.open("rb") as file:
        return pages_in(file, path.name)


def pages_in(file: BinaryIO, name: str) -> list[BookPage]:
    """What ``pages_of`` gives, of an open file, with its errors."""
    try:
        scanned = scan(file, name)
        with warnings.catch_warnings():
            # What a library leaves out of rules and drawings has no figure in it.
            warnings.simplefilter("ignore")
            return _pages(file, name, scanned)
    except BadInput:
        raise
    except _NOT_OPENED as error:
        message = f"{name} is not a workbook that can be read"
        way_out = "save it as XLSX without a password, or as CSV"
        raise BadInput(message, way_out=way_out) from error


def _pages(file: Any, name: str, scanned: BookScan) -> list[BookPage]:
    from openpyxl import load_workbook

    book = load_workbook(file, read_only=True, data_only=True, keep_links=False)
    try:
        _require_all(book.sheetnames, name, scanned)
        seen = [one for one in book.worksheets if one.sheet_state == "visible"]
        hidden = tuple(one.title for one in book.worksheets if one.sheet_state != "visible")
        # Which part a sheet lies in is told by nothing public.
        paths = [str(vars(one)["_worksheet_path"]) for one in seen]
        pages = [
            _page(one, name, scanned.facts[path]) for one, path in zip(seen, paths, strict=True)
        ]
    finally:
        book.close()
    pages = [page for page in pages if page.lines]
    if hidden and not pages:
        message = f"{name} shows nothing: hidden are {_named(map(repr, hidden))}"
        raise BadInput(message, way_out="show the sheet that is meant, and save it")
    told = tuple(f"the sheet {title!r} is hidden and not read" for title in hidden)
    first = [replace(page, notes=told + page.notes, hidden_sheets=hidden) for page in pages[:1]]
    return [*first, *pages[1:]]


def _require_all(opened: Sequence[str], name: str, scanned: BookScan) -> None:
    """The library passes over a sheet whose part is not there."""
    if len(opened) != scanned.sheets:
        message = f"{name} names {scanned.sheets} sheets, of which {len(opened)} are in it"
        raise BadInput(message, way_out="open it and save it anew as XLSX, or as CSV")


def _page(sheet: Any, name: str, facts: SheetFacts) -> BookPage:
    # Many programs write a wrong range, and the library would leave out what is beyond it.
    sheet.reset_dimensions()
    place = f"{name} [{sheet.title}]"
    lines, counted, faults = _lines(sheet, place, facts)
    if counted != facts.values:
        message = f"{place} holds {facts.values} values, of which {counted} could be read"
        raise BadInput(message, way_out="open it and save it anew as XLSX, or as CSV")
    faults += _formulas(place, facts)
    if faults:
        message = f"{place} has cells without a value: {len(faults)}"
        way_out = "let the program that made it work them out and save it, or type the figures"
        raise BadRows(message, faults, way_out=way_out)
    notes, repeated = _repeat_merged(lines, facts)
    hidden = tuple(sorted(facts.hidden_lines))
    columns = tuple(map(column_letters, sorted(facts.hidden_columns)))
    notes = [*_hidden(hidden, columns), *notes]
    return BookPage(str(sheet.title), lines, tuple(notes), repeated, hidden, columns)


def _lines(sheet: Any, place: str, facts: SheetFacts) -> tuple[list[Line], int, list[RowFault]]:
    """The lines that can be seen, how many values all have, and the cells that hold an error."""
    lines: list[Line] = []
    faults: list[RowFault] = []
    counted = 0
    skipped = [column - 1 for column in facts.hidden_columns]
    for number, row in enumerate(sheet.iter_rows(), start=1):
        counted += sum(cell.value is not None for cell in row)
        if number in facts.hidden_lines:
            continue
        cells = [_text(cell) for cell in row]
        for column in skipped:
            if column < len(cells):
                cells[column] = ""
        faults += [
            RowFault(place, number, column_letters(at + 1), f"the cell holds {text}")
            for at, text in enumerate(cells)
            if text and row[at].data_type == "e"
        ]
        if any(cell.strip() for cell in cells):
            lines.append((number, cells))
    return lines, counted, faults


def _formulas(place: str, facts: SheetFacts) -> list[RowFault]:
    text = "a formula whose result is not in the file"
    return [
        RowFault(place, line, column_letters(column), text)
        for line, column in facts.not_worked_out
        if line not in facts.hidden_lines and column not in facts.hidden_columns
    ]


def _hidden(lines: Sequence[int], columns: Sequence[str]) -> Iterator[str]:
    if lines:
        yield f"hidden lines are not read: {_named(map(str, lines))}"
    if columns:
        yield f"hidden columns are not read: {_named(columns)}"


def _named(names: Iterable[str]) -> str:
    every = list(names)
    more = len(every) - _MOST_NAMED
    return ", ".join(every[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _repeat_merged(
    lines: Sequence[Line], facts: SheetFacts
) -> tuple[list[str], frozenset[tuple[int, int]]]:
    """Write a merged cell's value into each of its lines; says so, and where."""
    tall = [one for one in facts.merged if one.last > one.first]
    if sum(one.last - one.first for one in tall) > MOST_CELLS:
        message = "merged cells cover more than the sheet has"
        raise ValueError(message)
    by_number = dict(lines)
    notes: list[str] = []
    repeated: set[tuple[int, int]] = set()
    for one in tall:
        value = _cell_of(by_number.get(one.first, []), one.column - 1)
        below = [line for line in range(one.first + 1, one.last + 1) if line in by_number]
        if value and below:
            _fill(by_number, below, one, value)
            repeated.update((line, one.column - 1) for line in below)
            at = f"{column_letters(one.column)}{one.first}"
            notes.append(f"{at} is merged: {value!r} holds for lines {one.first} to {below[-1]}")
    return notes, frozenset(repeated)


def _fill(by_number: dict[int, list[str]], below: list[int], one: Merged, value: str) -> None:
    for line in below:
        cells = by_number[line]
        cells += [""] * (one.column - len(cells))
        cells[one.column - 1] = value


def _cell_of(cells: list[str], column: int) -> str:
    return cells[column].strip() if column < len(cells) else ""


def _table_in(path: Path, page: BookPage, alone: bool, faults: list[RowFault]) -> list[TableLines]:
    file = f"{path.name} [{page.title}]"
    table = _table_of(path, page.title, alone)
    if isinstance(table, Table):
        return under_heading(table, file, iter(page.lines), page.notes, page.repeated)
    faults.append(RowFault(file, 1, "", table.said("; ")))
    return []


def _table_of(path: Path, title: str, alone: bool) -> Table | UnknownName:
    """The table that the sheet names; in a file with one sheet the file may name it instead."""
    for word in (title, path.stem) if alone else (title,):
        try:
            return find_table(word)
        except UnknownName as error:
            problem = error
    return problem


def _text(cell: Any) -> str:
    """What a person would have typed for the cell."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    figure = format(Decimal(repr(value)), "f").removesuffix(".0")
    # A number shown as a fraction is in inches, as every fraction is, also in a metric crib.
    return f"{figure} in" if "?/" in str(cell.number_format) else figure
