"""The crib in one SQLite file: WAL with synchronous=FULL, foreign keys on, and a busy timeout."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path
from typing import Any

from crib.acts import act, saying
from crib.errors import DiskFault, NoCrib
from crib.stock.engine.disk import full, obstacle
from crib.stock.engine.engine import (
    BrokenRule,
    Connection,
    Hint,
    Question,
    StoreError,
    Values,
    held,
    not_a_crib,
)
from crib.stock.engine.inspection_sqlite import INSPECTION

APPLICATION_ID = 0x63726962
"""Written into the file's header ("crib"), so that another database is not taken for a crib."""

_SORTS = ("CHECK", "UNIQUE", "NOT NULL", "FOREIGN KEY")
_BUSY_SECONDS = 5.0
_FORMATS = slice(18, 20)


class SqliteEngine:
    """The duties of an engine, done by the standard library's ``sqlite3``."""

    error = sqlite3.Error
    hint = Hint(aside="+", then_join="CROSS JOIN")
    is_far = False
    inspection = INSPECTION

    def connect(self, path: Path) -> sqlite3.Connection:
        """Open a crib's file."""
        if not path.is_file():
            message = f"there is no crib at {path}"
            make = ("make one: ", act("new"), ", or ", act("demo"), " to look around; or say ")
            raise NoCrib(message, way_out=saying(*make, act("say.crib")))
        try:
            connection = _looked_at(settled_connection(path))
        except sqlite3.DatabaseError as error:
            if self.is_locked(error):
                raise held(path) from error
            raise self.disk_fault(error, path) or not_a_crib(path) from error
        if connection is None:
            raise not_a_crib(path)
        return connection

    def connect_to_read(self, path: Path) -> sqlite3.Connection | None:
        """Open a crib's file that cannot be written."""
        try:
            return _looked_at(reading_connection(path))
        except (sqlite3.Error, OSError):
            return None

    def begin_writing(self, connection: Connection) -> None:
        """Begin a transaction that nobody else can begin meanwhile."""
        connection.execute("BEGIN IMMEDIATE")

    def begin_moment(self, connection: Connection) -> None:
        """Begin a transaction that sees one state of the file."""
        connection.execute("BEGIN")

    def stream(self, connection: Connection, sql: str, values: Values) -> Iterable[Any]:
        """SQLite gives its rows one by one anyway."""
        return connection.execute(sql, values)

    def send(self, connection: Connection, sql: str, values: Values) -> None:
        """Run it at once: a file is not far away."""
        connection.execute(sql, values)

    def send_many(self, connection: Connection, sql: str, rows: Iterable[Values]) -> None:
        """Run it at once."""
        connection.executemany(sql, rows)

    def settle(self, connection: Connection) -> None:
        """Nothing: all is done."""

    def foresee(self, connection: Connection, questions: Sequence[Question]) -> None:
        """Nothing: each is asked when its answer is wanted."""

    def forget(self, connection: Connection, questions: Sequence[Question]) -> None:
        """Nothing, as none was foreseen."""

    def is_lost(self, connection: Connection) -> bool:
        """A file is never lost on the way."""
        return False

    def state(self, connection: Connection) -> int:
        """SQLite's own count of what others committed."""
        return int(connection.execute("PRAGMA data_version").fetchone()[0])

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

    def disk_fault(self, error: Exception, path: Path) -> DiskFault | None:
        """What SQLite's code says, and what the operating system says where that is not enough."""
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF
        if code == sqlite3.SQLITE_FULL:
            return full(path)
        to_write = code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_CANTOPEN)
        if to_write or code == sqlite3.SQLITE_IOERR:
            name = getattr(error, "sqlite_errorname", "")
            return obstacle(path, f"{error}, {name}", to_write=to_write)
        return None


def _looked_at(connection: sqlite3.Connection) -> sqlite3.Connection | None:
    """A connection whose file is a crib's, else None."""
    with ExitStack() as on_fault:
        on_fault.enter_context(closing(connection))
        if identity(connection) == APPLICATION_ID:
            on_fault.pop_all()
            return connection
    return None


def settled_connection(path: Path) -> sqlite3.Connection:
    """A connection with the settings that every connection of a crib must have."""
    connection = sqlite3.connect(path.absolute(), timeout=_BUSY_SECONDS, isolation_level=None)
    connection.row_factory = sqlite3.Row
    try:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")
    except BaseException:
        connection.close()
        raise
    return connection


def reading_connection(path: Path) -> sqlite3.Connection:
    """A connection to a file that cannot be written, or must not be.

    Where SQLite may not even make the files that it needs beside one to read it, it gets the file's
    bytes. That is done only while no log stands beside it, so that nothing is left out.

    Raises:
        sqlite3.Error: when it cannot be read.
        OSError: when the disk does not give it.
    """
    connection = sqlite3.connect(
        f"{path.resolve().as_uri()}?mode=ro", uri=True, timeout=_BUSY_SECONDS, isolation_level=None
    )
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.Error as error:
        connection.close()
        whole = None
        if SqliteEngine().disk_fault(error, path) is not None:
            whole = _bytes_of_one_moment(path)
        if whole is None:
            raise
        connection = sqlite3.connect(":memory:", isolation_level=None)
        connection.deserialize(whole)
    connection.execute("PRAGMA query_only = ON")
    connection.row_factory = sqlite3.Row
    return connection


def _bytes_of_one_moment(path: Path) -> bytes | None:
    """A crib's file as no log would be played into it; None while somebody is writing."""
    log = path.with_name(f"{path.name}-wal")
    before = path.stat()
    whole = bytearray(path.read_bytes())
    after = path.stat()
    changed = (before.st_mtime_ns, before.st_size) != (after.st_mtime_ns, after.st_size)
    if changed or (log.exists() and log.stat().st_size):
        return None
    # A file that writes ahead has 2 in both of these bytes; one in memory cannot, and says 1.
    whole[_FORMATS] = b"\x01\x01"
    return bytes(whole)


@contextmanager
def bare_file(path: Path, *, read_only: bool = False) -> Iterator[sqlite3.Connection]:
    """A file as SQLite finds it, to copy or to look at.

    Raises:
        DiskFault: when the disk or the rights do not allow it.
        StoreError: for anything else that SQLite says no to.
    """
    open_it = reading_connection if read_only else sqlite3.connect
    try:
        with closing(open_it(path.absolute())) as connection:
            yield connection
    except sqlite3.Error as error:
        raise SqliteEngine().disk_fault(error, path) or StoreError(str(error)) from error


def identity(connection: sqlite3.Connection) -> int:
    """What the file's header says whose it is; a crib's is ``APPLICATION_ID``."""
    return int(connection.execute("PRAGMA application_id").fetchone()[0])
