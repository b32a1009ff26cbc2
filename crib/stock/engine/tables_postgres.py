"""The crib's tables on a server: the declared ones, with the types that hold what a file holds.

A server's crib begins at the newest revision; later revisions bring it on as they do a file.
Whole numbers are of 64 bits and texts are sorted by their code points, as in a file.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import psycopg
import sqlalchemy as sa
from psycopg.rows import tuple_row
from sqlmodel import SQLModel

from crib.acts import act, saying
from crib.errors import CribBusy, Refused
from crib.stock.engine.engine_postgres import (
    WRITERS_LOCK,
    PostgresEngine,
    open_database,
    tables_of,
)
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.revision import HEAD_REVISION
from crib.stock.tables import all_tables

assert all_tables.PieceRecord is not None  # the import is what fills SQLModel.metadata


def server_tables() -> sa.MetaData:
    """The declared tables with a server's types."""
    made = sa.MetaData()
    for table in SQLModel.metadata.sorted_tables:
        fit_for_server(table.to_metadata(made))
    return made


def fit_for_server(table: sa.Table) -> None:
    """Give the columns of a table a server's types."""
    for column in table.columns:
        fit_column(column)


def fit_column(column: sa.Column[Any]) -> None:
    """Give a column the type on a server that holds what it holds in a file."""
    column.type = _server_type(column.type)
    if isinstance(column.type, sa.Boolean) and column.server_default is not None:
        column.server_default = sa.DefaultClause(_truth(column.server_default))


def _server_type(declared: Any) -> Any:
    if isinstance(declared, sa.Boolean):
        return sa.Boolean()
    if isinstance(declared, sa.Integer):
        return sa.BigInteger()
    if isinstance(declared, sa.Float):
        return sa.Double()
    if isinstance(declared, sa.LargeBinary):
        return declared
    return sa.Text(collation="C")


def _truth(default: Any) -> sa.TextClause:
    said = str(getattr(default.arg, "text", default.arg)).strip("'()").lower()
    return sa.text("true" if said in ("1", "true") else "false")


@contextmanager
def one_transaction(place: ServerPlace) -> Iterator[sa.Connection]:
    """What is done in it is there afterwards, or nothing of it; no writer is let in meanwhile.

    Raises:
        CribBusy: when somebody else holds the crib.
        DiskFault: when the server is away or gives no right.
    """
    driver = open_database(place)
    driver.row_factory = tuple_row
    driver.autocommit = False
    engine = sa.create_engine(
        "postgresql+psycopg://", creator=lambda: driver, poolclass=sa.NullPool
    )
    try:
        with engine.begin() as connection:
            connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({WRITERS_LOCK})")
            yield connection
    except (sa.exc.DBAPIError, psycopg.Error) as error:
        raise _translated(place, getattr(error, "orig", None) or error) from error
    finally:
        driver.close()


def _translated(place: ServerPlace, error: BaseException) -> BaseException:
    engine = PostgresEngine()
    if not isinstance(error, psycopg.Error):
        return error
    if engine.is_locked(error):
        message = f"{place}: somebody else holds the crib"
        return CribBusy(message, way_out="try again; nothing was changed")
    return engine.disk_fault(error, place) or error


def driver_of(connection: sa.Connection) -> psycopg.Connection[Any]:
    """The driver's connection under one of SQLAlchemy's."""
    found = connection.connection.driver_connection
    assert isinstance(found, psycopg.Connection)
    return found


def create_server_tables(place: ServerPlace) -> None:
    """Make every table in an empty database, all or nothing.

    Raises:
        Refused: when the database holds tables already.
        DiskFault: when the server is away or gives no right.
    """
    with one_transaction(place) as connection:
        require_empty(place, connection)
        tables = server_tables()
        make_bare_tables(connection, tables)
        end = tables.tables["ledger_end"]
        connection.execute(end.insert().values(id=1, entry_id=0, seal=""))
        tie_tables(connection, tables)


def require_empty(place: ServerPlace, connection: sa.Connection) -> None:
    """Nothing, where the database holds no table.

    Raises:
        Refused: where it does.
    """
    if next(tables_of(driver_of(connection)), None) is not None:
        message = f"{place} holds tables already"
        choose = saying("choose an empty database with ", act("say.crib"))
        raise Refused(message, way_out=saying(choose, "; nothing was changed"))


def make_bare_tables(connection: sa.Connection, tables: sa.MetaData) -> None:
    """Make the tables without what slows a copy down, at the newest revision."""
    for table in tables.sorted_tables:
        connection.execute(sa.schema.CreateTable(table, include_foreign_key_constraints=[]))
    revision = sa.Table(
        "alembic_version",
        sa.MetaData(),
        sa.Column("version_num", sa.String(32), primary_key=True),
    )
    revision.create(connection)
    connection.execute(revision.insert().values(version_num=HEAD_REVISION))


def tie_tables(connection: sa.Connection, tables: sa.MetaData) -> None:
    """Add the foreign keys and indexes, and let each counter go on behind the rows that are there.

    A row without its owner is refused here, as everywhere.
    """
    for table in tables.sorted_tables:
        keys = (one for one in table.constraints if isinstance(one, sa.ForeignKeyConstraint))
        for key in sorted(keys, key=lambda one: [*one.column_keys]):
            connection.execute(sa.schema.AddConstraint(key))
        for index in sorted(table.indexes, key=lambda one: str(one.name)):
            connection.execute(sa.schema.CreateIndex(index))
    set_counters(driver_of(connection), [table.name for table in tables.sorted_tables])


def set_counters(driver: psycopg.Connection[Any], tables: list[str]) -> None:
    """Let the numbers that the server gives go on behind those of the rows."""
    for table in tables:
        found = driver.execute(
            "SELECT pg_get_serial_sequence(table_name, column_name) FROM information_schema.columns"
            " WHERE table_schema = current_schema() AND table_name = %s AND column_name = 'id'",
            (table,),
        ).fetchone()
        if found is not None and found[0]:
            counter = f"'{found[0]}'"
            driver.execute(
                f"SELECT setval({counter}, coalesce(max(id), 1), max(id) IS NOT NULL)"
                f" FROM {table}".encode()
            )
