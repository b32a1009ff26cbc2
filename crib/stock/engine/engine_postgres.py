"""The crib in a database of a PostgreSQL server, by the driver psycopg.

One lock for each database lets writers in one after another, as a crib's file does; a writer begins
after it has the lock, so that it sees whatever was committed before. Readers wait for nobody.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import count
from typing import Any, cast

import psycopg
from psycopg import errors
from psycopg.adapt import Loader
from psycopg.pq import TransactionStatus

from crib.acts import act, saying
from crib.errors import CribDamaged, DiskFault, DiskFull, NoCrib, NoRight
from crib.stock.engine.engine import BrokenRule, Connection, Hint, Values, not_a_crib
from crib.stock.engine.inspection_postgres import INSPECTION
from crib.stock.engine.marks_postgres import with_driver_marks
from crib.stock.engine.place import Place, ServerPlace

LEAST_VERSION = 140_000
WRITERS_LOCK = 0x63726962
"""The number of the lock that writers of one database take by turns ("crib")."""

_CONNECT_SECONDS = 10
_LOCK_WAIT = "5s"
_ROWS_AT_ONCE = 5_000
_numbers = count(1)
_SORTS: dict[type[Exception], str] = {
    errors.CheckViolation: "CHECK",
    errors.UniqueViolation: "UNIQUE",
    errors.NotNullViolation: "NOT NULL",
    errors.ForeignKeyViolation: "FOREIGN KEY",
}


class ServerRow(tuple[Any, ...]):
    """One row of an answer: its values by name and by number."""

    names: Mapping[str, int]

    def __getitem__(self, key: Any) -> Any:
        return super().__getitem__(self.names[key] if isinstance(key, str) else key)

    def keys(self) -> Iterable[str]:
        """The names of its columns."""
        return self.names.keys()


def _named_rows(cursor: psycopg.Cursor[Any]) -> Any:
    columns = cursor.description or ()
    names = {column.name: number for number, column in enumerate(columns)}
    row = type("_Row", (ServerRow,), {"names": names})
    return row


class _Number(Loader):
    """A ``numeric`` as a whole number where it is one, as SQLite sums whole numbers."""

    def load(self, data: Any) -> int | float:
        text = bytes(data).decode("ascii")
        return float(text) if "." in text or "N" in text else int(text)


class PostgresConnection:
    """The driver's connection with the marks and rows that the crib's statements have."""

    def __init__(self, connection: psycopg.Connection[Any]) -> None:
        self._driver = connection

    @property
    def in_transaction(self) -> bool:
        """Whether something was begun that is not committed."""
        return self._driver.info.transaction_status not in (
            TransactionStatus.IDLE,
            TransactionStatus.UNKNOWN,
        )

    def execute(self, sql: str, values: Values = ()) -> Any:
        """Run one statement."""
        return self._driver.execute(with_driver_marks(sql).encode(), _given(values))

    def executemany(self, sql: str, rows: Iterable[Values]) -> Any:
        """Run one writing statement for many rows."""
        cursor = self._driver.cursor()
        cursor.executemany(with_driver_marks(sql).encode(), list(rows))
        return cursor

    def stream(self, sql: str, values: Values) -> Iterator[Any]:
        """The rows of a query some at a time; others may be asked between them."""
        with self._driver.cursor(name=f"rows_{next(_numbers)}") as cursor:
            cursor.itersize = _ROWS_AT_ONCE
            cursor.execute(with_driver_marks(sql).encode(), _given(values))
            yield from cursor

    def close(self) -> None:
        """Let it go."""
        self._driver.close()


def _given(values: Values) -> Sequence[Any] | Mapping[str, Any] | None:
    return values or None


class PostgresEngine:
    """The duties of an engine, done by a server."""

    error = psycopg.Error
    hint = Hint(lateral=True)
    inspection = INSPECTION

    def connect(self, path: Place) -> PostgresConnection:
        """Open a crib's database."""
        connection = open_database(path)
        try:
            _require_a_crib(connection, path)
        except BaseException:
            connection.close()
            raise
        return PostgresConnection(connection)

    def connect_to_read(self, path: Place) -> PostgresConnection | None:
        """Open a crib's database to look at it."""
        try:
            connection = open_database(path)
            connection.execute("SET default_transaction_read_only = on")
        except (psycopg.Error, DiskFault, NoCrib):
            return None
        return PostgresConnection(connection)

    def begin_writing(self, connection: Connection) -> None:
        """Take the writers' lock, then begin; the lock goes with the transaction."""
        connection.execute("BEGIN ISOLATION LEVEL READ COMMITTED")
        try:
            connection.execute(f"SELECT pg_advisory_xact_lock({WRITERS_LOCK})")
        except psycopg.Error:
            connection.execute("ROLLBACK")
            raise

    def begin_moment(self, connection: Connection) -> None:
        """Begin a transaction that sees one state of the database."""
        connection.execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")

    def stream(self, connection: Connection, sql: str, values: Values) -> Iterable[Any]:
        """A cursor on the server, so that no more than some rows are here at once."""
        return cast(PostgresConnection, connection).stream(sql, values)

    def state(self, connection: Connection) -> int:
        """What the server says is committed, as a number."""
        return hash(connection.execute("SELECT pg_current_snapshot()::text").fetchone()[0])

    def is_locked(self, error: Exception) -> bool:
        """Whether the server says that somebody else holds what is asked for."""
        held = (errors.LockNotAvailable, errors.DeadlockDetected, errors.SerializationFailure)
        return isinstance(error, held)

    def broken_rule(self, error: Exception) -> BrokenRule | None:
        """The rule as the server names it; its columns where it is no CHECK."""
        if not isinstance(error, errors.IntegrityError):
            return None
        sort = next((name for kind, name in _SORTS.items() if isinstance(error, kind)), "")
        if not sort:
            return None
        said = error.diag
        if sort == "CHECK":
            return BrokenRule(sort, said.table_name or "", said.constraint_name or "")
        columns = re.match(r"Key \(([^)]*)\)=", said.message_detail or "")
        name = said.column_name or (columns[1] if columns else "")
        return BrokenRule(sort, said.table_name or "", name)

    def disk_fault(self, error: Exception, path: Place) -> DiskFault | None:
        """What keeps the server from reading or writing; that it is away counts among it."""
        if isinstance(error, errors.DiskFull):
            message = f"{path}: the server's disk is full"
            return DiskFull(message, way_out="make room on the server; nothing of this was written")
        if isinstance(error, errors.ReadOnlySqlTransaction | errors.InsufficientPrivilege):
            message = f"{path} may only be read: {_first_line(error)}"
            return NoRight(message, way_out="ask whoever looks after the server for the right")
        if isinstance(error, psycopg.OperationalError):
            return away(path, error)
        return None


def away(path: Place, error: Exception) -> DiskFault:
    """The server does not answer, or the connection to it is lost."""
    message = f"{path}: the server is away ({_first_line(error)})"
    return DiskFault(message, way_out="nothing half done was kept; try again when it is back")


def open_database(path: Place) -> psycopg.Connection[Any]:
    """A connection with the settings that every connection of a crib must have.

    Raises:
        DiskFault: when the server does not let in, or does not answer.
        CribDamaged: when the server is too old, or its texts are no UTF-8.
    """
    assert isinstance(path, ServerPlace)
    try:
        connection = psycopg.connect(
            path.url,
            autocommit=True,
            connect_timeout=_CONNECT_SECONDS,
            application_name="crib",
            row_factory=cast(Any, _named_rows),
            options=f"-c lock_timeout={_LOCK_WAIT} -c jit=off",
        )
    except psycopg.Error as error:
        raise away(path, error) from error
    connection.adapters.register_loader("numeric", _Number)
    if connection.info.server_version < LEAST_VERSION:
        connection.close()
        message = f"{path}: the server is of version {connection.info.server_version // 10_000}"
        raise CribDamaged(message, way_out=f"it needs {LEAST_VERSION // 10_000} or newer")
    return connection


def _require_a_crib(connection: psycopg.Connection[Any], path: Place) -> None:
    found = connection.execute("SELECT to_regclass('alembic_version') IS NOT NULL").fetchone()
    if found is not None and found[0]:
        return
    tables = connection.execute(
        "SELECT count(*) FROM information_schema.tables WHERE table_schema = current_schema()"
    ).fetchone()
    if tables is not None and tables[0]:
        raise not_a_crib(path)
    message = f"there is no crib at {path}"
    raise NoCrib(message, way_out=saying("make one: ", act("new")))


def _first_line(error: Exception) -> str:
    return str(error).strip().splitlines()[0] if str(error).strip() else type(error).__name__


def tables_of(connection: psycopg.Connection[Any]) -> Iterator[str]:
    """The tables that stand in the database's own schema."""
    for row in connection.execute(
        "SELECT table_name FROM information_schema.tables"
        " WHERE table_schema = current_schema() ORDER BY 1"
    ):
        yield str(row[0])
