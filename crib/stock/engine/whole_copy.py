"""Every row of a crib in the order of its keys, and what proves that a copy holds the same.

A copy goes by the tables and columns that are there, so that a new table comes along by itself.
Rows are streamed: of no table is more held than some rows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from hashlib import blake2b
from typing import Any, Protocol, TypeAlias

from crib.errors import CribDamaged
from crib.stock.engine.engine import Connection, Engine
from crib.stock.engine.moved import MOVED_TABLE
from crib.stock.tables.own_keys import key_of

VERSION_TABLE = "alembic_version"
_NOT_COPIED = (VERSION_TABLE, MOVED_TABLE)

Read: TypeAlias = Callable[[str, Sequence[str]], Iterable[Sequence[Any]]]
"""What gives every row of a table."""
Layout: TypeAlias = Mapping[str, Sequence[str]]
"""The tables of a crib, each with its columns."""


class CopySource(Protocol):
    """The session of the crib that is copied, as far as a copy uses it."""

    engine: Engine
    connection: Connection

    def rows(self, sql: str) -> Iterable[Any]:
        """All rows of a query."""

    def one_moment(self) -> AbstractContextManager[None]:
        """Hold one state of the crib while it is read."""


@dataclass(frozen=True, slots=True)
class TableSum:
    """How many rows a table holds, and the digest of all of them in the order of their keys."""

    rows: int
    digest: str


Proof: TypeAlias = Mapping[str, TableSum]


class Summing:
    """Sums rows up while they go by."""

    def __init__(self) -> None:
        self._rows = 0
        self._digest = blake2b(digest_size=16)

    def through(self, rows: Iterable[Sequence[Any]]) -> Iterator[tuple[Any, ...]]:
        """The rows as either engine would give them."""
        for row in rows:
            plain = _plain(row)
            self._rows += 1
            self._digest.update(repr(plain).encode())
            yield plain

    def sum(self) -> TableSum:
        """What came through."""
        return TableSum(self._rows, self._digest.hexdigest())


def _plain(row: Sequence[Any]) -> tuple[Any, ...]:
    """Yes and no as 1 and 0, and no zero below zero: a file knows neither."""
    return tuple(value + 0 if type(value) in (bool, float) else value for value in row)


def layout_of(source: CopySource) -> dict[str, list[str]]:
    """The tables of a crib, each with its columns."""
    inspection = source.engine.inspection
    return {
        table: [*inspection.columns(source.rows, table)]
        for table in inspection.tables(source.rows)
        if table not in _NOT_COPIED
    }


def every_row(table: str, columns: Sequence[str]) -> str:
    """The statement that reads a whole table in the order of its keys."""
    key = key_of(table)
    order = key if set(key) <= set(columns) else columns
    return f"SELECT {', '.join(columns)} FROM {table} ORDER BY {', '.join(order)}"


def rows_of(source: CopySource, table: str, columns: Sequence[str]) -> Iterable[Sequence[Any]]:
    """The rows of a table, within the moment or the writing block that is open."""
    return source.engine.stream(source.connection, every_row(table, columns), ())


def proof_of(read: Read, layout: Layout) -> dict[str, TableSum]:
    """Read every row of some tables and sum them up."""
    made = {}
    for table, columns in layout.items():
        summing = Summing()
        for _row in summing.through(read(table, columns)):
            pass
        made[table] = summing.sum()
    return made


def require_equal(source: Proof, target: Proof) -> None:
    """Nothing, where both hold the same rows.

    Raises:
        CribDamaged: naming the first table that differs.
    """
    for table, wanted in source.items():
        found = target[table]
        if found != wanted:
            message = (
                f"the copy of {table} differs: {found.rows:,} rows ({found.digest[:8]}) for"
                f" {wanted.rows:,} ({wanted.digest[:8]})"
            )
            raise CribDamaged(message, way_out="nothing of the copy was kept")
