"""Putting a checked row into the crib: a new one, a changed one, and what comes with some."""

from __future__ import annotations

from functools import cache
from typing import Any

from crib.desk.tables.import_state import Intake
from crib.errors import BadValue
from crib.files.tables.columns import Table
from crib.files.tables.rows import Rows
from crib.stock.book.ledger import NewEntry
from crib.stock.engine.engine import RuleBroken
from crib.stock.queries.piece_story import is_added
from crib.stock.queries.table_rows import Key, stations_without_place
from crib.stock.writers.table_rows import accept_seats, add_row, change_row, drop_rule

Values = dict[str, Any]

OPENING: dict[str, Any] = {
    "place_id": None,
    "condition": "retired",
    "measured_width_mm": None,
    "measured_long_mm": None,
    "length_mm": None,
    "edge": 1,
    **dict.fromkeys(("wear_milli", "strokes_edge", "strokes_total", "grinds", "ground_um"), 0),
}
"""Columns of a piece that only the ledger moves, as they are before its opening entry."""


class RowRefused(BadValue):
    """A row that its table does not allow; each fault with its column."""

    def __init__(self, faults: list[tuple[str, str]]) -> None:
        super().__init__("; ".join(text for _column, text in faults))
        self.faults = faults


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
    record = _checked(table, _record(intake, table, values))
    if table.name == "pieces":
        record = {field: value for field, value in record.items() if field not in OPENING}
    _update(intake, table, key, record, {column.field for column in table.columns})
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
        number = add_row(intake.session, "place", _checked_model("place", record))
        intake.names("places").add(name, number)


def _store_seats(intake: Intake, station_id: int, seats: tuple[str, ...]) -> None:
    names = intake.names("seats")
    wanted = [names.number(seat) for seat in dict.fromkeys(seats)]
    accept_seats(intake.session, station_id, wanted)


def _store_piece(intake: Intake, rows: Rows, values: Values) -> int:
    checked = _checked(rows.table, _record(intake, rows.table, values))
    piece_id = _insert_checked(intake, rows.table, checked | OPENING)
    intake.openings.append(_opening(intake, rows, piece_id, values))
    return piece_id


def _store_rule(intake: Intake, rows: Rows, values: Values) -> int:
    """Set a rule, with an entry in the ledger as for every change of one.

    The rules of a file are looked at together at the end: one by one they might not agree.
    """
    key, value = values["key"], values["value"]
    before = intake.rules.text(key)
    if key == "crib.unit" and value != before:
        text = f"the crib is in {before}; make another with `crib new --unit {value}`"
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
    return record


def _insert(intake: Intake, table: Table, record: Values) -> int:
    return _insert_checked(intake, table, _checked(table, record))


def _insert_checked(intake: Intake, table: Table, checked: Values) -> int:
    try:
        return add_row(intake.session, table.record, checked)
    except RuleBroken as error:
        raise RowRefused([("", f"the crib does not allow it: {error}")]) from error


def _update(intake: Intake, table: Table, key: Key, record: Values, fields: set[str]) -> None:
    values = {field: value for field, value in record.items() if field in fields}
    try:
        change_row(intake.session, table.record, key, values)
    except RuleBroken as error:
        raise RowRefused([("", f"the crib does not allow it: {error}")]) from error


def _checked(table: Table, record: Values) -> Values:
    return _checked_model(table.record, record, table)


def _checked_model(name: str, record: Values, table: Table | None = None) -> Values:
    """The record as its table class lets it through, with every default in place."""
    from pydantic import ValidationError

    try:
        row: Values = _models()[name].model_validate(record).model_dump()
    except ValidationError as error:
        headings = {c.field: c.name for c in table.columns} if table else {}
        raise RowRefused(
            [
                (headings.get(str(one["loc"][0]), ""), f"{one['input']!r:.60}: {one['msg']}")
                for one in error.errors()
            ]
        ) from error
    if row.get("id", 0) is None:
        del row["id"]
    return row


@cache
def _models() -> dict[str, Any]:
    from crib.stock.tables import all_tables

    classes = [getattr(all_tables, name) for name in all_tables.__all__]
    return {model.__tablename__: model for model in classes}
