"""Putting a checked row into the crib: a new one, a changed one, and what comes with some."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields
from typing import Any

from crib.acts import act, saying
from crib.desk.tables.import_state import Intake
from crib.files.tables.columns import Table
from crib.files.tables.rows import Rows
from crib.stock.book.ledger import NewEntry
from crib.stock.book.sites import move_machines
from crib.stock.book.totals import TOTAL_NAMES
from crib.stock.queries.piece_story import is_added
from crib.stock.queries.table_rows import Key, stations_without_place
from crib.stock.tables.row_check import RowRefused, checked_row
from crib.stock.writers.new_pieces import NewPieceRow, add_piece_row
from crib.stock.writers.table_rows import accept_seats, add_row, change_row, drop_rule

Values = dict[str, Any]
_ROOTED = ("places", "machines", "jobs")
"""What is at a site, the asker's where none is said."""


def store_new(intake: Intake, rows: Rows, values: Values) -> int:
    """Add one row and return its number.

    Raises:
        RowRefused: when the table does not allow it.
    """
    if rows.table.name == "pieces" and not intake.whole:
        return _store_piece(intake, rows, values)
    if rows.table.name == "rules" and not intake.whole:
        return _store_rule(intake, rows, values)
    number = _insert(intake, rows.table, _record(intake, rows.table, values))
    if rows.table.name == "stations":
        _store_seats(intake, number, values["seats"])
    return number


def store_changed(intake: Intake, rows: Rows, key: Key, values: Values) -> None:
    """Bring one row to these values.

    Raises:
        RowRefused: when the table does not allow it.
    """
    table = rows.table
    if table.name == "rules" and not intake.whole:
        _store_rule(intake, rows, values)
        return
    record = _record(intake, table, values)
    with _by_headings(table):
        checked = checked_row(table.record, record)
        kept = TOTAL_NAMES if table.name == "pieces" else ()
        changed = {name: checked[name] for name in record if name in checked and name not in kept}
        change_row(intake.session, table.record, key, changed)
    if table.name == "stations":
        _store_seats(intake, key[0], values["seats"])


def was_undone(intake: Intake, piece_id: int) -> bool:
    """Whether a piece's coming in was taken back, so that it may come in again."""
    return not is_added(intake.session, piece_id)


def store_again(intake: Intake, rows: Rows, piece_id: int, values: Values) -> None:
    """Bring a piece back whose coming in was taken back."""
    store_changed(intake, rows, (piece_id,), values)
    intake.openings.append(_opening(intake, rows, piece_id, values))


def ensure_station_places(intake: Intake) -> None:
    """Make the place 'machine / station' for every station that has none.

    Raises:
        RowRefused: when another place has that name.
    """
    for station_id, name in stations_without_place(intake.session):
        if intake.names("places").find(name):
            text = f"place {name!r} stands for that station: write sort station for it"
            raise RowRefused([("name", text)])
        record = {"name": name, "sort": "station", "station_id": station_id}
        number = add_row(intake.session, "place", record)
        intake.names("places").add(name, number)
    move_machines(intake.session)


def _store_seats(intake: Intake, station_id: int, seats: tuple[str, ...]) -> None:
    names = intake.names("seats")
    wanted = [names.number(seat) for seat in dict.fromkeys(seats)]
    accept_seats(intake.session, station_id, wanted)


def _store_piece(intake: Intake, rows: Rows, values: Values) -> int:
    record = _record(intake, rows.table, values)
    known = {field.name: record[field.name] for field in fields(NewPieceRow)}
    with _by_headings(rows.table):
        piece_id = add_piece_row(intake.session, NewPieceRow(**known))
    intake.openings.append(_opening(intake, rows, piece_id, values))
    return piece_id


def _store_rule(intake: Intake, rows: Rows, values: Values) -> int:
    """Set a rule, with an entry in the ledger as for every change of one.

    The rules of a file are looked at together at the end: one by one they might not agree.
    """
    key, value = values["key"], values["value"]
    before = intake.rules.text(key)
    if key == "crib.unit" and value != before:
        make = act("new", unit=value)
        text = saying(f"the crib is in {before}; make another with ", make)
        raise RowRefused([("value", text)])
    values["why"] = values["why"] or f"from {rows.file}"
    drop_rule(intake.session, key)
    note = f"{key}: {before} -> {value}; {values['why']}"
    intake.openings.append(NewEntry("rule", note=note[:400]))
    return _insert(intake, rows.table, _record(intake, rows.table, values))


def _opening(intake: Intake, rows: Rows, piece_id: int, values: Values) -> NewEntry:
    place = values["place"]
    note = f"from {rows.file}"
    if values["grinds"]:
        note += f"; ground {values['grinds']} times before"
    return NewEntry(
        "add",
        piece_id,
        quantity=values["strokes since new"],
        strokes_edge=values["strokes since grind"],
        weighted_milli=values["wear"],
        place_id=None if place is None else intake.names("places").number(place),
        condition=values["condition"],
        length_mm=values["length"],
        ground_um=values["ground off"],
        measured_width_mm=values["measured size"],
        measured_long_mm=values["measured long"],
        edge=values["edge"],
        note=note[:400],
    )


def _record(intake: Intake, table: Table, values: Values) -> Values:
    record: Values = {}
    for column in table.columns:
        value = values[column.name]
        if column.of and column.field and value is not None:
            value = intake.names(column.of).number(value)
        if column.field:
            record[column.field] = value
    if table.name in _ROOTED and record["site_id"] is None:
        record |= intake.session.rooted
    return record


def _insert(intake: Intake, table: Table, record: Values) -> int:
    with _by_headings(table):
        return add_row(intake.session, table.record, record)


@contextmanager
def _by_headings(table: Table) -> Iterator[None]:
    """Name the faults of a row by the headings of its table instead of its columns."""
    headings = {column.field: column.name for column in table.columns}
    try:
        yield
    except RowRefused as error:
        faults = [(headings.get(column, ""), text) for column, text in error.faults]
        raise RowRefused(faults) from error
