"""A crib on a server is checked as a file is, and what is wrong in it is told."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from crib.desk.book.check import check_crib
from crib.desk.book.new_crib import new_crib
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.session import Session
from crib.stock.queries.whole_crib import note_rows, rows_since_noted
from tests.stock.engine.server import TestServer


@pytest.fixture(scope="module")
def pattern(server: TestServer) -> ServerPlace:
    place = server.new_database()
    new_crib(place)
    return place


@pytest.fixture
def session(server: TestServer, pattern: ServerPlace) -> Iterator[Session]:
    opened = open_crib(server.new_database(pattern))
    yield opened
    opened.close()


def faults_of(session: Session) -> dict[str, tuple[str, ...]]:
    return {one.name: one.faults for one in check_crib(session).checks if not one.ok}


def test_a_new_crib_is_sound(session: Session) -> None:
    assert faults_of(session) == {}


@pytest.mark.parametrize(
    ("harm", "check", "told"),
    [
        (
            "CREATE TABLE other (id integer)",
            "the tables are this program's",
            "the table other is none of this program's",
        ),
        (
            "ALTER TABLE piece ADD extra integer",
            "the tables are this program's",
            "piece has an unknown column extra",
        ),
        (
            "DROP TABLE sheet",
            "the tables are this program's",
            "sheet has no column id",
        ),
        (
            "ALTER TABLE machine DISABLE TRIGGER ALL",
            "what is stored is whole",
            "the rules of machine are switched off",
        ),
        (
            "ALTER TABLE person ADD CHECK (length(name) < 3) NOT VALID",
            "what is stored is whole",
            "the rule person_name_check was never proven of the rows that are there",
        ),
        (
            "SET session_replication_role = replica;"
            "INSERT INTO paper_line_piece (paper_id, line, piece_id) VALUES (7, 1, 9)",
            "no row has lost its owner",
            "paper_line_piece row 7 points at a piece that is not there",
        ),
        (
            "UPDATE entry SET note = 'by another hand' WHERE id = 2",
            "each entry is as it was written",
            "entry 2 was changed past the program, or what stood before it",
        ),
    ],
)
def test_what_is_wrong_is_told(
    server: TestServer, session: Session, harm: str, check: str, told: str
) -> None:
    assert isinstance(session.place, ServerPlace)
    server.run(harm, session.place.name)
    assert told in faults_of(session)[check]


def test_rows_since_a_mark_are_counted(session: Session) -> None:
    assert rows_since_noted(session) is None
    note_rows(session)
    with session.writing():
        session.insert("person", {"name": "bench 2"})
    assert rows_since_noted(session) == 1
