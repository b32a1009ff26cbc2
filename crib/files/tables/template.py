"""A folder to fill in: every table as an empty CSV with one example row, and a page on columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

from crib.acts import Wording, act, saying
from crib.files.common.whole_file import require_free
from crib.files.tables.columns import TABLES, Column, Table
from crib.files.tables.rows import EXAMPLE
from crib.files.tables.sheets_out import Cells, write_folder
from crib.files.tables.table_shape import HOW_WRITTEN, MEANINGS
from crib.files.tables.worked_rows import WORKED_ROWS
from crib.units import System, format_length, read_length_mm

README = "README.txt"
_WIDTH = 78

_INTRODUCTION = (
    "Fill in the tables that you need and leave the others out. Rows beginning with EXAMPLE show"
    " how a row looks, in kinds.csv one for each sort of tool, their sizes invented; they are left"
    " out when the folder is taken in.",
    "Save as CSV or XLSX. Commas, semicolons and tabs are found out. Columns may stand in any"
    " order, and those that are not needed may be left out. In a heading, capitals, blanks and"
    " the signs _ - . do not matter.",
    "A name in one table must stand in its own table: the seat of a kind in seats.csv, the kind"
    " of a piece in kinds.csv, unless the crib has it already.",
    "A fraction is always inches; a number without a unit is in {unit}. A spreadsheet makes a"
    " date of 3/8 unless the cells are set to text first. Decimals have a point, not a comma.",
)
_WHEN_FILLED_IN = saying(
    *("When everything is filled in: ", act("import.dry-run", file="FOLDER")),
    *(", then ", act("import", file="FOLDER")),
)


def write_template(
    folder: Path, system: System, worded: Wording = str, shown: Sequence[Table] = TABLES
) -> tuple[str, ...]:
    """Write the files into a folder; returns their names.

    ``worded`` puts the door's own words to what is to be done with them, ``shown`` are the tables
    that the crib shows.

    Raises:
        Refused: when one of the files is there already.
    """
    tables = [table for table in shown if not table.only_whole]
    for name in (README, *(f"{table.name}.csv" for table in tables)):
        require_free(folder / name)
    write_folder(folder, ((table, list(_example_rows(table, system))) for table in tables))
    page = "\n".join(_page(tables, system, worded)) + "\n"
    (folder / README).write_text(page, encoding="utf-8")
    return (README, *(f"{table.name}.csv" for table in tables))


def _example_rows(table: Table, system: System) -> Iterator[Cells]:
    """The row of the columns' own examples, then a worked one for each other sort."""
    own = {column.name: column.example for column in table.columns}
    for row in (own, *WORKED_ROWS.get(table.name, ())):
        cells = [_in_unit(column, row.get(column.name, ""), system) for column in table.columns]
        yield [f"{EXAMPLE}{cells[0]}", *cells[1:]]


def example_of(column: Column, system: System) -> str:
    """The column's example, with a size in the crib's own unit."""
    return _in_unit(column, column.example, system)


def _in_unit(column: Column, cell: str, system: System) -> str:
    if system == "mm" and column.reader in ("length", "microns") and cell:
        return format_length(read_length_mm(cell, "mm", allow_zero=True), "mm", digits=1)
    return cell


def _page(tables: list[Table], system: System, worded: Wording) -> Iterator[str]:
    unit = "inches" if system == "in" else "millimetres"
    for paragraph in (*_INTRODUCTION, worded(_WHEN_FILLED_IN)):
        yield from textwrap.wrap(paragraph.format(unit=unit), _WIDTH)
        yield ""
    for table in tables:
        yield f"{table.name}.csv"
        yield from textwrap.wrap(table.help, _WIDTH)
        for column in table.columns:
            yield from _describe(column, system)
        yield ""


def _describe(column: Column, system: System) -> Iterator[str]:
    needed = " (needed)" if column.needed else ""
    parts = [f"{column.name}{needed}: {column.help}", f"{_meaning(column)}."]
    example = example_of(column, system)
    if example:
        parts.append(f"Example: {example}.")
    if column.aliases:
        parts.append(f"Also read: {', '.join(column.aliases)}.")
    yield from textwrap.wrap(
        " ".join(parts), _WIDTH, initial_indent="  ", subsequent_indent="      "
    )


def _meaning(column: Column) -> str:
    if column.choices:
        return f"One of: {', '.join(column.choices)}"
    how = HOW_WRITTEN.get(column.reader)
    meaning = MEANINGS[column.reader] + (f" such as {how}" if how else "")
    return f"{meaning[0].upper()}{meaning[1:]}" + (f" ({column.of}.csv)" if column.of else "")
