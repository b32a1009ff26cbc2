"""Every row of a crib, to prove that a refused request changed nothing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from crib.stock.book.ledger import rebuild
from crib.stock.engine.session import Session


def every_row(session: Session) -> dict[str, list[tuple[Any, ...]]]:
    """All tables with all their rows."""
    names = [
        row[0]
        for row in session.rows(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
        )
    ]
    return {name: [tuple(row) for row in session.rows(f'SELECT * FROM "{name}"')] for name in names}


@contextmanager
def nothing_changes(session: Session) -> Iterator[None]:
    """Assert that a block leaves every row as it was, and the ledger bears out the totals."""
    before = every_row(session)
    yield
    assert every_row(session) == before
    assert rebuild(session) == []
