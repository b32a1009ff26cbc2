"""The crib in a database of a PostgreSQL server, by the driver psycopg.

One lock for each database lets writers in one after another, as a crib's file does; a writer begins
after it has the lock, so that it sees whatever was committed before. Readers wait for nobody.
A commit waits for the server's disk.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, cast

import psycopg
from psycopg import errors
from psycopg.conninfo import conninfo_to_dict

from crib.acts import act, saying
from crib.errors import (
    CribDamaged,
    CribError,
    CribFault,
    DiskFault,
    DiskFull,
    NoCrib,
    NoRight,
    ServerAway,
)
from crib.stock.engine.connection_postgres import PostgresConnection, WholeNumbers, named_rows
from crib.stock.engine.engine import (
    REVISION,
    WAIT_SECONDS,
    BrokenRule,
    Connection,
    Hint,
    Question,
    Values,
    not_a_crib,
)
from crib.stock.engine.inspection_postgres import INSPECTION
from crib.stock.engine.place import Place, ServerPlace

LEAST_VERSION = 140_000
WRITERS_LOCK = 0x63726962
"""The number of the lock that writers of one database take by turns ("crib")."""

_CONNECT_SECONDS = 10
_LOCK_WAIT = f"{WAIT_SECONDS:.0f}s"
_NOT_DURABLE = ("off", "local")
_LONGEST_SAID = 300
_NO_DATABASE = re.compile('database ".*" does not exist')
_NO_TRUST = re.compile("certificate|SSL|TLS")
_NO_ENTRY = re.compile('authentication|no password|pg_hba|role ".*" does not exist|not permitted')
_SORTS: dict[type[Exception], str] = {
    errors.CheckViolation: "CHECK",
    errors.UniqueViolation: "UNIQUE",
    errors.NotNullViolation: "NOT NULL",
    errors.ForeignKeyViolation: "FOREIGN KEY",
}


def _own(connection: Connection) -> PostgresConnection:
    return cast(PostgresConnection, connection)


class PostgresEngine:
    """The duties of an engine, done by a server."""

    error = psycopg.Error
    hint = Hint(lateral=True)
    is_far = True
    inspection = INSPECTION

    def connect(self, path: Place) -> PostgresConnection:
        """Open a crib's database."""
        connection = open_database(path)
        made = PostgresConnection(connection)
        try:
            _settle_in(made)
        except errors.UndefinedTable:
            connection.close()
            raise _no_crib(path) from None
        except psycopg.Error as error:
            connection.close()
            raise self.disk_fault(error, path) or not_a_crib(path) from error
        return made

    def connect_to_read(self, path: Place) -> PostgresConnection | None:
        """Open a crib's database to look at it."""
        try:
            connection = open_database(path)
            connection.execute("SET default_transaction_read_only = on")
        except (psycopg.Error, DiskFault, NoCrib):
            return None
        return PostgresConnection(connection)

    def begin_writing(self, connection: Connection) -> None:
        """Begin, and wait for the writers' lock, before the first statement; both end together."""
        _own(connection).keep_back("BEGIN ISOLATION LEVEL READ COMMITTED")
        _own(connection).keep_back(f"SELECT pg_advisory_xact_lock({WRITERS_LOCK})")

    def begin_moment(self, connection: Connection) -> None:
        """Begin a transaction that sees one state of the database."""
        _own(connection).keep_back("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")

    def stream(self, connection: Connection, sql: str, values: Values) -> Iterable[Any]:
        """A cursor on the server, so that no more than some rows are here at once."""
        return _own(connection).stream(sql, values)

    def send(self, connection: Connection, sql: str, values: Values) -> None:
        """Keep it back, to go with the next statement that has an answer."""
        _own(connection).keep_back(sql, (values,))

    def send_many(self, connection: Connection, sql: str, rows: Iterable[Values]) -> None:
        """Keep it back, unless there are many rows."""
        _own(connection).keep_back(sql, rows)

    def settle(self, connection: Connection) -> None:
        """Have what was kept back done."""
        _own(connection).settle()

    def foresee(self, connection: Connection, questions: Sequence[Question]) -> None:
        """Ask these in one trip, as soon as any is asked."""
        _own(connection).foresee(questions)

    def forget(self, connection: Connection, questions: Sequence[Question]) -> None:
        """Ask these alone, each when its answer is wanted."""
        _own(connection).forget(questions)

    def is_lost(self, connection: Connection) -> bool:
        """Whether the connection is closed or broken."""
        return _own(connection).is_lost

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


def away(path: Place, error: Exception) -> ServerAway:
    """The server does not answer, or the connection to it is lost."""
    message = f"{path}: the server is away ({_told(path, error)})"
    return ServerAway(message, way_out="nothing half done was kept; try again when it is back")


def not_connected(path: Place, error: Exception) -> CribFault:
    """Why there is no connection: no such database, no trust, no right, or no server."""
    said = _told(path, error)
    if _NO_DATABASE.search(said):
        way_out = "have the database made, empty, by whoever looks after the server"
        return NoCrib(f"{path}: {said}", way_out=way_out)
    if _NO_TRUST.search(said):
        way_out = (
            "look at sslmode and sslrootcert in the address, and whether the server's certificate"
            " is for the name that the address has"
        )
        return DiskFault(f"{path}: no safe connection ({said})", way_out=way_out)
    if _NO_ENTRY.search(said):
        way_out = "look at the user's name and the password file (~/.pgpass), or at PGPASSWORD"
        return NoRight(f"{path}: the server does not let in ({said})", way_out=way_out)
    if isinstance(error, psycopg.ProgrammingError):
        return DiskFault(f"{path}: {said}", way_out="put the options of the address right")
    return away(path, error)


def open_database(path: Place) -> psycopg.Connection[Any]:
    """A connection with the settings that every connection of a crib must have.

    The options of the address, such as those of TLS, go to the driver as they are.

    Raises:
        DiskFault: when the server does not let in, cannot be trusted, or does not answer.
        NoCrib: when there is no such database.
        CribDamaged: when the server is too old, or its texts are no UTF-8.
    """
    assert isinstance(path, ServerPlace)
    try:
        said: dict[str, Any] = conninfo_to_dict(path.url)
        ours = f"-c lock_timeout={_LOCK_WAIT} -c jit=off {said.pop('options', '')}"
        settings: dict[str, Any] = {
            "connect_timeout": _CONNECT_SECONDS,
            "application_name": "crib",
            **said,
        }
        connection = psycopg.connect(
            **settings, options=ours, autocommit=True, row_factory=cast(Any, named_rows)
        )
    except psycopg.Error as error:
        # The driver's own error may hold the address with its password: it goes no further.
        raise not_connected(path, error) from None
    connection.adapters.register_loader("numeric", WholeNumbers)
    if connection.info.server_version < LEAST_VERSION:
        connection.close()
        message = f"{path}: the server is of version {connection.info.server_version // 10_000}"
        raise CribDamaged(message, way_out=f"it needs {LEAST_VERSION // 10_000} or newer")
    return connection


def _settle_in(connection: PostgresConnection) -> None:
    """Have commits wait for the disk, whatever the server's default is; ask its revision ahead."""
    connection.foresee([REVISION])
    kept = connection.execute("SELECT current_setting('synchronous_commit')").fetchone()[0]
    if kept in _NOT_DURABLE:
        connection.execute("SET synchronous_commit = on")


def _no_crib(path: Place) -> CribError:
    """What to say of a database that has no revision: it is empty, or somebody else's."""
    with open_database(path) as connection:
        if next(tables_of(connection), None) is not None:
            return not_a_crib(path)
    message = f"there is no crib at {path}"
    return NoCrib(message, way_out=saying("make one: ", act("new")))


def _first_line(error: Exception) -> str:
    return str(error).strip().splitlines()[0] if str(error).strip() else type(error).__name__


def _told(path: Place, error: Exception) -> str:
    """What the driver says, on one line and without a password of the address."""
    said = path.without_secrets(str(error)) if isinstance(path, ServerPlace) else str(error)
    shown = " ".join(said.split()) or type(error).__name__
    return shown if len(shown) <= _LONGEST_SAID else f"{shown[:_LONGEST_SAID]} ..."


def tables_of(connection: psycopg.Connection[Any]) -> Iterator[str]:
    """The tables that stand in the database's own schema."""
    for row in connection.execute(
        "SELECT table_name FROM information_schema.tables"
        " WHERE table_schema = current_schema() ORDER BY 1"
    ):
        yield str(row[0])
