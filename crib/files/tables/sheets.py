"""Tables as they lie in files: a folder, one CSV, or a workbook; to headings and lines of text."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from pathlib import Path

from crib.acts import act, saying
from crib.errors import BadInput, BadRows, RowFault, UnknownName
from crib.files.common.decoded import decoded
from crib.files.tables.columns import Table, find_column, find_table
from crib.files.tables.table_lines import Line, TableLines, under_heading
from crib.files.tables.workbook_in import WORKBOOK_ENDINGS, read_workbook

CSV_ENDINGS = (".csv", ".tsv", ".txt")
TAKEN_FROM_FOLDERS = (".csv", ".tsv", *WORKBOOK_ENDINGS)
_SEPARATORS = ",;\t"
_HEADING_WITHIN = 12
_HEAD_CHARACTERS = 8000


def read_source(source: Path) -> list[TableLines]:
    """Every table of a folder, a CSV file or a workbook.

    Raises:
        BadInput: when there is nothing to read, or it is not a CSV or XLSX file.
        BadRows: when a file or sheet is not named for a table, or a table comes twice.
    """
    if source.is_dir():
        return _read_folder(source)
    if not source.is_file():
        message = f"there is nothing at {source}"
        raise BadInput(message, way_out="give a folder of CSV files, a CSV file or a workbook")
    faults: list[RowFault] = []
    return _finished(source, _read_file(source, faults), faults)


def _read_folder(folder: Path) -> list[TableLines]:
    faults: list[RowFault] = []
    sheets: list[TableLines] = []
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() in TAKEN_FROM_FOLDERS and path.name[0] not in ".~":
            sheets += _read_file(path, faults)
    if not sheets and not faults:
        message = f"{folder} holds no CSV or XLSX file"
        way_out = saying(act("import.template"), " writes files to fill in")
        raise BadInput(message, way_out=way_out)
    return _finished(folder, sheets, faults)


def _finished(source: Path, sheets: list[TableLines], faults: list[RowFault]) -> list[TableLines]:
    first: dict[str, str] = {}
    for sheet in sheets:
        before = first.setdefault(sheet.table.name, sheet.file)
        if before != sheet.file:
            text = f"the table {sheet.table.name} is in {before} already"
            faults.append(RowFault(sheet.file, 1, "", text))
    if faults:
        message = f"{source} cannot be taken in"
        raise BadRows(message, faults, way_out="nothing was taken; put the files right")
    return sheets


def _read_file(path: Path, faults: list[RowFault]) -> list[TableLines]:
    ending = path.suffix.lower()
    if ending in WORKBOOK_ENDINGS:
        return read_workbook(path, faults)
    if ending not in CSV_ENDINGS:
        message = f"{path.name} is not a CSV or XLSX file"
        raise BadInput(message, way_out="save it as CSV or XLSX")
    try:
        table = find_table(path.stem)
    except UnknownName as error:
        faults.append(RowFault(path.name, 1, "", error.said("; ")))
        return []
    return read_csv(table, path.name, path.read_bytes())


def read_csv(table: Table, file: str, content: bytes) -> list[TableLines]:
    """The sheet in the bytes of a CSV file, or none when it has no line with anything on it."""
    return under_heading(table, file, iter(csv_lines(table, file, content)))


def csv_lines(table: Table, file: str, content: bytes) -> list[Line]:
    """The lines of a CSV file that have anything on them, cut where a table's headings need it."""
    text = decoded(content)
    separator = ""
    if text[:4].casefold() == "sep=" and text[4:5] in _SEPARATORS:
        separator = text[4]
        # The line stays, as an empty one, so that the numbers of the lines stay right.
        text = text[5:]
    head = text[:_HEAD_CHARACTERS].splitlines()
    first = [line for line in head if line.strip(_SEPARATORS + " ")][:_HEADING_WITHIN]
    if not first:
        return []
    return list(with_numbers(file, text, separator or _separator(table, first)))


def with_numbers(file: str, text: str, separator: str) -> Iterator[Line]:
    """The lines with anything on them, each with the number of its first line in the file.

    Raises:
        BadRows: for a quote that is not closed, or text behind a closing quote.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    first = 1
    try:
        for cells in reader:
            if any(map(str.strip, cells)):
                yield first, cells
            first = reader.line_num + 1
    except csv.Error as error:
        fault = RowFault(file, first, "", f'a quoted cell does not end as it should ("{error}")')
        message = f"{file} is not a sound CSV file"
        hint = 'close the quotes; write "" for a quote inside a quoted cell'
        raise BadRows(message, [fault], way_out=hint) from error


def _separator(table: Table, first: Sequence[str]) -> str:
    """The separator under which one of the first lines names the most columns of the table."""

    def score(separator: str) -> tuple[int, int]:
        lines = [cells_of(line, separator) for line in first]
        known = [sum(find_column(table, cell) is not None for cell in cells) for cells in lines]
        return max(known), len(lines[0])

    return max(_SEPARATORS, key=score)


def cells_of(line: str, separator: str) -> list[str]:
    """The cells of one line by itself; none where its quotes do not close."""
    try:
        return next(csv.reader([line], delimiter=separator), [])
    except csv.Error:
        return []
