"""Rows that come in from files: put into their tables, brought to other values, taken out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from crib.stock.engine.session import Session
from crib.stock.queries.table_rows import Key
from crib.stock.tables.own_keys import OWN_KEYS, key_of
from crib.stock.tables.row_check import check_rows


def add_row(session: Session, record: str, values: Mapping[str, Any]) -> int:
    """Put one row into a table; returns its number, 0 in a table without numbers.

    Raises:
        RowRefused: when the table does not allow it.
    """
    if record in OWN_KEYS:
        session.add(record, values)
        return 0
    return session.insert(record, values)


def change_row(session: Session, record: str, key: Key, values: Mapping[str, Any]) -> None:
    """Bring the row of that key to some values.

    Raises:
        RowRefused: when the table does not allow it.
    """
    check_rows(record, tuple(values), [tuple(values.values())])
    wanted = ", ".join(f"{field} = :{field}" for field in values)
    names = [f"key_{at}" for at in range(len(key))]
    same = " AND ".join(f"{f} = :{n}" for f, n in zip(key_of(record), names, strict=True))
    sql = f"UPDATE {record} SET {wanted} WHERE {same}"
    with session.refusing(record):
        session.run(sql, {**values, **dict(zip(names, key, strict=True))})


def accept_seats(session: Session, station_id: int, seat_ids: Iterable[int | None]) -> None:
    """Let a station accept these seats and no others."""
    session.run("DELETE FROM station_seat WHERE station_id = ?", (station_id,))
    rows = ((station_id, seat_id) for seat_id in seat_ids)
    session.insert_many("station_seat", ("station_id", "seat_id"), rows)


def drop_rule(session: Session, key: str) -> None:
    """Take a shop rule back to its default, without a word in the ledger."""
    session.run("DELETE FROM shop_rule WHERE key = ?", (key,))


def drop_first_rules(session: Session) -> None:
    """Take out the rules that a new crib was made with, and the entries that set them."""
    session.run("DELETE FROM entry")
    session.run("DELETE FROM shop_rule")


def set_totals(session: Session, total: str, of_tags: Iterable[tuple[Any, str]]) -> None:
    """Write one running total of some pieces, as their ledger bears it out."""
    session.run_many(f"UPDATE piece SET {total} = ? WHERE tag = ?", of_tags)
