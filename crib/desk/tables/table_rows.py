"""The crib's rows as the tables that go in and out show them: names instead of numbers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from crib.files.tables.cells import Units
from crib.files.tables.columns import TABLES, Column, Table
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session

LABELS = {
    "people": "name",
    "machines": "name",
    "seats": "name",
    "stations": "(SELECT machine.name FROM machine WHERE machine.id = {0}.machine_id)"
    " || ' / ' || {0}.name",
    "places": "name",
    "kinds": "name",
    "pieces": "tag",
    "jobs": "name",
    "purchases": "number",
    "bundles": "{0}.supplier || ' / ' || {0}.name",
}
"""What names a row of a table where another table refers to it."""

RECORDS = {table.name: table.record for table in TABLES}

_STATION_SEATS = (
    "SELECT station_seat.station_id, seat.name FROM station_seat"
    " JOIN seat ON seat.id = station_seat.seat_id ORDER BY station_seat.station_id, seat.id"
)


def units_of(session: Session) -> Units:
    """What a bare number means in this crib."""
    rules = shop_rules(session)
    system: Any = rules.text("crib.unit")
    force: Any = rules.text("crib.force_unit")
    return Units(system, force, rules.text("crib.currency"))


def labels(session: Session, table: str) -> Iterator[tuple[int, str]]:
    """Number and name of every row that others can refer to."""
    record = RECORDS[table]
    sql = f"SELECT id, {LABELS[table].format(record)} FROM {record} ORDER BY id"
    for row in session.connection.execute(sql):
        yield row[0], row[1]


def crib_rows(session: Session, table: Table) -> Iterator[tuple[Any, dict[str, Any]]]:
    """Every row of a table, with its number, as values by the names of the columns."""
    names = [column.name for column in table.columns]
    booleans = [column.name for column in table.columns if column.reader == "yes/no"]
    seats = _seats_of_stations(session) if table.name == "stations" else {}
    for row in session.connection.execute(_select(table)):
        values = dict(zip(names, row[1:], strict=True))
        values |= {name: bool(values[name]) for name in booleans}
        if table.name == "stations":
            values["seats"] = seats.get(row[0], ())
        yield row[0], values


def _select(table: Table) -> str:
    shown = ", ".join(_expression(column) for column in table.columns)
    return f"SELECT rowid, {shown} FROM {table.record} AS row ORDER BY rowid"


def _expression(column: Column) -> str:
    if not column.field:
        return "NULL"
    if not column.of:
        return f"row.{column.field}"
    record = RECORDS[column.of]
    label = LABELS[column.of].format(record)
    return f"(SELECT {label} FROM {record} WHERE {record}.id = row.{column.field})"


def _seats_of_stations(session: Session) -> dict[int, tuple[str, ...]]:
    found: dict[int, tuple[str, ...]] = {}
    for station_id, seat in session.rows(_STATION_SEATS):
        found[station_id] = (*found.get(station_id, ()), seat)
    return found
