"""Cribs at any revision, what they hold and how their tables are made."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from alembic import command

from crib.stock.engine.engine_sqlite import APPLICATION_ID, settled_connection
from crib.stock.engine.migrate import alembic_config
from tests.schema.rows import ROWS, TableRow


@contextmanager
def raw(path: Path) -> Iterator[sqlite3.Connection]:
    """A bare connection with the crib's own settings, closed afterwards."""
    with closing(settled_connection(path)) as connection:
        yield connection


def at_revision(path: Path, revision: str) -> Path:
    """An empty crib with the tables of one revision."""
    with raw(path) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    command.upgrade(alembic_config(path), revision)
    return path


def filled(path: Path, revision: str) -> Path:
    """A crib at one revision that was first filled at the earliest, and at each that adds rows."""
    at_revision(path, "0001")
    for known in sorted(ROWS):
        if known <= revision:
            command.upgrade(alembic_config(path), known)
            insert_rows(path, ROWS[known])
    command.upgrade(alembic_config(path), revision)
    return path


def insert_rows(path: Path, rows: list[TableRow]) -> None:
    """Store rows as they stand, with foreign keys on."""
    with raw(path) as connection:
        for table, row in rows:
            insert_raw(connection, table, row)


def insert_raw(connection: sqlite3.Connection, table: str, row: dict[str, Any]) -> None:
    """Store one row past every check but the database's own."""
    columns, marks = ", ".join(row), ", ".join(f":{name}" for name in row)
    connection.execute(f"INSERT INTO {table} ({columns}) VALUES ({marks})", row)


def table_names(path: Path) -> list[str]:
    """The crib's own tables."""
    with raw(path) as connection:
        found = connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name <> 'alembic_version'"
            " AND name NOT LIKE 'sqlite_%' ORDER BY name"
        ).fetchall()
    return [row[0] for row in found]


def holdings(path: Path) -> dict[str, list[dict[str, Any]]]:
    """Every row of every table, in the order of its key."""
    names = table_names(path)
    with raw(path) as connection:
        return {
            name: [dict(row) for row in connection.execute(f"SELECT * FROM {name} ORDER BY 1, 2")]
            for name in names
        }


def revision_of(path: Path) -> str | None:
    """The revision written in the crib."""
    with raw(path) as connection:
        found = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    return None if found is None else str(found[0])


def structure(path: Path) -> dict[str, list[str]]:
    """How every table and index is made: its parts, in no order, without quotes and spacing."""
    with raw(path) as connection:
        found = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL"
            " AND name NOT IN ('alembic_version', 'sqlite_sequence')"
        ).fetchall()
    return {row["name"]: sorted(_parts(row["sql"])) for row in found}


def _parts(sql: str) -> Iterator[str]:
    """The head of a CREATE statement, then what stands between its outer commas."""
    text = re.sub(r"\s+", " ", sql.replace('"', "")).strip()
    depth, start = 0, 0
    for place, letter in enumerate(text):
        depth += (letter == "(") - (letter == ")")
        outer = (letter == "(" and depth == 1) or (letter == ")" and depth == 0)
        if outer or (letter == "," and depth == 1):
            yield text[start:place].strip()
            start = place + 1
    yield text[start:].strip()
