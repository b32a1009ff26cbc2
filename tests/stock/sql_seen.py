"""See the SQL of the program: as it stands in the files, and as it runs with its plan."""

from __future__ import annotations

import ast
import re
import sqlite3
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from itertools import count
from typing import Any

from sqlmodel import SQLModel

from crib.stock.engine.engine import Connection
from crib.stock.engine.session import Session
from crib.stock.tables import all_tables
from tests.house import plain_text, sources, texts

assert all_tables.PieceRecord is not None
LOOKS_LIKE_SQL = re.compile(
    r"\s*(SELECT\s|INSERT\s+(OR\s+\w+\s+)?INTO\s|UPDATE\s+\w+\s+SET\s|DELETE\s+FROM\s|WITH\s+\w+)"
)
_TABLES = "|".join(sorted(SQLModel.metadata.tables))
PART_OF_SQL = re.compile(
    rf"\b({_TABLES})\.[a-z_]+\s*(=|<|>|IN\b|IS\b|LIKE\b|BETWEEN\b|NOT\b)"
    r"|\bORDER BY \w|\bPRAGMA \w|\bFROM (entry|piece|kind|place)\b"
)
_NAMED = re.compile(r"(?<![:\w]):([a-z_]\w*)")


def sql_texts(path: str, source: str) -> Iterator[tuple[int, str | None]]:
    """Each SQL text of a file with its line; None where fields are known only when it runs."""
    tree = ast.parse(source)
    for node in texts(tree):
        if LOOKS_LIKE_SQL.match(plain_text(node)) and not _is_docstring(tree, node):
            yield node.lineno, _in_full(path, node)


def written_sql(*folders: str) -> list[tuple[str, str | None]]:
    """Every SQL text below some folders: where it stands, and the text in full."""
    return [
        (f"{path} line {line}", sql)
        for folder in folders
        for path, source in sources(folder).items()
        for line, sql in sql_texts(path, source)
    ]


def sql_parts(folder: str) -> list[str]:
    """Where texts below a folder hold a piece of a statement: a condition, an order, a table."""
    return [
        f"{path} line {node.lineno}"
        for path, source in sources(folder).items()
        for tree in [ast.parse(source)]
        for node in texts(tree)
        if PART_OF_SQL.search(plain_text(node)) and not _is_docstring(tree, node)
    ]


def explain(connection: Connection, sql: str) -> list[str]:
    """SQLite's plan for a statement; every open value stands as nothing."""
    values: Any = [None] * sql.count("?")
    if _NAMED.search(sql):
        values = defaultdict(lambda: None, dict.fromkeys(_NAMED.findall(sql)))
    plan = connection.execute(f"EXPLAIN QUERY PLAN {sql}", values).fetchall()
    return [str(row[3]) for row in plan]


@contextmanager
def statements_of(session: Session) -> Iterator[list[str]]:
    """The statements that run on a session's connection, with their values filled in."""
    seen: list[str] = []
    connection = _sqlite(session)
    connection.set_trace_callback(seen.append)
    try:
        yield seen
    finally:
        connection.set_trace_callback(None)


def work_of(session: Session, ask: Callable[[Session], object]) -> int:
    """How many steps SQLite takes for a question, to a hundred; the same on every machine."""
    counted = count()
    connection = _sqlite(session)
    connection.set_progress_handler(lambda: next(counted) < 0, 100)
    try:
        ask(session)
    finally:
        connection.set_progress_handler(None, 0)
    return next(counted) * 100


def full_scans(connection: Connection, sql: str, tables: tuple[str, ...]) -> list[str]:
    """The plan's lines that read one of the tables from end to end, under whatever name."""
    names = {}
    for table in tables:
        for alias in re.findall(rf"\b(?:FROM|JOIN|,)\s+{table}\s+AS\s+(\w+)", sql):
            names[alias] = table
        names[table] = table
    return [
        line
        for line in explain(connection, sql)
        if (found := re.match(r"SCAN (\w+)", line)) and found[1] in names
    ]


def _sqlite(session: Session) -> sqlite3.Connection:
    assert isinstance(session.connection, sqlite3.Connection)
    return session.connection


def _in_full(path: str, node: ast.Constant | ast.JoinedStr) -> str | None:
    if isinstance(node, ast.Constant):
        return str(node.value)
    module = import_module(path.removesuffix(".py").replace("/", "."))
    try:
        code = compile(ast.fix_missing_locations(ast.Expression(node)), path, "eval")
        return str(eval(code, vars(module)))
    except NameError:
        return None


def _is_docstring(tree: ast.AST, text: ast.AST) -> bool:
    return any(isinstance(node, ast.Expr) and node.value is text for node in ast.walk(tree))
