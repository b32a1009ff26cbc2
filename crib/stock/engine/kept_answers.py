"""Answers kept while nobody else can write: the same question is not asked twice.

Behind the writers' lock, and within one moment, only a session's own writes change what it reads.
A write makes it forget every question whose text names the table that was written, and one that
deletes makes it forget all, since rows of other tables may go with it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from crib.stock.engine.engine import Row, Values

_MOST_ROWS, _MOST_QUESTIONS = 5_000, 100
_WRITTEN = re.compile(r"\s*(?:INSERT INTO|UPDATE)\s+(\w+)", re.IGNORECASE)


class AnswersInBlock:
    """What was answered since a block began."""

    def __init__(self) -> None:
        self._kept: dict[Any, Sequence[Row]] = {}

    def find(self, sql: str, values: Values) -> list[Row] | None:
        """The rows that a question was answered with; None when it has to be asked."""
        found = self._kept.get(_named(sql, values)) if self._kept else None
        return None if found is None else list(found)

    def keep(self, sql: str, values: Values, rows: Sequence[Row]) -> None:
        """Keep what a question was answered with."""
        if len(rows) > _MOST_ROWS:
            return
        if len(self._kept) >= _MOST_QUESTIONS:
            self._kept.clear()
        self._kept[_named(sql, values)] = tuple(rows)

    def forget(self, written: str = "") -> None:
        """Forget what a statement may have changed; everything for any but a plain write."""
        target = _WRITTEN.match(written)
        if target is None:
            self._kept.clear()
            return
        named = re.compile(rf"\b{target[1]}\b", re.IGNORECASE)
        self._kept = {key: rows for key, rows in self._kept.items() if not named.search(key[0])}


def _named(sql: str, values: Values) -> tuple[str, Any]:
    """What tells one question from another; 1, 1.0 and True are one value to a dictionary."""
    if isinstance(values, Mapping):
        return sql, tuple((name, type(value), value) for name, value in values.items())
    return sql, tuple((type(value), value) for value in values)
