"""The SQL that SQLite and a server read alike: no text of stock holds words of one engine only."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import Boolean
from sqlmodel import SQLModel

from crib.desk.answer.find import Found, find
from crib.stock.engine.engine import Hint
from crib.stock.engine.engine_sqlite import SqliteEngine
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.demo_crib import NOW, demo_crib
from tests.house import plain_text, sources, texts
from tests.stock.counted import statements

ENGINES_OWN = "crib/stock/engine/"
FLAGS = sorted(
    {
        column.name
        for table in SQLModel.metadata.tables.values()
        for column in table.columns
        if isinstance(column.type, Boolean)
    }
)
ONE_ENGINE_ONLY = {
    "a row's hidden number": r"\browid\b|\blast_insert_rowid\b",
    "a number for true or false": rf"\b({'|'.join(FLAGS)}) ?(=|<>) ?[01]\b|\b(WHERE|AND|OR) [01]\b",
    "an insert that swallows": r"\bINSERT OR\b|\bREPLACE INTO\b",
    "a collation": r"\bCOLLATE\b",
    "a pattern of its own": r"\bGLOB\b|\bREGEXP\b|\bMATCH\b",
    "no limit": r"\bLIMIT -",
    "IS with a value": r"\bIS (NOT )?[?:]",
    "a setting": r"\bPRAGMA\b|\bsqlite_master\b",
    "a hint": r"\bCROSS JOIN\b|\bINDEXED BY\b|\bunlikely\(|(^|[ (])\+[a-z_]+\.",
    "a function of its own": (
        r"\b(ifnull|iif|instr|printf|group_concat|total|strftime|datetime|julianday|json_\w+)\("
    ),
    "the larger of two": r"\b(max|min)\([^()]*,",
    "a sum of truths": r"\bsum\((?!CASE)[^()]*( = | IN\b)",
    "a subquery without a name": r"FROM \(SELECT\b.*\)(?! AS)$",
}


def sql_of_stock() -> Iterator[tuple[str, str]]:
    """Every text of stock that could be of a statement, with its place; not the engine's own."""
    for path, source in sources("crib/stock").items():
        if path.startswith((ENGINES_OWN, "crib/stock/tables/")):
            continue
        tree = ast.parse(source)
        docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in texts(tree):
            if id(node) not in docs:
                yield f"{path} line {node.lineno}", " ".join(plain_text(node).split())


@pytest.mark.parametrize("what", ONE_ENGINE_ONLY)
def test_no_statement_holds_what_one_engine_only_reads(what: str) -> None:
    words = re.compile(ONE_ENGINE_ONLY[what])
    assert [(place, sql) for place, sql in sql_of_stock() if words.search(sql)] == []


@pytest.mark.parametrize(
    ("what", "sql"),
    [
        ("a row's hidden number", "SELECT rowid FROM piece"),
        ("a number for true or false", "UPDATE job SET open = 0"),
        ("a number for true or false", "SELECT id FROM piece WHERE 1"),
        ("an insert that swallows", "INSERT OR IGNORE INTO want"),
        ("a collation", "name = ? COLLATE NOCASE"),
        ("a pattern of its own", "tag GLOB ?"),
        ("no limit", "ORDER BY id LIMIT -1"),
        ("IS with a value", "job_id IS NOT ?"),
        ("IS with a value", "seat_id IS :seat"),
        ("a setting", "PRAGMA foreign_keys"),
        ("a hint", "FROM kind CROSS JOIN piece"),
        ("a hint", "WHERE +kind.role = ?"),
        ("a function of its own", "SELECT ifnull(a, b)"),
        ("the larger of two", "SET latest_on = max(latest_on, ?)"),
        ("a sum of truths", "sum(condition = 'sound')"),
        ("a subquery without a name", "SELECT count(*) FROM (SELECT id FROM entry)"),
    ],
)
def test_what_one_engine_only_reads_is_known(what: str, sql: str) -> None:
    assert re.search(ONE_ENGINE_ONLY[what], sql)


@pytest.mark.parametrize(
    "sql",
    [
        "learned_strokes IS DISTINCT FROM ?",
        "WHERE open AND received < quantity",
        "max(entry.shift_on), min(shift_on)",
        "coalesce(sum(received), 0)",
        "abs(a + piece.width_mm)",
        "ORDER BY id LIMIT ?",
        "FROM (SELECT id FROM entry) AS told",
    ],
)
def test_what_all_engines_read_passes(sql: str) -> None:
    assert [what for what, words in ONE_ENGINE_ONLY.items() if re.search(words, sql)] == []


class WithoutHints(SqliteEngine):
    """The engine as one would be whose planner takes no hints."""

    hint = Hint()


@pytest.fixture(scope="module")
def cribs(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Session, Session]]:
    """The demo, as it is opened, and without hints."""
    path: Path = tmp_path_factory.mktemp("hints") / "demo.crib"
    demo_crib(path).close()
    engine = WithoutHints()
    with closing(open_crib(path)) as hinted, closing(engine.connect(path)) as connection:
        yield hinted, Session(engine, connection, path)


@pytest.mark.parametrize(
    "phrase",
    [
        "hole 13/16 thru 3/8 A36",
        "hole 13/16 thru 3/8 A36 for 300",
        "slot 13/16 x 3 thru 3/8 A36",
        "slot 13/16 x 2-1/8 thru 3/8 A36",
        "notch 4 x 5 thru 1/4 A36",
        "square 1/2 thru 1/4 A36",
    ],
)
def test_a_hint_to_the_planner_changes_no_answer(
    cribs: tuple[Session, Session], phrase: str
) -> None:
    def ask(session: Session) -> Found:
        return find(session, phrase, record=False, now=NOW)

    hinted, plain = cribs
    assert ask(hinted).as_json() == ask(plain).as_json()
    assert [sql for sql in statements(hinted, ask) if "CROSS JOIN" in sql]
    assert not [sql for sql in statements(plain, ask) if "CROSS JOIN" in sql]
