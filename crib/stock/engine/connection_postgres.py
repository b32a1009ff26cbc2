"""A connection to a PostgreSQL server on which statements travel together.

A server may be far away, so what has no answer to wait for (the beginning of a transaction with its
lock, a savepoint, a write) is kept back and goes with the next statement that has one, in one trip;
so do the queries that were said to come. Their order is kept, and none runs after one that failed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import count
from typing import Any, TypeAlias

import psycopg
from psycopg.adapt import Loader
from psycopg.pq import TransactionStatus

from crib.stock.engine.engine import Question, Values
from crib.stock.engine.marks_postgres import with_driver_marks

_ROWS_AT_ONCE = 5_000
_ROWS_KEPT_BACK = 200
_ONLY_READS = ("SELECT", "WITH")
_MARKS_A_LEVEL = ("SAVEPOINT", "RELEASE")
_numbers = count(1)


class ServerRow(tuple[Any, ...]):
    """One row of an answer: its values by name and by number."""

    names: Mapping[str, int]

    def __getitem__(self, key: Any) -> Any:
        return super().__getitem__(self.names[key] if isinstance(key, str) else key)

    def keys(self) -> Iterable[str]:
        """The names of its columns."""
        return self.names.keys()


@lru_cache(maxsize=1_000)
def _row_of(names: tuple[str, ...]) -> type[ServerRow]:
    numbers = {name: number for number, name in enumerate(names)}
    return type("_Row", (ServerRow,), {"names": numbers, "__slots__": ()})


def named_rows(cursor: psycopg.Cursor[Any]) -> Any:
    """What makes the rows of an answer, as the driver asks for it."""
    return _row_of(tuple(column.name for column in cursor.description or ()))


class WholeNumbers(Loader):
    """A ``numeric`` as a whole number where it is one, as SQLite sums whole numbers."""

    def load(self, data: Any) -> int | float:
        """The number in the driver's text."""
        text = bytes(data).decode("ascii")
        return float(text) if "." in text or "N" in text else int(text)


_KeptBack: TypeAlias = "tuple[str, Sequence[Values]]"


class PostgresConnection:
    """The driver's connection with the marks and rows that the crib's statements have."""

    def __init__(self, connection: psycopg.Connection[Any]) -> None:
        self._driver = connection
        self._kept_back: list[_KeptBack] = []
        self._foreseen: dict[Any, Question] = {}
        self._answers: dict[Any, Any] = {}

    @property
    def in_transaction(self) -> bool:
        """Whether something was begun that is not committed."""
        return bool(self._kept_back) or self._driver.info.transaction_status not in (
            TransactionStatus.IDLE,
            TransactionStatus.UNKNOWN,
        )

    @property
    def is_lost(self) -> bool:
        """Whether nothing can be asked any more."""
        return self._driver.closed

    def execute(self, sql: str, values: Values = ()) -> Any:
        """Run one statement, after what was kept back; a query that was foreseen is asked once."""
        if sql.startswith(_MARKS_A_LEVEL):
            self._mark_level(sql)
            return None
        if _is_write(sql):
            self._forget_all()
        if sql in ("COMMIT", "ROLLBACK") and self._never_began(sql):
            return None
        if not (self._kept_back or self._foreseen or self._answers):
            return self._ask((sql, values))
        question = _named(sql, values)
        if question in self._answers:
            return self._answers.pop(question)
        self._foreseen.pop(question, None)
        return self._together((sql, values))

    def executemany(self, sql: str, rows: Iterable[Values]) -> Any:
        """Run one writing statement for many rows."""
        self._flush()
        return self._run_many(sql, list(rows))

    def keep_back(self, sql: str, rows: Iterable[Values] = ((),)) -> None:
        """Run a statement without an answer before the next one that has an answer."""
        self._forget_all()
        waiting = tuple(rows)
        if len(waiting) > _ROWS_KEPT_BACK:
            self.executemany(sql, waiting)
        elif waiting:
            self._kept_back.append((sql, waiting))

    def settle(self) -> None:
        """Have the writes done that were kept back."""
        if self._holds_writes():
            self._together(None)

    def foresee(self, questions: Sequence[Question]) -> None:
        """Ask these together with the next statement, beside what was foreseen before."""
        for key, one in ((_named(*one), one) for one in questions):
            if key not in self._answers:
                self._foreseen[key] = one

    def forget(self, questions: Sequence[Question]) -> None:
        """Ask none of these ahead, and forget what they were answered with."""
        for key in (_named(*one) for one in questions):
            self._foreseen.pop(key, None)
            self._answers.pop(key, None)

    def _forget_all(self) -> None:
        self._foreseen.clear()
        self._answers.clear()

    def _mark_level(self, sql: str) -> None:
        """Begin or end a block inside a block."""
        word, name = sql.split()
        if self._kept_back[-1:] == [(f"SAVEPOINT {name}", ((),))] and word == "RELEASE":
            self._kept_back.pop()
        else:
            self._kept_back.append((sql, ((),)))

    def _never_began(self, end: str) -> bool:
        """Whether a transaction ends of which nothing was sent, or can be any more."""
        unsent = bool(self._kept_back) and self._kept_back[0][0].startswith("BEGIN")
        is_empty = unsent and not self._holds_writes()
        if is_empty or end == "ROLLBACK":
            self._kept_back.clear()
        return is_empty or (end == "ROLLBACK" and not self.in_transaction)

    def _holds_writes(self) -> bool:
        return any(_is_write(sql) for sql, _rows in self._kept_back)

    def _flush(self) -> None:
        if self._kept_back:
            self._together(None)

    def _together(self, last: Question | None) -> Any:
        """What was kept back, a statement and what was foreseen, in one trip; the statement's."""
        kept_back, self._kept_back = self._kept_back, []
        foreseen, self._foreseen = self._foreseen, {}
        with self._driver.pipeline():
            for sql, rows in kept_back:
                self._run_many(sql, rows)
            answer = self._ask(last) if last else None
            answers = {key: self._ask(one) for key, one in foreseen.items()}
        self._answers |= answers
        return answer

    def _ask(self, question: Question) -> Any:
        sql, values = question
        return self._driver.execute(with_driver_marks(sql).encode(), _given(values))

    def _run_many(self, sql: str, rows: Sequence[Values]) -> Any:
        if len(rows) == 1:
            return self._ask((sql, rows[0]))
        cursor = self._driver.cursor()
        cursor.executemany(with_driver_marks(sql).encode(), rows)
        return cursor

    def stream(self, sql: str, values: Values) -> Iterator[Any]:
        """The rows of a query some at a time; others may be asked between them."""
        self._flush()
        with self._driver.cursor(name=f"rows_{next(_numbers)}") as cursor:
            cursor.itersize = _ROWS_AT_ONCE
            cursor.execute(with_driver_marks(sql).encode(), _given(values))
            yield from cursor

    def close(self) -> None:
        """Let it go."""
        self._driver.close()


def _given(values: Values) -> Sequence[Any] | Mapping[str, Any] | None:
    return values or None


def _named(sql: str, values: Values) -> Any:
    """What tells one question from another."""
    said = tuple(values.items()) if isinstance(values, Mapping) else tuple(values)
    return sql, said


def _is_write(sql: str) -> bool:
    return not sql.lstrip().startswith(("BEGIN", *_ONLY_READS, *_MARKS_A_LEVEL))
