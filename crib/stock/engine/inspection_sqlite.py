"""How a crib's file is asked about itself: SQLite's own checks and lists."""

from __future__ import annotations

from collections.abc import Iterator

from crib.stock.engine.engine import Ask, Inspection


def file_faults(ask: Ask) -> Iterator[str]:
    """What SQLite finds damaged in the file that is asked."""
    for row in ask("PRAGMA integrity_check"):
        if row[0] != "ok":
            yield str(row[0])


def orphans(ask: Ask) -> Iterator[tuple[str, int, str]]:
    """Rows whose owner is gone: table, number of the row, the owner's table."""
    for row in ask("PRAGMA foreign_key_check"):
        yield row[0], row[1], row[2]


def _table_names(ask: Ask) -> Iterator[str]:
    # What begins with sqlite_ is SQLite's own, such as sqlite_stat1 after ANALYZE.
    for row in ask(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite^_%'"
        " ESCAPE '^' ORDER BY name"
    ):
        yield row[0]


def _column_names(ask: Ask, table: str) -> Iterator[str]:
    for row in ask(f"PRAGMA table_info({table})"):
        yield row[1]


def _mark(ask: Ask) -> int:
    return int(next(iter(ask("PRAGMA user_version")))[0])


def _marking(number: int) -> str:
    return f"PRAGMA user_version = {number:d}"


INSPECTION = Inspection(file_faults, orphans, _table_names, _column_names, _mark, _marking)
