"""Alembic's way in: run the revisions on one crib, a file or a server's, in one transaction.

In a file, batch mode rebuilds a table, and with foreign keys on that would delete or null the
children. So they are switched off before the transaction, and checked after it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from alembic import context
from sqlalchemy import URL, Connection, create_engine, event
from sqlalchemy.pool import NullPool
from sqlmodel import SQLModel

from crib.errors import CribDamaged
from crib.stock.engine.place import ServerPlace
from crib.stock.tables import all_tables

assert all_tables.PieceRecord is not None  # the import is what fills SQLModel.metadata


def run() -> None:
    """Upgrade or downgrade the crib named in the settings."""
    place = context.config.attributes["crib_place"]
    if isinstance(place, ServerPlace):
        run_on_server(place)
        return
    with connected(place) as connection:
        configure(connection)
        with context.begin_transaction():
            context.run_migrations()
            orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            if orphans:
                message = f"the upgrade would leave {len(orphans)} rows without their owner"
                raise CribDamaged(message, way_out="nothing was changed; the copy stands beside it")


@contextmanager
def connected(path: Path) -> Iterator[Connection]:
    """A connection to a crib's file that begins by taking the write lock."""
    # Put together by its parts: as one text a ? or a % in the path would mean something else.
    address = URL.create("sqlite", database=str(path.absolute()))
    engine = create_engine(address, poolclass=NullPool)

    @event.listens_for(engine, "connect")
    def _take_over(connection: sqlite3.Connection, _record: object) -> None:
        connection.isolation_level = None
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("PRAGMA synchronous = FULL")

    @event.listens_for(engine, "begin")
    def _begin(connection: object) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")  # type: ignore[attr-defined]

    with engine.connect() as connection:
        yield connection
    engine.dispose()


def run_on_server(place: ServerPlace) -> None:
    """The same on a server, whose own foreign keys hold all the while."""
    from crib.stock.engine import alembic_postgres
    from crib.stock.engine.tables_postgres import one_transaction

    assert alembic_postgres.ServerRevisions is not None  # the import is what puts it in use
    with one_transaction(place) as connection:
        configure(connection)
        with context.begin_transaction():
            context.run_migrations()


def configure(connection: Connection) -> None:
    """All revisions go in one transaction."""
    context.configure(
        connection=connection,
        target_metadata=SQLModel.metadata,
        render_as_batch=True,
        transaction_per_migration=False,
        transactional_ddl=True,
    )


run()
