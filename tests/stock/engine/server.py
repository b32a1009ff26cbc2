"""A PostgreSQL server of the tests' own, and databases in it.

It is started from the machine's own programs in a folder that goes away again, as a user that is
not root, and listens on this machine only. Without these programs the tests are skipped with a
word; where ``CRIB_SERVER`` is ``must``, as on the machine that proves a change, they fail instead.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import pytest

from crib.stock.engine.place import ServerPlace

_USER = "postgres"
_numbers = count(1)


@dataclass(frozen=True)
class TestServer:
    """A server that runs: its port, its folder, its programs."""

    __test__ = False

    port: int
    folder: Path
    programs: Path

    def place(self, database: str) -> ServerPlace:
        """A database of it."""
        return ServerPlace(f"postgresql://owner@127.0.0.1:{self.port}/{database}")

    def new_database(self, like: ServerPlace | None = None) -> ServerPlace:
        """An empty database, or a copy of one that nobody has open."""
        name = f"crib_{os.getpid()}_{next(_numbers)}"
        template = f" TEMPLATE {like.name}" if like else ""
        self.run(f"CREATE DATABASE {name}{template}")
        return self.place(name)

    def drop_database(self, place: ServerPlace) -> None:
        """Let a database go, whoever has it open."""
        self.run(f"DROP DATABASE {place.name} WITH (FORCE)")

    def run(self, sql: str, database: str = "postgres") -> None:
        """Run a statement as whoever owns everything."""
        import psycopg

        with psycopg.connect(self.place(database).url, autocommit=True) as connection:
            connection.execute(sql.encode())

    @contextmanager
    def asked(self, place: ServerPlace) -> Iterator[Callable[[str], list[tuple[object, ...]]]]:
        """What runs a query in a database, as whoever owns everything."""
        import psycopg

        with psycopg.connect(self.place(place.name).url, autocommit=True) as connection:
            yield lambda sql: connection.execute(sql.encode()).fetchall()

    def start(self, *options: str) -> None:
        """Start it, and wait until it answers."""
        own = f"-p {self.port} -k {self.folder} -c listen_addresses=127.0.0.1"
        words = " ".join((own, *options))
        self.control("-o", words, "-l", str(self.folder / "log"), "start")

    def stop(self) -> None:
        """Stop it hard: nobody is asked to finish, and it has to recover when it starts again."""
        self.control("-m", "immediate", "stop")

    def control(self, *words: str) -> None:
        """Stop it, start it, as its own program does."""
        _run([str(self.programs / "pg_ctl"), "-D", str(self.folder / "data"), "-w", *words])


def _run(words: Sequence[str]) -> None:
    """Run a server's program; as root they refuse to, so another user does it."""
    switch = ["runuser", "-u", _USER, "--"] if os.geteuid() == 0 else []
    subprocess.run([*switch, *words], check=True, capture_output=True, cwd="/")


def _programs() -> Path:
    found = shutil.which("pg_ctl")
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    for folder in (*folders, *([Path(found).parent] if found else [])):
        if (folder / "initdb").is_file():
            return folder
    text = "no PostgreSQL server: install Debian's package postgresql"
    if os.environ.get("CRIB_SERVER") == "must":
        pytest.fail(text)
    pytest.skip(text)


@contextmanager
def running_server(durable: bool = False) -> Iterator[TestServer]:
    """A new server with nothing in it, until the block ends; a durable one waits for the disk."""
    programs = _programs()
    folder = Path(tempfile.mkdtemp(prefix="crib-server-"))
    try:
        if os.geteuid() == 0:
            shutil.chown(folder, _USER)
        with socket.socket() as tried:
            tried.bind(("127.0.0.1", 0))
            port = int(tried.getsockname()[1])
        server = TestServer(port, folder, programs)
        made = [
            "-A",
            "trust",
            "-U",
            "owner",
            "--encoding",
            "UTF8",
            "--locale",
            "C.UTF-8",
            "--no-sync",
        ]
        _run([str(programs / "initdb"), "-D", str(folder / "data"), *made])
        # Tests stop the server and not the machine: what the system has is as good as on the disk.
        server.start(*(() if durable else ("-c", "fsync=off")))
        try:
            yield server
        finally:
            server.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)
