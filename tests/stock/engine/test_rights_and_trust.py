"""Least rights on a server as the README gives them, passwords, and TLS that is really checked."""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import cast

import psycopg
import pytest

from crib.desk.book.new_crib import new_crib
from crib.desk.book.rehouse import rehouse
from crib.errors import CribError, DiskFault, NoCrib, NoRight
from crib.page.guard.certificate import tls_files
from crib.stock.engine.engine import StoreError
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from tests.cli.asking import Window
from tests.demo_crib import demo_crib
from tests.house import ROOT
from tests.stock.engine.server import TestServer

DAY = (
    "find hole 20 mm thru 3/8",
    "log P-0137 40 thru 3/8 A36 with D-0202",
    "log P-0140 5 --key once",
    "grind P-0138 --off 0.010in",
    "broke P-0140 chipped",
    "move P-0141 --to L6",
    "kit lend P-0141 --to nights",
    "plan --job J-2680 --keep",
    "kit hold J-2680",
    "kit out J-2680 --to nights",
    "kit back J-2680",
    "order --all --budget 300",
    "add P-0999 --role punch --size 1/3 --seat A --shape round --place L6",
    "measure P-0137 --size 0.811 --why small",
    "retire P-0999 --why worn",
    "wants strike 1 --why slip",
    "person bench-9",
    "undo --last --why slip --yes",
    "sheet strokes.pdf",
    "buy",
    "history",
    "backup copy.crib",
)
PAST_THE_PROGRAM = (
    "UPDATE entry SET note = 'x'",
    "DELETE FROM entry",
    "TRUNCATE piece",
    "DROP TABLE piece",
    "CREATE TABLE theirs (id integer)",
    "UPDATE alembic_version SET version_num = '0001'",
)


def as_role(place: ServerPlace, role: str) -> ServerPlace:
    return ServerPlace(place.url.replace("owner@", f"{role}@"))


def statements(number: int) -> list[str]:
    """The statements of one of the README's blocks of SQL."""
    blocks = re.findall(r"```sql\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL)
    # What begins with a backslash is psql's own.
    block = re.sub(r"(?m)^\\.*", "", blocks[number])
    return [one.strip() for one in block.split(";") if one.strip()]


@pytest.fixture
def place(server: TestServer, tmp_path: Path) -> ServerPlace:
    """The demo crib in a database that was set up as the README says, owned by one role."""
    first = statements(0)
    in_all = [one for one in first if "DATABASE" in one or "ROLE crib_" in one[:20]]
    for sql in in_all:
        server.run(sql)
    for sql in (one for one in first if one not in in_all):
        server.run(sql, "shop")
    place = server.place("shop")
    demo_crib(tmp_path / "demo.crib").close()
    rehouse(tmp_path / "demo.crib", as_role(place, "crib_owner"))
    for sql in statements(1):
        server.run(sql, "shop")
    return place


def test_a_day_goes_by_with_least_rights(
    place: ServerPlace,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    worker = as_role(place, "crib_work")
    window = Window(cast(Path, worker), capsys)
    for line in DAY:
        said = window.ask(*line.split())
        assert said.status in (0, 3), (line, said.err)
    with psycopg.connect(worker.url, autocommit=True) as connection:
        for sql in PAST_THE_PROGRAM:
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                connection.execute(sql.encode())
    with pytest.raises(NoRight, match="only whoever owns the tables"):
        rehouse(worker, tmp_path / "mine.crib")
    restored = window.ask("restore", "copy.crib", "--yes")
    assert (restored.status, "may only be read" in restored.err) == (1, True)
    assert window.ask("check").status in (0, 1)


@contextmanager
def set_so(server: TestServer, first_line: str = "", **settings: str) -> Iterator[None]:
    """Let a server run with other settings, and a line before those of who may connect how."""
    entries = server.folder / "data" / "pg_hba.conf"
    before = entries.read_text()
    entries.write_text(f"{first_line}\n{before}")
    for name, value in settings.items():
        server.run(f"ALTER SYSTEM SET {name} = '{value}'")
    _reload(server)
    try:
        yield
    finally:
        entries.write_text(before)
        server.run("ALTER SYSTEM RESET ALL")
        _reload(server)


def _reload(server: TestServer) -> None:
    server.run("SELECT pg_reload_conf()")
    # A moment until every part of the server has taken it up.
    time.sleep(0.3)


def test_who_is_not_let_in_is_told_why_and_no_password(server: TestServer) -> None:
    place = server.new_database()
    server.run("CREATE ROLE careful LOGIN PASSWORD 'Gurkensalat'")
    with set_so(server, "host all careful 127.0.0.1/32 scram-sha-256"):
        right = as_role(place, "careful:Gurkensalat")
        with pytest.raises(NoCrib, match="there is no crib at"):
            open_crib(right)
        for wrong in ("careful:Gurkensalad", "careful", "nobody:Gurkensalad"):
            with pytest.raises(NoRight, match="the server does not let in") as told:
                open_crib(as_role(place, wrong))
            assert "Gurkensala" not in f"{told.value.message} {told.value.__cause__}"
    with pytest.raises(NoCrib, match='database "nowhere" does not exist'):
        open_crib(server.place("nowhere"))


def test_tls_is_checked_to_the_name(server: TestServer, tmp_path: Path) -> None:
    place, data = server.new_database(), server.folder / "data"
    files = tls_files(tmp_path / "tls", {"localhost"})
    for source, name in ((files.certificate, "server.crt"), (files.key, "server.key")):
        shutil.copy(source, data / name)
        shutil.chown(data / name, (data / "pg_hba.conf").owner())
        (data / name).chmod(0o600)
    tls_files(tmp_path / "other", {"localhost"})
    whole = "sslmode=verify-full&sslrootcert="
    with set_so(server, "hostnossl all all all reject", ssl="on"):
        right = f"{place.url.replace('127.0.0.1', 'localhost')}?{whole}{files.authority}"
        with pytest.raises(NoCrib):
            open_crib(ServerPlace(right))
        for wrong, why in (
            (f"{place.url}?{whole}{files.authority}", "does not match host name"),
            (right.replace("/tls/", "/other/"), "certificate verify failed"),
            (right.replace("/tls/", "/nowhere/"), "does not exist"),
            (f"{place.url}?sslmode=disable", "does not let in"),
        ):
            with pytest.raises(CribError, match=why) as told:
                open_crib(ServerPlace(wrong))
            assert isinstance(told.value, DiskFault)
            assert "\n" not in told.value.message
            assert told.value.way_out


def test_a_fault_of_a_statement_does_not_hold_the_address(server: TestServer) -> None:
    place = server.new_database()
    secret = as_role(place, "owner:Gurkensalat")
    new_crib(secret)
    with closing(open_crib(secret)) as session, pytest.raises(StoreError) as told:
        session.rows("SELECT * FROM nothing_there")
    assert "Gurkensalat" not in repr(told.value) + repr(told.value.__cause__)
