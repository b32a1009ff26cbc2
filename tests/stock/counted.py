"""How many statements a request asks of its crib, seen from between a session and its engine."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from crib.stock.engine.engine import Connection, Cursor, Values
from crib.stock.engine.session import Session


class Counting:
    """A connection that counts; a statement for many rows is one."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self.asked: list[str] = []

    @property
    def in_transaction(self) -> bool:
        return self._connection.in_transaction

    def execute(self, sql: str, values: Values = (), /) -> Cursor:
        self.asked.append(" ".join(sql.split()))
        return self._connection.execute(sql, values)

    def executemany(self, sql: str, rows: Iterable[Values], /) -> Cursor:
        self.asked.append(" ".join(sql.split()))
        return self._connection.executemany(sql, rows)

    def close(self) -> None:
        self._connection.close()


def statements(session: Session, ask: Callable[[Session], object]) -> list[str]:
    """The statements of one request, transactions among them."""
    counting = Counting(session.connection)
    ask(Session(session.engine, counting, session.path))
    return counting.asked
