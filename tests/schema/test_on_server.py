"""A server's crib has the tables that a file has, whether made at once or brought up to date."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from alembic import command

from crib.errors import NewerCrib, NoRight
from crib.stock.engine.engine_postgres import open_database
from crib.stock.engine.folders import beside
from crib.stock.engine.migrate import alembic_config, create_tables
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.tables_postgres import (
    create_server_tables,
    driver_of,
    fit_for_server,
    one_transaction,
    set_counters,
)
from crib.stock.tables.row_check import columns_of, declared_tables
from tests.house import ROOT
from tests.schema.cribs import filled, holdings
from tests.stock.engine.server import TestServer

VERSION = "alembic_version"


def on_server_as(place: ServerPlace, path: Path) -> None:
    """Make the tables of a file, as they are in it, on a server, with the rows of it."""
    tables, engine = sa.MetaData(), sa.create_engine(f"sqlite:///{path}", poolclass=sa.NullPool)
    tables.reflect(engine)
    for table in tables.tables.values():
        fit_for_server(table)
        for column in table.columns:
            if re.fullmatch("deferred|keyed|open|estimate|spare|in_service|beside", column.name):
                assert isinstance(column.type, sa.Boolean), column
        for index in table.indexes:
            where = index.dialect_options["sqlite"].get("where")
            index.dialect_options["postgresql"]["where"] = where
    with engine.connect() as source, one_transaction(place) as target:
        tables.create_all(target)
        for table in tables.sorted_tables:
            rows = [row._asdict() for row in source.execute(table.select())]
            if rows:
                target.execute(table.insert(), rows)
        set_counters(driver_of(target), [*tables.tables])
    engine.dispose()


@contextmanager
def looked_at(place: ServerPlace | Path) -> Iterator[sa.Inspector]:
    """A catalogue, read by the same tool from either engine."""
    if isinstance(place, ServerPlace):
        with one_transaction(place) as connection:
            yield sa.inspect(connection)
        return
    engine = sa.create_engine(f"sqlite:///{place}", poolclass=sa.NullPool)
    yield sa.inspect(engine)
    engine.dispose()


def as_made(place: ServerPlace) -> dict[str, list[str]]:
    """How the server itself says that each table is made, in no order."""
    connection = open_database(place)
    made: dict[str, list[str]] = {}
    for sql in (
        "SELECT table_name, concat_ws(' ', column_name, data_type, collation_name, is_nullable,"
        " column_default) FROM information_schema.columns WHERE table_schema = current_schema()",
        "SELECT conrelid::regclass::text, conname || ' ' || pg_get_constraintdef(oid)"
        " FROM pg_constraint WHERE connamespace = current_schema()::regnamespace"
        " AND conrelid <> 0",
        "SELECT tablename, indexdef FROM pg_indexes WHERE schemaname = current_schema()",
    ):
        for table, text in connection.execute(sql.encode()):
            made.setdefault(table, []).append(text)
    connection.close()
    return {table: sorted(texts) for table, texts in made.items() if table != VERSION}


def catalogue(place: ServerPlace | Path) -> dict[str, Any]:
    """What both engines have words for: columns, nulls, keys, checks, indexes."""
    with looked_at(place) as inspector:
        return {
            table: {
                "columns": {
                    one["name"]: (_sort(one["type"]), one["nullable"])
                    for one in inspector.get_columns(table)
                },
                "key": inspector.get_pk_constraint(table)["constrained_columns"],
                "owners": sorted(
                    (*one["constrained_columns"], one["referred_table"], *one["referred_columns"])
                    for one in inspector.get_foreign_keys(table)
                ),
                "alone": sorted(
                    tuple(one["column_names"]) for one in inspector.get_unique_constraints(table)
                ),
                "checks": sorted(
                    str(one["name"]) for one in inspector.get_check_constraints(table)
                ),
                "indexes": sorted(
                    (one["name"], tuple(one["column_names"]), bool(one["unique"]), _is_partial(one))
                    for one in inspector.get_indexes(table)
                    if not one.get("duplicates_constraint")
                ),
            }
            for table in inspector.get_table_names()
            if table != VERSION
        }


def _sort(column_type: Any) -> str:
    sorts = (sa.Boolean, sa.Integer, sa.Float, sa.LargeBinary, sa.String)
    return next(sort.__name__ for sort in sorts if isinstance(column_type, sort))


def _is_partial(index: Any) -> bool:
    return any(key.endswith("_where") for key in index.get("dialect_options", {}))


@pytest.fixture(scope="module")
def declared(server: TestServer) -> ServerPlace:
    """A crib on the server as a new one is made."""
    place = server.new_database()
    create_server_tables(place)
    return place


def test_both_engines_have_the_same_tables(declared: ServerPlace, tmp_path: Path) -> None:
    create_tables(tmp_path / "head.crib")
    in_file, on_server = catalogue(tmp_path / "head.crib"), catalogue(declared)
    assert in_file.keys() == on_server.keys() == set(declared_tables())
    for table, parts in in_file.items():
        for part, said in parts.items():
            assert on_server[table][part] == said, (table, part)
        assert parts["columns"].keys() == columns_of(table).keys()


def test_an_older_crib_comes_up_to_date_with_its_rows(
    server: TestServer, declared: ServerPlace, tmp_path: Path
) -> None:
    """From 0005, the first revision of cribs on a server, to the newest."""
    path, place = filled(tmp_path / "old.crib", "0005"), server.new_database()
    on_server_as(place, path)
    before = holdings(path)
    open_crib(place).close()
    assert holdings(beside(place).with_name(f"{place.file_name}.before-0005-upgrade")) == before
    command.upgrade(alembic_config(path), "head")
    assert as_made(place) == as_made(declared)
    in_file = holdings(path)
    with one_transaction(place) as connection:
        for table, rows in in_file.items():
            columns = ", ".join(rows[0]) if rows else "*"
            found = connection.exec_driver_sql(f"SELECT {columns} FROM {table} ORDER BY 1, 2")
            assert [row._asdict() for row in found] == rows, table


def test_who_does_not_own_the_tables_is_told_who_brings_them_up_to_date(
    server: TestServer, tmp_path: Path
) -> None:
    place = server.new_database()
    on_server_as(place, filled(tmp_path / "old.crib", "0005"))
    server.run(
        "CREATE ROLE reader LOGIN; GRANT SELECT ON ALL TABLES IN SCHEMA public TO reader",
        place.name,
    )
    reader = ServerPlace(place.url.replace("owner@", "reader@"))
    with pytest.raises(NoRight, match="has tables of revision 0005, older than this program"):
        open_crib(reader)
    server.run("UPDATE alembic_version SET version_num = '0999'", place.name)
    with pytest.raises(NewerCrib):
        open_crib(place)


def test_revisions_of_cribs_on_servers_rebuild_no_table() -> None:
    """A server cannot drop a table that others refer to; batch mode rebuilds where a file must."""
    for path in sorted((ROOT / "schema" / "versions").glob("*.py")):
        if path.name >= "0006":
            assert 'recreate="always"' not in path.read_text("utf-8"), path.name
