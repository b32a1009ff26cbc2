"""Every limit stands in the database itself, and in the row's own check where one is declared."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

import pytest
from pydantic import ValidationError
from sqlalchemy import CheckConstraint
from sqlmodel import SQLModel

from crib.stock.engine.revision import HEAD_REVISION
from crib.stock.tables import all_tables
from crib.stock.tables.own_keys import OWN_KEYS
from tests.schema.broken import BROKEN, DATABASE_ONLY, Change
from tests.schema.cribs import filled, insert_raw, raw
from tests.schema.rows import ROWS

BY_NAME: dict[str, Any] = {
    str(getattr(all_tables, name).__tablename__): getattr(all_tables, name)
    for name in all_tables.__all__
}


@pytest.fixture(scope="module")
def crib(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    """A crib with a good row in every table; each test takes back what it tried."""
    path = filled(tmp_path_factory.mktemp("limits") / "full.crib", HEAD_REVISION)
    with raw(path) as connection:
        yield connection


def good_row(table: str) -> Change:
    """The first good row of a table."""
    return next(dict(row) for rows in ROWS.values() for name, row in rows if name == table)


def try_update(crib: sqlite3.Connection, table: str, change: Change) -> None:
    """Change the first row of a table, and take it back if the database lets it pass."""
    marks = ", ".join(f"{column} = :{column}" for column in change)
    crib.execute("BEGIN")
    try:
        crib.execute(f"UPDATE {table} SET {marks} WHERE rowid = 1", change)
    finally:
        crib.execute("ROLLBACK")


def columns_of(crib: sqlite3.Connection, table: str) -> list[sqlite3.Row]:
    """The columns of a table as SQLite has them."""
    return crib.execute(f"PRAGMA table_info({table})").fetchall()


def unique_sets(crib: sqlite3.Connection, table: str) -> list[str]:
    """What must not be twice in a table: each unique index, without the primary key."""
    return [
        row["name"]
        for row in crib.execute(f"PRAGMA index_list({table})")
        if row["unique"] and row["origin"] == "u"
    ]


@pytest.mark.parametrize(
    ("check", "table", "change"), BROKEN, ids=[f"{one[0]} {one[2]}" for one in BROKEN]
)
def test_the_database_refuses(
    crib: sqlite3.Connection, check: str, table: str, change: Change
) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=f"CHECK constraint failed: {check}$"):
        try_update(crib, table, change)


@pytest.mark.parametrize(
    ("check", "table", "change"),
    [one for one in BROKEN if one[0] not in DATABASE_ONLY],
    ids=[f"{one[0]} {one[2]}" for one in BROKEN if one[0] not in DATABASE_ONLY],
)
def test_the_rows_own_check_refuses_too(check: str, table: str, change: Change) -> None:
    assert check.startswith(f"ck_{table}_")
    with pytest.raises(ValidationError, match=next(iter(change))):
        BY_NAME[table].model_validate(good_row(table) | change)


@pytest.mark.parametrize("table", BY_NAME)
def test_a_good_row_passes_its_own_check(table: str) -> None:
    row = good_row(table)
    assert BY_NAME[table].model_validate(row).model_dump(include=set(row)) == row


def test_every_check_of_the_tables_is_broken_here() -> None:
    declared = {
        str(one.name)
        for table in SQLModel.metadata.tables.values()
        for one in table.constraints
        if isinstance(one, CheckConstraint)
    }
    assert {check for check, _table, _change in BROKEN} == declared


@pytest.mark.parametrize("table", BY_NAME)
def test_an_owner_that_is_not_there_is_refused(crib: sqlite3.Connection, table: str) -> None:
    owned = crib.execute(f"PRAGMA foreign_key_list({table})").fetchall()
    declared = {column for column in BY_NAME[table].__table__.columns if column.foreign_keys}
    assert {row["from"] for row in owned} == {column.name for column in declared}
    for row in owned:
        change: Change = {row["from"]: 999_999}
        if (table, row["from"]) == ("entry", "reverses_id"):
            change |= {"action": "reverse"}
        if (table, row["from"]) == ("envelope_point", "kind_id"):
            change |= {"station_id": None}
        if (table, row["from"]) == ("site_days", "site_id"):
            change |= {"to_site_id": 1_000_000}
        if (table, row["from"]) == ("place", "to_site_id"):
            change |= {"station_id": None, "sort": "way"}
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY constraint failed"):
            try_update(crib, table, change)


@pytest.mark.parametrize("table", BY_NAME)
def test_an_owner_with_rows_cannot_be_erased(crib: sqlite3.Connection, table: str) -> None:
    owners = {
        (row["table"], row["from"]) for row in crib.execute(f"PRAGMA foreign_key_list({table})")
    }
    for owner, column in owners:
        used = crib.execute(f"SELECT max({column}) FROM {table}").fetchone()[0]
        if used is None:
            continue
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY constraint failed"):
            crib.execute(f"DELETE FROM {owner} WHERE id = ?", (used,))


@pytest.mark.parametrize("table", BY_NAME)
def test_a_column_that_must_be_filled_cannot_be_emptied(
    crib: sqlite3.Connection, table: str
) -> None:
    filled_in = [row["name"] for row in columns_of(crib, table) if row["notnull"] and not row["pk"]]
    declared = {
        column.name for column in BY_NAME[table].__table__.columns if not column.nullable
    } - {row["name"] for row in columns_of(crib, table) if row["pk"]}
    assert set(filled_in) == declared
    for name in filled_in:
        with pytest.raises(sqlite3.IntegrityError, match=f"NOT NULL constraint failed: .*{name}"):
            try_update(crib, table, {name: None})


@pytest.mark.parametrize("table", BY_NAME)
def test_what_must_be_single_cannot_be_there_twice(crib: sqlite3.Connection, table: str) -> None:
    keys = [row["name"] for row in columns_of(crib, table) if row["pk"]]
    for index in unique_sets(crib, table):
        columns = {row["name"] for row in crib.execute(f"PRAGMA index_info({index})")}
        row = _row_that_fills(crib, table, columns)
        assert row is not None, f"no row in {table} with {columns}"
        twin = {name: value for name, value in row.items() if name not in set(keys) - columns}
        with pytest.raises(sqlite3.IntegrityError, match="UNIQUE constraint failed"):
            insert_raw(crib, table, twin)


@pytest.mark.parametrize("table", sorted(OWN_KEYS))
def test_a_key_of_the_shops_own_cannot_be_there_twice(crib: sqlite3.Connection, table: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="UNIQUE constraint failed"):
        insert_raw(crib, table, good_row(table))


def _row_that_fills(
    crib: sqlite3.Connection, table: str, columns: set[str]
) -> dict[str, Any] | None:
    filled_in = " AND ".join(f"{name} IS NOT NULL" for name in sorted(columns))
    found = crib.execute(f"SELECT * FROM {table} WHERE {filled_in}").fetchone()
    return None if found is None else dict(found)
