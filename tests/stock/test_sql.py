"""Every SQL text fits the tables, stands in its room, and the window's questions never scan."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.stock.engine.engine import Connection
from crib.stock.engine.moved import MovedNote, marking
from crib.stock.engine.session import Session
from tests.shop import new_crib, small_shop
from tests.stock.questions import QUESTIONS, Question
from tests.stock.sql_seen import (
    PART_OF_SQL,
    explain,
    full_scans,
    sql_parts,
    sql_texts,
    statements_of,
    written_sql,
)

WRITTEN = [one for one in written_sql("crib/stock") if "_postgres.py line" not in one[0]]
"""What SQLite is asked; a server's own questions are asked of one in its tests."""


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Connection]:
    """An empty crib with the note of one that moved, to explain statements on."""
    session = new_crib(tmp_path_factory.mktemp("sql") / "empty.crib")
    session.connection.execute(next(iter(marking(session.path, MovedNote("", "", ""), ()))))
    yield session.connection
    session.close()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A small shop."""
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


@pytest.mark.parametrize(
    ("place", "sql"), [one for one in WRITTEN if one[1]], ids=[one[0] for one in WRITTEN if one[1]]
)
def test_a_written_statement_fits_the_tables(tables: Connection, place: str, sql: str) -> None:
    assert isinstance(explain(tables, sql), list), place


def test_most_statements_can_be_read_without_running_them() -> None:
    assert len([sql for _place, sql in WRITTEN if sql]) >= 20
    assert len([sql for _place, sql in WRITTEN if not sql]) <= len(WRITTEN) / 3


def test_sql_stands_only_in_stock() -> None:
    rooms = ("crib/cli", "crib/desk", "crib/trade", "crib/features", "crib/files")
    assert written_sql(*rooms) == []
    assert [place for room in rooms for place in sql_parts(room)] == []


@pytest.mark.parametrize(
    "sql",
    ["SELECT colour FROM piece", "INSERT INTO person (nick) VALUES (?)", "SELECT 1 FROM shelf"],
)
def test_a_statement_that_does_not_fit_is_caught(tables: Connection, sql: str) -> None:
    with pytest.raises(sqlite3.OperationalError, match=r"no such|no column"):
        explain(tables, sql)


def test_the_reader_finds_statements_with_and_without_fields() -> None:
    source = 'A = "SELECT 1"\ndef f(x):\n    """SELECT nothing here."""\n    return f"SELECT {x}"\n'
    assert list(sql_texts("crib/stock/book/ledger.py", source)) == [(1, "SELECT 1"), (4, None)]


@pytest.mark.parametrize(
    "sql",
    [
        "SELECT * FROM entry WHERE note = 'x'",
        "SELECT * FROM entry AS late WHERE late.note = 'x'",
        "SELECT * FROM person JOIN piece ON piece.note = person.name",
        "SELECT count(*) FROM entry",
        "SELECT * FROM entry ORDER BY id",
    ],
)
def test_a_scan_of_a_long_table_is_caught(tables: Connection, sql: str) -> None:
    assert full_scans(tables, sql, ("entry", "piece")) != []


@pytest.mark.parametrize("question", QUESTIONS, ids=[one.name for one in QUESTIONS])
def test_a_question_at_the_window_reads_no_long_table_whole(
    shop: Session, question: Question
) -> None:
    with statements_of(shop) as seen:
        question.ask(shop, "P-0137", "P-0140")
    run = [sql for sql in seen if not sql.startswith(("BEGIN", "COMMIT", "ROLLBACK", "PRAGMA"))]
    assert run != []
    long = ("entry",) if question.every_piece else ("entry", "piece")
    scans = {sql: full_scans(shop.connection, sql, long) for sql in run}
    assert {sql: found for sql, found in scans.items() if found} == {}


@pytest.mark.parametrize(
    "text",
    ["piece.kind_id = ?", "kind.role IN ('punch')", "ORDER BY piece.tag", "PRAGMA user_version"],
)
def test_a_piece_of_a_statement_is_known_for_what_it_is(text: str) -> None:
    assert PART_OF_SQL.search(text)


@pytest.mark.parametrize("text", ["order by Friday", "a piece.", "the kind: round", "from kind"])
def test_plain_words_are_no_piece_of_a_statement(text: str) -> None:
    assert not PART_OF_SQL.search(text)
