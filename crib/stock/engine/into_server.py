"""A crib copied into a database on a server, in one transaction of the server."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import psycopg
import sqlalchemy as sa

from crib.errors import CribDamaged, Refused
from crib.stock.engine.engine_postgres import tables_of
from crib.stock.engine.inspection_postgres import INSPECTION
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.revision import HEAD_REVISION
from crib.stock.engine.tables_postgres import (
    driver_of,
    make_bare_tables,
    one_transaction,
    require_empty,
    server_tables,
    set_counters,
    tie_tables,
)
from crib.stock.engine.whole_copy import (
    VERSION_TABLE,
    CopySource,
    Proof,
    Summing,
    every_row,
    layout_of,
    proof_of,
    require_equal,
    rows_of,
)

_ROWS_AT_ONCE = 5_000


def copy_into_server(source: CopySource, place: ServerPlace) -> Proof:
    """Copy the crib behind a session into an empty database, and compare row by row.

    Raises:
        Refused: when the database holds tables already.
        CribDamaged: when the copy differs, or a value cannot stand on a server.
        DiskFault: when the server is away or gives no right. Nothing is left there in any case.
    """
    tables = server_tables()
    with one_transaction(place) as connection:
        require_empty(place, connection)
        make_bare_tables(connection, tables)
        proof = _filled(source, connection, tables)
        tie_tables(connection, tables)
        _count_rows(driver_of(connection), proof)
    return proof


def copy_over_server(source: CopySource, place: ServerPlace) -> Proof:
    """Put the crib behind a session in the place of the one in a database; whoever reads it waits.

    The tables stay as they are, with the rights that were given on them.

    Raises:
        Refused: when the database holds tables that are not a crib's of this program.
        CribBusy: when somebody goes on reading there.
        CribDamaged, DiskFault: as ``copy_into_server``; the old rows stay then.
    """
    tables = server_tables()
    names = [table.name for table in tables.sorted_tables]
    with one_transaction(place) as connection:
        driver = driver_of(connection)
        _require_same_tables(place, driver, {*names, VERSION_TABLE})
        # Held before anything is seen to be empty, so that nobody who reads sees half.
        driver.execute(f"LOCK TABLE {', '.join(names)} IN ACCESS EXCLUSIVE MODE".encode())
        driver.execute(f"TRUNCATE {', '.join(names)}".encode())
        proof = _filled(source, connection, tables)
        set_counters(driver, names)
        _count_rows(driver, names)
    return proof


def _count_rows(driver: psycopg.Connection[Any], tables: Iterable[str]) -> None:
    """Let the server learn what the tables hold, as it would by itself only minutes later."""
    driver.execute(f"ANALYZE {', '.join(tables)}".encode())


def _require_same_tables(
    place: ServerPlace, driver: psycopg.Connection[Any], names: set[str]
) -> None:
    sql = f"SELECT version_num FROM {VERSION_TABLE}".encode()
    is_whole = names <= set(tables_of(driver))
    if not is_whole or driver.execute(sql).fetchone() != (HEAD_REVISION,):
        message = f"{place} holds tables that are not a crib's of revision {HEAD_REVISION}"
        way_out = "have the database made anew, empty; nothing was changed"
        raise Refused(message, way_out=way_out)


def _filled(source: CopySource, connection: sa.Connection, tables: sa.MetaData) -> Proof:
    """Every row of one moment, compared with what the server then reads."""
    driver = driver_of(connection)
    with source.one_moment():
        layout = layout_of(source)
        proof = {
            table.name: _copied(source, driver, table.name, layout[table.name])
            for table in tables.sorted_tables
        }
        mark = source.engine.inspection.mark(source.rows)
    require_equal(proof, proof_of(lambda *said: _streamed(driver, every_row(*said)), layout))
    driver.execute(INSPECTION.marking(mark).encode())
    return proof


def _copied(
    source: CopySource, driver: psycopg.Connection[Any], table: str, columns: Sequence[str]
) -> Any:
    summing = Summing()
    sql = f"COPY {table} ({', '.join(columns)}) FROM STDIN"
    try:
        with driver.cursor() as cursor, cursor.copy(sql.encode()) as copy:
            for row in summing.through(rows_of(source, table, columns)):
                copy.write_row(row)
    except (psycopg.DataError, psycopg.IntegrityError) as error:
        message = f"a row of {table} cannot stand on a server: {str(error).splitlines()[0]}"
        raise CribDamaged(message, way_out="check the crib first; nothing was copied") from error
    return summing.sum()


def _streamed(driver: psycopg.Connection[Any], sql: str) -> Iterable[Sequence[Any]]:
    with driver.cursor(name="copied") as cursor:
        cursor.itersize = _ROWS_AT_ONCE
        yield from cursor.execute(sql.encode())
