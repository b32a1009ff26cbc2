"""The same test on both engines: what ``made_once`` builds lies in a file or on a server.

A file or test that is marked ``both_engines`` runs once for each. On the server a crib is built as
a file first, its rows are copied into a database, and every use of it is a copy of that.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa

from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.session import Session

if TYPE_CHECKING:
    from tests.stock.engine.server import TestServer


@dataclass
class OnServer:
    """The server that cribs are made on, and the databases that were made there."""

    server: TestServer
    made: list[ServerPlace] = field(default_factory=list)


_now: list[OnServer | None] = [None]
_templates: dict[tuple[int, str], ServerPlace] = {}


@contextmanager
def on_server(server: TestServer) -> Iterator[None]:
    """Have cribs made on a server until the block ends, and let them go then."""
    here = OnServer(server)
    _now.append(here)
    try:
        yield
    finally:
        _now.pop()
        for place in here.made:
            server.drop_database(place)


@contextmanager
def in_files() -> Iterator[None]:
    """Have cribs made in files until the block ends."""
    _now.append(None)
    try:
        yield
    finally:
        _now.pop()


def opened_copy(path: Path, whole: bytes) -> Session:
    """A crib like a file: a file at that path, or a database where cribs are made on a server."""
    here = _now[-1]
    if here is not None:
        place = server_copy(here.server, whole)
        here.made.append(place)
        return open_crib(place)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as file:
        file.write(whole)
    return open_crib(path)


def server_copy(server: TestServer, whole: bytes) -> ServerPlace:
    """A new database with all rows of a crib's file."""
    key = server.port, sha256(whole).hexdigest()
    if key not in _templates:
        _templates[key] = server.new_database()
        _fill(_templates[key], whole)
    return server.new_database(like=_templates[key])


def _fill(place: ServerPlace, whole: bytes) -> None:
    """Make a crib in an empty database, each row with the number that it has in the file."""
    import psycopg

    from crib.stock.engine.engine_sqlite import bare_file
    from crib.stock.engine.tables_postgres import create_server_tables, server_tables

    create_server_tables(place)
    with TemporaryDirectory() as folder, psycopg.connect(place.url) as target:
        path = Path(folder) / "crib"
        path.write_bytes(whole)
        # Nobody asks for each row whether its owner is there already.
        target.execute("SET session_replication_role = replica")
        with bare_file(path, read_only=True) as file:
            for table in server_tables().tables.values():
                _copy_table(file, target, table)


def _copy_table(file: Any, target: Any, table: sa.Table) -> None:
    truths = [isinstance(column.type, sa.Boolean) for column in table.columns]
    columns = ", ".join(column.name for column in table.columns)
    target.execute(f"DELETE FROM {table.name}")
    with target.cursor().copy(f"COPY {table.name} ({columns}) FROM STDIN") as copy:
        for row in file.execute(f"SELECT {columns} FROM {table.name}"):
            copy.write_row([_as_truth(*pair) for pair in zip(row, truths, strict=True)])
    if "id" in table.columns:
        target.execute(
            f"SELECT setval(pg_get_serial_sequence('{table.name}', 'id'),"
            f" (SELECT max(id) FROM {table.name}))"
        )


def _as_truth(value: Any, is_truth: bool) -> Any:
    return bool(value) if is_truth and value is not None else value
