"""What travels together to a server is done in its order, and a refusal is told in its place."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress

import pytest

from crib.desk.book.new_crib import new_crib
from crib.errors import CribBusy, NoCrib
from crib.stock.engine import engine_postgres
from crib.stock.engine.connection_postgres import PostgresConnection
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.session import Session
from crib.stock.tables.row_check import RowRefused
from tests.stock.engine.server import TestServer

COUNT = "SELECT count(*) FROM person"
ROLES = "SELECT role FROM person ORDER BY id"


@pytest.fixture(scope="module")
def blank(server: TestServer) -> ServerPlace:
    made = server.new_database()
    new_crib(made)
    return made


@pytest.fixture
def session(server: TestServer, blank: ServerPlace) -> Iterator[Session]:
    opened = open_crib(server.new_database(like=blank))
    yield opened
    opened.close()


def rename(session: Session, role: str) -> None:
    session.run("UPDATE person SET role = ?", (role,))


def collide(session: Session) -> None:
    """A write that a rule of the table refuses: the window is there already."""
    session.run_many("INSERT INTO person (name, role) VALUES (?, '')", [("window",)])


def test_a_write_shows_in_the_next_question(session: Session) -> None:
    with session.writing():
        rename(session, "lead")
        assert session.value(ROLES) == "lead"
    assert session.value(ROLES) == "lead"


def test_a_write_without_a_question_behind_it_is_committed(session: Session) -> None:
    with session.writing():
        rename(session, "lead")
    other = open_crib(session.place)
    assert other.value(ROLES) == "lead"
    other.close()


def _collide_in_a_block(session: Session, asks: bool) -> None:
    with session.writing():
        rename(session, "lead")
        collide(session)
        if asks:
            session.value(COUNT)


@pytest.mark.parametrize("asks", [True, False])
def test_a_write_that_is_refused_takes_the_whole_block_back(session: Session, asks: bool) -> None:
    with pytest.raises(RowRefused):
        _collide_in_a_block(session, asks)
    assert (session.value(COUNT), session.value(ROLES)) == (1, "")
    with session.writing():
        rename(session, "after")
    assert session.value(ROLES) == "after"


def test_a_write_that_is_refused_in_an_inner_block_is_told_within_it(session: Session) -> None:
    with session.writing():
        rename(session, "outer")
        with suppress(RowRefused), session.writing():
            rename(session, "inner")
            collide(session)
        assert session.value(ROLES) == "outer"
    assert session.value(ROLES) == "outer"


def test_a_block_that_only_reads_or_does_nothing_ends_well(session: Session) -> None:
    with session.writing(), session.writing():
        pass
    with session.writing(), session.writing():
        assert session.value(COUNT) == 1
    with session.one_moment():
        pass
    assert isinstance(session.connection, PostgresConnection)
    assert not session.connection.in_transaction


def test_a_foreseen_answer_is_never_older_than_a_write(session: Session) -> None:
    with session.ahead(lambda: session.value(COUNT), lambda: session.value(ROLES)):
        assert session.value(COUNT) == 1
        with session.writing():
            rename(session, "lead")
        assert session.value(ROLES) == "lead"


def test_a_foreseen_answer_is_given_once_and_within_its_block(session: Session) -> None:
    other = open_crib(session.place)
    with session.ahead(lambda: session.value(COUNT), lambda: session.value(ROLES)):
        session.value(COUNT)
        with other.writing():
            rename(other, "lead")
        assert session.value(ROLES) == "", "it came with the first answer"
        assert session.value(ROLES) == "lead"
    with session.ahead(lambda: session.value(ROLES)):
        session.value(COUNT)
        with other.writing():
            rename(other, "left")
    assert session.value(ROLES) == "left"
    other.close()


def test_what_a_block_inside_foresees_comes_beside_the_rest(session: Session) -> None:
    def first_of_the_block() -> int:
        with session.ahead(lambda: session.value(ROLES)):
            return int(session.value(COUNT))

    other = open_crib(session.place)
    with session.ahead(lambda: session.value(ROLES)):
        with session.ahead(lambda: session.value(COUNT)):
            session.value("SELECT 1")
        with other.writing():
            rename(other, "lead")
        assert session.value(ROLES) == "", "the block inside left it alone"
    with session.ahead(first_of_the_block):
        session.value("SELECT 1")
        with other.writing():
            rename(other, "left")
        assert session.value(ROLES) == "lead", "all that the function says was asked"
    other.close()


def test_who_waits_too_long_for_the_other_writers_is_told_so(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine_postgres, "_LOCK_WAIT", "100ms")
    other = open_crib(session.place)
    with session.writing():
        rename(session, "first")
        assert session.value(COUNT) == 1
        with pytest.raises(CribBusy), other.writing():
            rename(other, "second")
    with other.writing():
        rename(other, "third")
    assert other.value(ROLES) == "third"
    other.close()


def test_a_commit_waits_for_the_disk_whatever_the_server_says(
    server: TestServer, session: Session
) -> None:
    asked = "SELECT current_setting('synchronous_commit')"
    name = session.place.name
    server.run(f"ALTER DATABASE {name} SET synchronous_commit = off")
    opened = open_crib(session.place)
    assert opened.value(asked) == "on"
    opened.close()


def test_an_empty_database_has_no_crib(server: TestServer) -> None:
    with pytest.raises(NoCrib):
        open_crib(server.new_database())
