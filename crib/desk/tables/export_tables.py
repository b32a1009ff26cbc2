"""Writing every table out, from one moment of the crib, so that it can be taken in again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from crib.acts import Wording
from crib.desk.tables.crib_units import units_of
from crib.desk.tables.shown_tables import shown_tables
from crib.files.tables.cells import Units, write_cell
from crib.files.tables.columns import TABLES, Table
from crib.files.tables.sheets_out import Cells, Filled, write_folder, write_workbook
from crib.files.tables.template import write_template
from crib.stock.engine.session import Session
from crib.stock.queries.table_rows import crib_rows

WORKBOOK = ".xlsx"


@dataclass(frozen=True, slots=True)
class GivenOut:
    """Where the tables were written, and how many rows each has."""

    target: str
    tables: dict[str, int]


@dataclass(frozen=True, slots=True)
class Template:
    """The files to fill in, and the crib that they are for."""

    crib: str
    folder: str
    files: tuple[str, ...]


def give_out(session: Session, target: Path, *, xlsx: bool = False) -> GivenOut:
    """Write every table into a folder of CSV files, or into one workbook.

    Raises:
        Refused: when a file is there already; nothing is written then.
    """
    crib = units_of(session)
    as_book = xlsx or target.suffix.lower() == WORKBOOK
    if as_book and target.suffix.lower() != WORKBOOK:
        target = target.with_name(target.name + WORKBOOK)
    with session.one_moment():
        tables: Iterator[Filled] = (
            (table, _cells(session, table, crib)) for table in shown_tables(session, TABLES)
        )
        counts = write_workbook(target, tables) if as_book else write_folder(target, tables)
    return GivenOut(str(target), counts)


def give_template(session: Session, folder: Path, worded: Wording = str) -> Template:
    """Write the files to fill in, in the crib's own unit.

    Raises:
        Refused: when one of them is there already.
    """
    tables = shown_tables(session, TABLES)
    return Template(
        str(session.place),
        str(folder),
        write_template(folder, units_of(session).system, worded, tables),
    )


def _cells(session: Session, table: Table, crib: Units) -> Iterator[Cells]:
    for _number, values in crib_rows(session, table):
        yield [write_cell(column, values[column.name], crib) for column in table.columns]
