"""Tables written as files: a folder of CSVs, or one workbook with a sheet a table.

Nothing that exists is written over, and what was begun is taken away again when it fails.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from crib.errors import Refused
from crib.files.common.whole_file import require_free, whole_file, write_csv
from crib.files.tables.columns import Table
from crib.unseen import made_seen

Cells = Sequence[str | int]
Filled = tuple[Table, Iterable[Cells]]
"""A table with the cells of its rows, in the order of its columns."""

MOST_SHEET_ROWS = 1_048_575
"""Rows that a sheet holds under its heading."""
MOST_CELL_CHARACTERS = 32_767
_AS_CSV = "export to a folder of CSV files instead"


def write_folder(folder: Path, tables: Iterable[Filled]) -> dict[str, int]:
    """Write each table as a CSV into a folder; returns the number of rows of each.

    Raises:
        Refused: when one of the files is there already.
    """
    made: list[Path] = []
    counts: dict[str, int] = {}
    fresh = not folder.exists()
    folder.mkdir(parents=True, exist_ok=True)
    try:
        for table, rows in tables:
            path = folder / f"{table.name}.csv"
            counts[table.name] = write_csv(path, [column.name for column in table.columns], rows)
            made.append(path)
    except BaseException:
        for path in made:
            path.unlink(missing_ok=True)
        if fresh:
            with suppress(OSError):
                folder.rmdir()
        raise
    return counts


def write_workbook(path: Path, tables: Iterable[Filled]) -> dict[str, int]:
    """Write every table into one workbook; returns the number of rows of each.

    Raises:
        Refused: when the file is there already, or a table has more rows than a sheet holds.
    """
    from openpyxl import Workbook

    require_free(path)
    book = Workbook(write_only=True)
    counts: dict[str, int] = {}
    with whole_file(path) as partial:
        try:
            for table, rows in tables:
                counts[table.name] = _fill_page(book.create_sheet(table.name), table, rows)
            path.parent.mkdir(parents=True, exist_ok=True)
            book.save(partial)
        except BaseException:
            # Only saving makes the workbook let go of the files that it has begun for its sheets.
            with suppress(OSError):
                book.save(partial)
            raise
    return counts


def _fill_page(page: Any, table: Table, rows: Iterable[Cells]) -> int:
    page.append([column.name for column in table.columns])
    count = 0
    for cells in _limited(table, rows):
        page.append(_printable(table, cells))
        count += 1
    return count


def _limited(table: Table, rows: Iterable[Cells]) -> Iterator[Cells]:
    for count, cells in enumerate(rows, start=1):
        if count > MOST_SHEET_ROWS:
            message = f"{table.name} has more than the {MOST_SHEET_ROWS} rows of a sheet"
            raise Refused(message, way_out=_AS_CSV)
        yield cells


def _printable(table: Table, cells: Cells) -> list[str | int]:
    """Cells in which everything is seen; a workbook cannot even hold most of the rest."""
    if any(isinstance(cell, str) and len(cell) > MOST_CELL_CHARACTERS for cell in cells):
        message = f"{table.name} has a text of more than {MOST_CELL_CHARACTERS} characters"
        raise Refused(message, way_out=_AS_CSV)
    return [made_seen(cell) if isinstance(cell, str) else cell for cell in cells]
