"""The session: nested writing, rollback, waiting for another writer, finding the crib."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from crib.acts import acts_in
from crib.errors import BadInput, CribBusy, CribDamaged, NoCrib
from crib.stock.engine import session as session_module
from crib.stock.engine.engine import RuleBroken
from crib.stock.engine.engine_sqlite import APPLICATION_ID, settled_connection
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import crib_path
from crib.stock.engine.session import Session
from tests.shop import new_crib


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = new_crib(tmp_path / "shop.crib")
    yield session
    session.close()


def people(session: Session) -> list[str]:
    return [row["name"] for row in session.rows("SELECT name FROM person ORDER BY id")]


def add(session: Session, name: str) -> int:
    return session.insert("person", {"name": name, "role": ""})


class Slip(Exception):
    """Something goes wrong in the middle of a write."""


def fail_after(session: Session, name: str, nested: str = "") -> None:
    """Write a name, and perhaps one in a nested block that succeeds, then fail."""
    with session.writing():
        add(session, name)
        if nested:
            with session.writing():
                add(session, nested)
        message = "slipped"
        raise Slip(message)


def test_what_is_written_inside_the_block_is_kept(shop: Session) -> None:
    with shop.writing():
        assert add(shop, "nights") == 2
        assert shop.run_counted("UPDATE person SET role = 'lead' WHERE id = 2") == 1
        shop.run_many("INSERT INTO person (name, role) VALUES (?, '')", [("a",), ("b",)])
    other = open_crib(shop.path)
    assert people(other) == ["window", "nights", "a", "b"]
    other.close()


def test_an_error_takes_everything_back(shop: Session) -> None:
    with pytest.raises(Slip, match="slipped"):
        fail_after(shop, "nights")
    assert people(shop) == ["window"]
    assert not shop.connection.in_transaction


def test_a_nested_block_belongs_to_the_outer_one(shop: Session) -> None:
    with shop.writing():
        add(shop, "outer")
        with shop.writing():
            add(shop, "inner")
        other = open_crib(shop.path)
        assert people(other) == ["window"]
        other.close()
    assert people(shop) == ["window", "outer", "inner"]


def test_an_error_after_a_nested_block_takes_both_back(shop: Session) -> None:
    with pytest.raises(Slip, match="slipped"):
        fail_after(shop, "outer", "inner")
    assert people(shop) == ["window"]


def test_an_error_inside_a_nested_block_takes_both_back(shop: Session) -> None:
    with pytest.raises(Slip, match="slipped"), shop.writing():
        fail_after(shop, "inner")
    assert people(shop) == ["window"]
    with shop.writing():
        add(shop, "later")
    assert people(shop) == ["window", "later"]


def test_a_nested_block_that_fails_leaves_nothing_when_the_outer_one_goes_on(shop: Session) -> None:
    with shop.writing():
        add(shop, "outer")
        for name in ("inner", "inner again"):
            with suppress(Slip):
                fail_after(shop, name, f"{name}, deeper")
        add(shop, "outer still")
    assert people(shop) == ["window", "outer", "outer still"]


@pytest.mark.parametrize("call", ["run", "run_many", "insert"])
def test_a_write_outside_the_block_is_a_fault_of_the_program(shop: Session, call: str) -> None:
    calls: dict[str, Callable[[], object]] = {
        "run": lambda: shop.run("DELETE FROM person"),
        "run_many": lambda: shop.run_many("DELETE FROM person WHERE id = ?", [(1,)]),
        "insert": lambda: add(shop, "x"),
    }
    with pytest.raises(RuntimeError, match="a write outside"):
        calls[call]()
    assert people(shop) == ["window"]


def test_every_connection_keeps_keys_and_waits_for_the_disk(shop: Session) -> None:
    assert shop.value("PRAGMA foreign_keys") == 1
    assert shop.value("PRAGMA synchronous") == 2
    assert shop.value("PRAGMA journal_mode") == "wal"
    with pytest.raises(RuleBroken, match="FOREIGN KEY"), shop.writing():
        shop.run("INSERT INTO station_seat (station_id, seat_id) VALUES (9, 9)")


def test_a_value_or_row_that_is_not_there_is_none(shop: Session) -> None:
    assert shop.row("SELECT * FROM person WHERE id = 9") is None
    assert shop.value("SELECT name FROM person WHERE id = 9") is None
    assert shop.value("SELECT name FROM person WHERE id = :id", {"id": 1}) == "window"


def test_a_writer_waits_its_turn(shop: Session) -> None:
    holding = threading.Event()

    def hold_a_moment() -> None:
        other = settled_connection(shop.path)
        other.execute("BEGIN IMMEDIATE")
        holding.set()
        time.sleep(0.2)
        other.execute("COMMIT")
        other.close()

    thread = threading.Thread(target=hold_a_moment)
    thread.start()
    holding.wait()
    with shop.writing():
        add(shop, "nights")
    thread.join()
    assert people(shop) == ["window", "nights"]


def test_two_writers_at_once_lose_nothing(shop: Session) -> None:
    def write_ten(number: int) -> None:
        session = open_crib(shop.path)
        for line in range(10):
            with session.writing():
                add(session, f"{number}-{line}")
        session.close()

    threads = [threading.Thread(target=write_ten, args=(number,)) for number in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(people(shop)) == 31


def test_a_writer_that_never_finishes_is_given_up_and_nothing_is_written(
    shop: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(session_module, "WAIT_SECONDS", 0.05)
    shop.connection.execute("PRAGMA busy_timeout = 0")
    other = settled_connection(shop.path)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(CribBusy, match="another writer held the crib"), shop.writing():
        add(shop, "nights")
    other.execute("ROLLBACK")
    other.close()
    assert people(shop) == ["window"]


@pytest.mark.parametrize(
    ("place", "path"),
    [("shop.crib", "shop.crib"), ("sqlite:///shop.crib", "shop.crib"), ("sqlite:////a/b", "/a/b")],
)
def test_a_crib_is_named_by_a_path_or_a_url(place: str, path: str) -> None:
    assert crib_path(place) == Path(path)


def test_another_kind_of_url_is_refused() -> None:
    with pytest.raises(BadInput, match="is not a file, nor a sqlite"):
        crib_path("mysql://shop")
    with pytest.raises(BadInput, match="a server's crib, and this wants a file"):
        crib_path("postgresql://shop")


def test_a_crib_that_is_not_there_says_how_to_make_one(tmp_path: Path) -> None:
    with pytest.raises(NoCrib, match="there is no crib at") as caught:
        open_crib(tmp_path / "none.crib")
    assert [one.name for one in acts_in(caught.value.way_out)] == ["new", "demo", "say.crib"]
    assert not (tmp_path / "none.crib").exists()


def test_a_file_that_is_not_a_crib_is_refused_and_left_alone(tmp_path: Path) -> None:
    text = tmp_path / "letter.txt"
    text.write_text("dear sir " * 200)
    with pytest.raises(CribDamaged, match="is not a crib, or it is damaged"):
        open_crib(text)
    assert text.read_text() == "dear sir " * 200


@pytest.mark.parametrize("identity", [0, APPLICATION_ID])
def test_another_database_is_refused(tmp_path: Path, identity: int) -> None:
    path = tmp_path / "other.db"
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA application_id = {identity}")
    connection.execute("CREATE TABLE alembic_version (version_num TEXT)")
    connection.commit()
    connection.close()
    with pytest.raises(CribDamaged, match="is not a crib"):
        open_crib(path)
