"""The one way to the crib's data: a session over one SQLite connection.

Every read and every write of the program goes through ``Session``. It is a thin layer over the
standard library's ``sqlite3``, because importing an object mapper costs more than answering a
question at the window; the tables themselves are declared (and rows checked) in ``tables``.

A write happens inside ``with session.writing():``, which takes the write lock at once (BEGIN
IMMEDIATE) and waits its turn with a jittered retry. What has been committed is on the disk: WAL
with synchronous=FULL.
"""

from __future__ import annotations

import random
import sqlite3
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from crib.errors import BadInput, CribBusy, CribDamaged, NoCrib

APPLICATION_ID = 0x63726962
"""Written into the file's header ("crib"), so that another database is not taken for a crib."""

WAIT_SECONDS = 60.0
FIRST_PAUSE_SECONDS = 0.002
LONGEST_PAUSE_SECONDS = 0.1

Row = sqlite3.Row
DatabaseError = sqlite3.DatabaseError


class Session:
    """One connection to a crib. Reads are plain queries; writes stand inside ``writing()``."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self.connection = connection
        self.path = path
        self._depth = 0

    def rows(self, sql: str, values: Sequence[Any] | Mapping[str, Any] = ()) -> list[Row]:
        """All rows of a query."""
        return self.connection.execute(sql, values).fetchall()

    def row(self, sql: str, values: Sequence[Any] | Mapping[str, Any] = ()) -> Row | None:
        """The first row of a query, or None."""
        found: Row | None = self.connection.execute(sql, values).fetchone()
        return found

    def value(self, sql: str, values: Sequence[Any] | Mapping[str, Any] = ()) -> Any:
        """The first column of the first row, or None."""
        found = self.row(sql, values)
        return None if found is None else found[0]

    def run(self, sql: str, values: Sequence[Any] | Mapping[str, Any] = ()) -> int:
        """Run one writing statement and return how many rows it changed."""
        self._must_be_writing()
        return self.connection.execute(sql, values).rowcount

    def run_many(self, sql: str, rows: Iterable[Sequence[Any] | Mapping[str, Any]]) -> None:
        """Run one writing statement for many rows."""
        self._must_be_writing()
        self.connection.executemany(sql, rows)

    def insert(self, table: str, values: Mapping[str, Any]) -> int:
        """Add one row and return its id. Column names come from the program, never from input."""
        self._must_be_writing()
        columns = ", ".join(values)
        marks = ", ".join(f":{column}" for column in values)
        cursor = self.connection.execute(
            f"INSERT INTO {table} ({columns}) VALUES ({marks})", dict(values)
        )
        return int(cursor.lastrowid or 0)

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Hold the write lock: commit at the end, roll everything back on any error.

        A block inside a block belongs to the outer one; when it fails, what it wrote is gone even
        if the outer block goes on.

        Raises:
            CribBusy: when another writer does not finish within a minute.
        """
        if self._depth:
            with self._nested():
                yield
            return
        self._begin()
        self._depth = 1
        try:
            yield
            self.connection.execute("COMMIT")
        except BaseException:
            if self.connection.in_transaction:
                self.connection.execute("ROLLBACK")
            raise
        finally:
            self._depth = 0

    @contextmanager
    def _nested(self) -> Iterator[None]:
        name = f"level_{self._depth}"
        self.connection.execute(f"SAVEPOINT {name}")
        self._depth += 1
        try:
            yield
        except BaseException:
            # A full disk may have rolled back the whole transaction, savepoints and all.
            if self.connection.in_transaction:
                self.connection.execute(f"ROLLBACK TO {name}")
            raise
        finally:
            self._depth -= 1
            if self.connection.in_transaction:
                self.connection.execute(f"RELEASE {name}")

    def _begin(self) -> None:
        deadline = time.monotonic() + WAIT_SECONDS
        pause = FIRST_PAUSE_SECONDS
        while True:
            try:
                self.connection.execute("BEGIN IMMEDIATE")
            except sqlite3.OperationalError as error:
                if not is_locked(error):
                    raise
                if time.monotonic() > deadline:
                    message = f"{self.path}: another writer held the crib for {WAIT_SECONDS:.0f} s"
                    raise CribBusy(
                        message, way_out="try again; nothing of this was written"
                    ) from error
                time.sleep(pause * random.uniform(0.5, 1.5))
                pause = min(pause * 2, LONGEST_PAUSE_SECONDS)
            else:
                return

    def _must_be_writing(self) -> None:
        if not self._depth:
            message = "a write outside `with session.writing():`"
            raise RuntimeError(message)

    def close(self) -> None:
        """Let the connection go."""
        self.connection.close()


def is_locked(error: sqlite3.Error) -> bool:
    """Whether an error only says that somebody else is writing."""
    return error.sqlite_errorcode & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


def connect(path: Path) -> sqlite3.Connection:
    """Open a SQLite file with the settings that every connection of the crib must have.

    Raises:
        CribDamaged: when the file is not a database.
    """
    connection = sqlite3.connect(path, timeout=5.0, isolation_level=None)
    connection.row_factory = sqlite3.Row
    try:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")
    except sqlite3.DatabaseError as error:
        connection.close()
        if is_locked(error):
            raise _held(path) from error
        raise _not_a_crib(path) from error
    return connection


def crib_path(place: str) -> Path:
    """The file behind ``--crib``: a path, or a ``sqlite:///`` URL.

    Raises:
        BadInput: for a URL of another kind.
    """
    if place.startswith("sqlite:///"):
        return Path(place.removeprefix("sqlite:///")).expanduser()
    if "://" in place:
        message = f"crib {place!r} is not a file and not a sqlite:/// URL"
        raise BadInput(message, way_out="give a file, such as --crib shop.crib")
    return Path(place).expanduser()


def open_crib(path: Path) -> Session:
    """Open an existing crib, and bring an older one up to this program's tables first.

    Raises:
        NoCrib: when there is no such file.
        CribDamaged: when the file is not a crib.
    """
    if not path.is_file():
        message = f"there is no crib at {path}"
        raise NoCrib(
            message,
            way_out="make one: `crib new`, or `crib demo` to look around; or say --crib FILE",
        )
    connection = connect(path)
    try:
        revision = _revision(connection, path)
        if revision != head_revision():
            connection.close()
            from crib.stock.engine.migrate import upgrade_with_backup

            upgrade_with_backup(path)
            connection = connect(path)
    except BaseException:
        connection.close()
        raise
    return Session(connection, path)


def head_revision() -> str:
    """The newest revision of ``schema/versions``, as this program expects it."""
    from crib.stock.engine.revision import HEAD_REVISION

    return HEAD_REVISION


def _revision(connection: sqlite3.Connection, path: Path) -> str:
    try:
        identity = connection.execute("PRAGMA application_id").fetchone()[0]
        found = (
            connection.execute("SELECT version_num FROM alembic_version").fetchone()
            if identity == APPLICATION_ID
            else None
        )
    except sqlite3.DatabaseError as error:
        if is_locked(error):
            raise _held(path) from error
        found = None
    if found is None:
        raise _not_a_crib(path)
    return str(found[0])


def _held(path: Path) -> CribBusy:
    message = f"{path}: another program holds the crib"
    return CribBusy(message, way_out="try again in a moment")


def _not_a_crib(path: Path) -> CribDamaged:
    message = f"{path} is not a crib, or it is damaged"
    return CribDamaged(
        message, way_out="check the path; a safe copy comes back with `crib restore BACKUP`"
    )
