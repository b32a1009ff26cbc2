"""Lines of text to rows of values; every fault is kept with its file, line and column."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
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
    blanks: Counter[str] = field(default_factory=Counter)
    """How many cells of a column of figures are empty and stand for one."""

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
    reader = _RowReader(sheet, columns, crib, found)
    for line, cells in sheet.lines:
        if _is_example(cells):
            found.examples += 1
        else:
            found.rows.append(reader.row(line, cells))
    return found


def _is_example(cells: list[str]) -> bool:
    return next(filter(str.strip, cells), "").lstrip().startswith(EXAMPLE)


class _RowReader:
    """The lines of a sheet to rows; equal cells of a column are understood once."""

    def __init__(
        self,
        sheet: TableLines,
        columns: Sequence[Column | None],
        crib: Units,
        found: Rows,
    ) -> None:
        self._sheet, self._crib = sheet, crib
        self._faults, self._found = found.faults, found
        self._columns: list[tuple[Column | None, dict[str, Any]]] = [
            (one, {"": one.blank} if one and not (one.needed or _stands_for_one(one)) else {})
            for one in columns
        ]
        self._blanks = {column.name: column.blank for column in sheet.table.columns}

    def row(self, line: int, cells: list[str]) -> TableRow:
        """The values of a line; what is wrong with it goes to the faults."""
        before = len(self._faults)
        if self._sheet.repeated:
            self._look_at_shared(line)
        values = dict(self._blanks)
        width = len(self._columns)
        if len(cells) != width:
            if any(map(str.strip, cells[width:])):
                self._fault(line, "", "it has more cells than there are headings")
            cells = [*cells, *[""] * (width - len(cells))]
        for (column, known), cell in zip(self._columns, cells, strict=False):
            if column is not None and cell in known:
                values[column.name] = known[cell]
            else:
                self._new_cell(line, column, known, cell, values)
        return TableRow(line, values, len(self._faults) > before)

    def _new_cell(
        self,
        line: int,
        column: Column | None,
        known: dict[str, Any],
        cell: str,
        values: dict[str, Any],
    ) -> None:
        """A cell that does not stand further up in its column too."""
        is_empty = not cell or cell.isspace()
        if column is None:
            if not is_empty:
                self._fault(line, "", f"cell {cell[:40]!r} stands under no heading")
        elif is_empty:
            if column.needed:
                self._fault(line, column.name, f"it is empty; expected {expected(column)}")
            self._found.blanks[column.name] += _stands_for_one(column)
        else:
            try:
                values[column.name] = known[cell] = read_cell(column, cell, self._crib)
            except BadInput as error:
                self._fault(line, column.name, _said(error, column))

    def _look_at_shared(self, line: int) -> None:
        """The figures that a merged cell gives to several lines, which may be one for all."""
        repeated = self._sheet.repeated
        shared = [c for at, (c, _k) in enumerate(self._columns) if c and (line, at) in repeated]
        if self._sheet.table.figures_of in (column.name for column in shared):
            return
        for column in shared:
            if column.reader in _FIGURES:
                text = "one merged cell holds for several lines; write the figure into each"
                self._fault(line, column.name, text)

    def _fault(self, line: int, column: str, text: Said) -> None:
        self._faults.append(RowFault(self._sheet.file, line, column, text))


def _stands_for_one(column: Column) -> bool:
    """Whether an empty cell is taken for a figure."""
    return isinstance(column.blank, int | float) and not isinstance(column.blank, bool)


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
