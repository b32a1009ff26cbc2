"""People, machines and suppliers without a file: one more of them, and the list of all.

A new one goes in by the rules of the tables that are taken in, so that units, bounds and what an
ask can reach hold for it as for a row of a file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from crib.desk.tables.crib_units import units_of
from crib.desk.tables.import_tables import Tally, take_sheets
from crib.desk.tables.shown_tables import shown_tables
from crib.errors import BadRows, Missing
from crib.files.tables.cells import write_cell
from crib.files.tables.columns import Table
from crib.files.tables.columns_buying import SUPPLIERS
from crib.files.tables.columns_shop import MACHINES, PEOPLE, SITE_ROLES, STATIONS
from crib.files.tables.table_lines import TableLines
from crib.stock.book.people import person_called
from crib.stock.book.sites import has_sites, site_called
from crib.stock.engine.session import Session
from crib.stock.queries.table_rows import crib_rows

Said = Mapping[str, str]
"""What was typed, by the name of its column; empty where nothing was."""
Row = dict[str, str | int]


@dataclass(frozen=True, slots=True)
class Listed:
    """Rows as a table of the export shows them, by the table's name."""

    tables: dict[str, tuple[Row, ...]]


@dataclass(frozen=True, slots=True)
class Kept:
    """One that is in the crib now, and what its tables took of it."""

    what: str
    name: str
    took: dict[str, Tally]
    station: str = ""


def list_people(session: Session) -> Listed:
    """Every badge name, with what they do, and where they do something else."""
    roles = (SITE_ROLES,) if has_sites(session) else ()
    return _listed(session, PEOPLE, *roles)


def list_machines(session: Session) -> Listed:
    """Every machine, and every station."""
    return _listed(session, MACHINES, STATIONS)


def list_suppliers(session: Session) -> Listed:
    """Every supplier that something was said of."""
    return _listed(session, SUPPLIERS)


def keep_person(
    session: Session,
    said: Said,
    *,
    by: str,
    update: bool = False,
    only_at: str = "",
    now: datetime | None = None,
) -> Kept:
    """Make a badge name known; or say what somebody is and may do at one site alone.

    Raises:
        BadRows: for a name or role that cannot be, or another role than the crib has.
        UnknownName: when nobody is called ``by``; for a person or site that is not known.
    """
    if not only_at:
        return _keep(session, [(PEOPLE, said)], by, update, now)
    person = person_called(session, said["name"])
    row = {"person": person, "site": site_called(session, only_at).name}
    row |= {name: said[name] for name in ("role", "may")}
    return replace(_keep(session, [(SITE_ROLES, row)], by, update, now), name=person)


def keep_supplier(
    session: Session, said: Said, *, by: str, update: bool = False, now: datetime | None = None
) -> Kept:
    """Make a supplier known, with its address.

    Raises:
        BadRows, UnknownName: as ``keep_person``.
    """
    return _keep(session, [(SUPPLIERS, said)], by, update, now)


def keep_machine(
    session: Session,
    said: Said,
    station: Said,
    *,
    by: str,
    update: bool = False,
    now: datetime | None = None,
) -> Kept:
    """Make a machine known with a station of it, or one more station of a machine that is there.

    Raises:
        Missing: for a new machine without a station, or a station's figures without its name.
        BadRows, UnknownName: as ``keep_person``; for a seat that is not there.
    """
    has_station = bool(station["name"])
    if any(station.values()) and not has_station:
        message = "which station that is was not said"
        raise Missing(message, way_out="give the station its name, such as punch")
    if not has_station and not _is_there(session, said["name"]):
        message = f"no machine is called {said['name']!r}, and a new one needs a station"
        raise Missing(message, way_out="give a station: its name, work, rating with unit and seats")
    lines = [(MACHINES, said)]
    if has_station:
        lines.append((STATIONS, {"machine": said["name"], **station}))
    return _keep(session, lines, by, update, now)


def _is_there(session: Session, machine: str) -> bool:
    names = (str(values["name"]) for _key, values in crib_rows(session, MACHINES))
    return machine.strip().casefold() in map(str.casefold, names)


def _listed(session: Session, *tables: Table) -> Listed:
    crib = units_of(session)
    return Listed(
        {
            table.name: tuple(
                {
                    column.name: write_cell(column, values[column.name], crib)
                    for column in table.columns
                }
                for _key, values in crib_rows(session, table)
            )
            for table in shown_tables(session, tables)
        }
    )


def _keep(
    session: Session,
    lines: list[tuple[Table, Said]],
    by: str,
    update: bool,
    now: datetime | None,
) -> Kept:
    """Take one row of each table, whole or not at all."""
    what, name = lines[0][0].record, lines[0][1].get("name", "").strip()
    try:
        taken = take_sheets(
            session, name, [_sheet(*line) for line in lines], by=by, update=update, now=now
        )
    except BadRows as error:
        message = f"{what} {name!r} was not taken"
        raise BadRows(message, error.faults, way_out="nothing was written; say it again") from error
    return Kept(what, name, taken.tables, lines[-1][1]["name"] if len(lines) > 1 else "")


def _sheet(table: Table, said: Said) -> TableLines:
    """A table of the one row that was typed, of the columns that were."""
    given = {column: text for column, text in said.items() if text.strip() or column == "name"}
    return TableLines(table, table.record, 0, list(given), iter([(0, list(given.values()))]))
