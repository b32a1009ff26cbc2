"""Workbooks (XLSX) to lines of text: one sheet a table, or one sheet in a file named for it."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

from crib.errors import BadInput, RowFault, UnknownName
from crib.files.tables.columns import Table, find_table
from crib.files.tables.table_lines import Line, TableLines, under_heading

WORKBOOK_ENDINGS = (".xlsx", ".xlsm")
_NOT_A_WORKBOOK = (
    BadZipFile,
    zlib.error,
    EOFError,
    IndexError,
    KeyError,
    SyntaxError,
    TypeError,
    ValueError,
)
"""What the reader raises for a broken file: a bad archive, a part that is missing, bad markup."""


def read_workbook(path: Path, faults: list[RowFault]) -> list[TableLines]:
    """Every sheet of a workbook that has anything on it.

    Raises:
        BadInput: when the file is not a workbook.
    """
    try:
        return _read_pages(path, faults)
    except _NOT_A_WORKBOOK as error:
        raise _no_workbook(path) from error


def pages_of(path: Path) -> list[tuple[str, list[Line]]]:
    """The name and the lines of every sheet that has anything on it, whatever it is called.

    Raises:
        BadInput: when the file is not a workbook.
    """
    from openpyxl import load_workbook

    try:
        with path.open("rb") as file:
            book = load_workbook(file, read_only=True, data_only=True)
            try:
                pages = [(str(page.title), list(_lines(page))) for page in book.worksheets]
            finally:
                book.close()
    except _NOT_A_WORKBOOK as error:
        raise _no_workbook(path) from error
    return [(title, lines) for title, lines in pages if lines]


def _no_workbook(path: Path) -> BadInput:
    message = f"{path.name} is not a workbook that can be read"
    return BadInput(message, way_out="save it as XLSX without a password, or as CSV")


def _read_pages(path: Path, faults: list[RowFault]) -> list[TableLines]:
    from openpyxl import load_workbook

    with path.open("rb") as file:
        book = load_workbook(file, read_only=True, data_only=True)
        try:
            pages = book.worksheets
            return [s for page in pages for s in _read_page(path, page, len(pages) == 1, faults)]
        finally:
            book.close()


def _read_page(path: Path, page: Any, alone: bool, faults: list[RowFault]) -> list[TableLines]:
    lines = list(_lines(page))
    if not lines:
        return []
    file = f"{path.name} [{page.title}]"
    table = _table_of(path, page.title, alone)
    if isinstance(table, Table):
        return under_heading(table, file, iter(lines))
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


def _lines(page: Any) -> Iterator[Line]:
    for number, row in enumerate(page.iter_rows(), start=1):
        cells = [_text(cell) for cell in row]
        if any(cell.strip() for cell in cells):
            yield number, cells


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
