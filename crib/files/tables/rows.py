"""Lines of text to rows of values; every fault is kept with its file, line and column."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from crib.acts import Said, saying
from crib.errors import BadInput, RowFault
from crib.files.tables.cells import Units, read_cell
from crib.files.tables.columns import Column, Table, find_column, plain_word
from crib.files.tables.table_lines import TableLines
from crib.files.tables.table_shape import MEANINGS

_FIGURES = ("count", "change", "wear", "money")
EXAMPLE = "EXAMPLE "
"""What the first cell of a template's example row begins with; such rows are left out."""


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row: its line in the file, a value for each column; ``bad`` when a cell has a fault."""

    line: int
    values: dict[str, Any]
    bad: bool = False


@dataclass(slots=True)
class Rows:
    """The rows of one sheet, the columns that it has, and what is wrong with it."""

    table: Table
    file: str
    columns: tuple[Column, ...] = ()
    rows: list[TableRow] = field(default_factory=list)
    faults: list[RowFault] = field(default_factory=list)
    examples: int = 0

    def has(self, name: str) -> bool:
        """Whether the sheet has this column."""
        return any(column.name == name for column in self.columns)


def read_rows(sheet: TableLines, crib: Units) -> Rows:
    """Read every row of a sheet. Nothing is refused here: the faults are in the result."""
    found = Rows(sheet.table, sheet.file)
    columns = _match_heading(sheet, found)
    found.columns = tuple(column for column in columns if column)
    if found.faults:
        return found
    blanks = {column.name: column.blank for column in sheet.table.columns}
    seen: dict[tuple[str, str], Any] = {}
    for line, cells in sheet.lines:
        if _is_example(cells):
            found.examples += 1
        else:
            row = _Cells(sheet.file, line, columns, cells)
            found.faults += _shared_figures(sheet, row)
            found.rows.append(_read_row(row, blanks, crib, seen, found.faults))
    return found


def _is_example(cells: list[str]) -> bool:
    first = next((cell.lstrip() for cell in cells if cell.strip()), "")
    return first.startswith(EXAMPLE)


@dataclass(frozen=True, slots=True)
class _Cells:
    file: str
    line: int
    columns: list[Column | None]
    cells: list[str]

    def fault(self, column: str, text: Said) -> RowFault:
        return RowFault(self.file, self.line, column, text)

    def pairs(self) -> Iterator[tuple[Column | None, str]]:
        short = len(self.columns) - len(self.cells)
        yield from zip(self.columns, [*self.cells, *[""] * short], strict=False)


def _read_row(
    row: _Cells,
    blanks: dict[str, Any],
    crib: Units,
    seen: dict[tuple[str, str], Any],
    faults: list[RowFault],
) -> TableRow:
    values = dict(blanks)
    before = len(faults)
    if any(cell.strip() for cell in row.cells[len(row.columns) :]):
        faults.append(row.fault("", "it has more cells than there are headings"))
    for column, cell in row.pairs():
        if column is None:
            if cell.strip():
                faults.append(row.fault("", f"cell {cell[:40]!r} stands under no heading"))
        elif not cell or cell.isspace():
            if column.needed:
                faults.append(row.fault(column.name, f"it is empty; expected {expected(column)}"))
        elif (column.name, cell) in seen:
            values[column.name] = seen[column.name, cell]
        else:
            try:
                values[column.name] = seen[column.name, cell] = read_cell(column, cell, crib)
            except BadInput as error:
                faults.append(row.fault(column.name, _said(error, column)))
    return TableRow(row.line, values, bad=len(faults) > before)


def _shared_figures(sheet: TableLines, row: _Cells) -> Iterator[RowFault]:
    """The figures that a merged cell gives to several lines, which may be one for all of them."""
    if not sheet.repeated:
        return
    shared = [c for at, c in enumerate(row.columns) if c and (row.line, at) in sheet.repeated]
    if sheet.table.figures_of in (column.name for column in shared):
        return
    for column in shared:
        if column.reader in _FIGURES:
            text = "one merged cell holds for several lines; write the figure into each"
            yield row.fault(column.name, text)


def expected(column: Column) -> str:
    """What a cell of this column should hold."""
    if column.choices:
        return f"one of: {', '.join(column.choices)}"
    example = f", such as {column.example}" if column.example else ""
    if column.of:
        return f"a name from {column.of}{example}"
    return f"{MEANINGS[column.reader]}{example}"


def _said(error: BadInput, column: Column) -> Said:
    return saying(error.message, "; ", error.way_out or f"expected {expected(column)}")


def _match_heading(sheet: TableLines, found: Rows) -> list[Column | None]:
    """The column under each heading; unknown, repeated and missing ones become faults."""
    columns: list[Column | None] = []
    for heading in sheet.heading:
        column = find_column(sheet.table, heading)
        if column is None and heading.strip():
            _fault(sheet, found, heading, f"no such column; {_nearest(sheet.table, heading)}")
        elif column is not None and column in columns:
            _fault(sheet, found, heading, f"the column {column.name} comes twice")
        columns.append(column)
    for column in sheet.table.columns:
        if column.needed and column not in columns:
            _fault(sheet, found, column.name, _missing(column))
    return columns


def _fault(sheet: TableLines, found: Rows, column: str, text: str) -> None:
    found.faults.append(RowFault(sheet.file, sheet.heading_line, column.strip()[:40], text))


def _missing(column: Column) -> str:
    also = f"; it may be called {', '.join(column.aliases)}" if column.aliases else ""
    return f"the column is needed and not there: {column.help.rstrip('.')}{also}"


def _nearest(table: Table, heading: str) -> str:
    words = table.words()
    near = get_close_matches(plain_word(heading), list(words), n=3, cutoff=0.6)
    names = dict.fromkeys(words[word].name for word in near)
    if names:
        return f"nearest: {', '.join(names)}"
    return f"known: {', '.join(column.name for column in table.columns)}"
