"""The crib in one SQLite file: WAL with synchronous=FULL, foreign keys on, and a busy timeout."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path
from typing import Any

from crib.acts import act, saying
from crib.errors import NoCrib
from crib.stock.engine.engine import BrokenRule, Connection, Hint, StoreError, held, not_a_crib

APPLICATION_ID = 0x63726962
"""Written into the file's header ("crib"), so that another database is not taken for a crib."""

_SORTS = ("CHECK", "UNIQUE", "NOT NULL", "FOREIGN KEY")
_BUSY_SECONDS = 5.0


class SqliteEngine:
    """The duties of an engine, done by the standard library's ``sqlite3``."""

    error = sqlite3.Error
    hint = Hint(aside="+", then_join="CROSS JOIN")

    def connect(self, path: Path) -> sqlite3.Connection:
        """Open a crib's file."""
        if not path.is_file():
            message = f"there is no crib at {path}"
            make = ("make one: ", act("new"), ", or ", act("demo"), " to look around; or say ")
            raise NoCrib(message, way_out=saying(*make, act("say.crib")))
        try:
            with ExitStack() as on_fault:
                connection = on_fault.enter_context(closing(settled_connection(path)))
                if identity(connection) == APPLICATION_ID:
                    on_fault.pop_all()
                    return connection
        except sqlite3.DatabaseError as error:
            if self.is_locked(error):
                raise held(path) from error
            raise not_a_crib(path) from error
        raise not_a_crib(path)

    def begin_writing(self, connection: Connection) -> None:
        """Begin a transaction that nobody else can begin meanwhile."""
        connection.execute("BEGIN IMMEDIATE")

    def begin_moment(self, connection: Connection) -> None:
        """Begin a transaction that sees one state of the file."""
        connection.execute("BEGIN")

    def is_locked(self, error: Exception) -> bool:
        """Whether SQLite says busy or locked."""
        code = getattr(error, "sqlite_errorcode", None)
        return code is not None and code & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)

    def broken_rule(self, error: Exception) -> BrokenRule | None:
        """The rule, as far as SQLite names it: no table for a CHECK, nothing for a foreign key."""
        if not isinstance(error, sqlite3.IntegrityError):
            return None
        said, _colon, where = str(error).partition(" constraint failed")
        if said not in _SORTS:
            return None
        table, names = "", where.removeprefix(": ")
        if said in ("UNIQUE", "NOT NULL"):
            table = names.partition(".")[0]
            names = names.replace(f"{table}.", "")
        return BrokenRule(said, table, names)


def settled_connection(path: Path) -> sqlite3.Connection:
    """A connection with the settings that every connection of a crib must have."""
    connection = sqlite3.connect(path, timeout=_BUSY_SECONDS, isolation_level=None)
    connection.row_factory = sqlite3.Row
    try:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")
    except BaseException:
        connection.close()
        raise
    return connection


@contextmanager
def bare_file(path: Path, *, read_only: bool = False) -> Iterator[sqlite3.Connection]:
    """A file as SQLite finds it, to copy or to look at; what SQLite says no to is a StoreError."""
    try:
        address = f"{path.resolve().as_uri()}?mode=ro" if read_only else path
        with closing(sqlite3.connect(address, uri=read_only)) as connection:
            yield connection
    except sqlite3.Error as error:
        raise StoreError(str(error)) from error


def identity(connection: sqlite3.Connection) -> int:
    """What the file's header says whose it is; a crib's is ``APPLICATION_ID``."""
    return int(connection.execute("PRAGMA application_id").fetchone()[0])


def file_faults(ask: Callable[[str], Iterable[Any]]) -> Iterator[str]:
    """What SQLite finds damaged in the file that is asked."""
    for row in ask("PRAGMA integrity_check"):
        if row[0] != "ok":
            yield str(row[0])


def orphans(ask: Callable[[str], Iterable[Any]]) -> Iterator[tuple[str, int, str]]:
    """Rows whose owner is gone: table, number of the row, the owner's table."""
    for row in ask("PRAGMA foreign_key_check"):
        yield row[0], row[1], row[2]


def column_names(ask: Callable[[str], Iterable[Any]], table: str) -> Iterator[str]:
    """The columns that a table of the file has; none for a table that is not there."""
    for row in ask(f"PRAGMA table_info({table})"):
        yield row[1]
