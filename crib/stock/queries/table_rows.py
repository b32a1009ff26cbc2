"""The crib's rows as the tables that go in and out show them: names instead of numbers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from crib.files.tables.columns import TABLES, Column, Table
from crib.stock.engine.session import Session
from crib.stock.tables.own_keys import key_of

Key = tuple[Any, ...]
"""What tells a row from all others of its table: its number, or the columns it is known by."""

LABELS = {
    "sites": "name",
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


def labels(session: Session, table: str) -> Iterator[tuple[int, str]]:
    """Number and name of every row that others can refer to."""
    record = RECORDS[table]
    for row in session.each(f"SELECT id, {LABELS[table].format(record)} FROM {record} ORDER BY id"):
        yield row[0], row[1]


def crib_rows(session: Session, table: Table) -> Iterator[tuple[Key, dict[str, Any]]]:
    """Every row of a table, with its key, as values by the names of the columns."""
    names = [column.name for column in table.columns]
    booleans = [column.name for column in table.columns if column.reader == "yes/no"]
    seats = _seats_of_stations(session) if table.name == "stations" else {}
    keys = len(key_of(table.record))
    for row in session.each(_select(table)):
        key, shown = tuple(row)[:keys], tuple(row)[keys:]
        values = dict(zip(names, shown, strict=True))
        values |= {name: bool(values[name]) for name in booleans}
        if table.name == "stations":
            values["seats"] = seats.get(key[0], ())
        yield key, values


def _select(table: Table) -> str:
    key = ", ".join(f"kept.{name}" for name in key_of(table.record))
    shown = ", ".join(_expression(column) for column in table.columns)
    return f"SELECT {key}, {shown} FROM {table.record} AS kept ORDER BY {key}"


def _expression(column: Column) -> str:
    if not column.field:
        return "NULL"
    if not column.of:
        return f"kept.{column.field}"
    record = RECORDS[column.of]
    label = LABELS[column.of].format(record)
    return f"(SELECT {label} FROM {record} WHERE {record}.id = kept.{column.field})"


def _seats_of_stations(session: Session) -> dict[int, tuple[str, ...]]:
    seats: dict[int, tuple[str, ...]] = {}
    for station_id, seat in session.rows(
        "SELECT station_seat.station_id, seat.name FROM station_seat"
        " JOIN seat ON seat.id = station_seat.seat_id ORDER BY station_seat.station_id, seat.id"
    ):
        seats[station_id] = (*seats.get(station_id, ()), seat)
    return seats


def stations_without_place(session: Session) -> list[tuple[int, str]]:
    """Number and name, as ``machine / station``, of the stations that no place stands for."""
    rows = session.rows(
        "SELECT station.id, machine.name || ' / ' || station.name FROM station"
        " JOIN machine ON machine.id = station.machine_id"
        " WHERE NOT EXISTS (SELECT 1 FROM place WHERE place.station_id = station.id)"
        " ORDER BY station.id"
    )
    return [(row[0], row[1]) for row in rows]


def pieces_and_entries(session: Session) -> tuple[int, int]:
    """How many pieces the crib holds, and entries other than changed rules."""
    row = session.row(
        "SELECT (SELECT count(*) FROM piece), (SELECT count(*) FROM entry WHERE action <> 'rule')"
    )
    return (row[0], row[1]) if row else (0, 0)


def tags_never_added(session: Session) -> list[str]:
    """The tags of pieces that no entry ever brought in."""
    rows = session.rows(
        "SELECT tag FROM piece WHERE NOT EXISTS"
        " (SELECT 1 FROM entry WHERE entry.piece_id = piece.id AND entry.action = 'add')"
        " ORDER BY id"
    )
    return [row[0] for row in rows]
