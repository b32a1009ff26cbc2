"""Lists of values in a statement, some at a time, because a statement has room for so many."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, TypeVar

MOST_AT_ONCE = 10_000

Value = TypeVar("Value", int, str)


def in_lists(wanted: Iterable[Value]) -> Iterator[tuple[str, list[Value]]]:
    """Each value once, in order, a part at a time with the marks that stand for it in ``IN``."""
    values = sorted(set(wanted))
    for first in range(0, len(values), MOST_AT_ONCE):
        part = values[first : first + MOST_AT_ONCE]
        yield marks(part), part


def marks(values: Iterable[object]) -> str:
    """The marks for some values, with their brackets: ``(?, ?, ?)``."""
    return f"({', '.join('?' for _value in values)})"


def asked_tables(
    columns: Mapping[str, str], rows: Sequence[Sequence[Any]]
) -> Iterator[tuple[str, list[Any]]]:
    """What is asked as a table to join others to, a part at a time, with the values of its rows.

    Args:
        columns: The table's columns, each with its SQL type.
        rows: One for each thing that is asked.

    Yields:
        ``WITH asked (...) AS (VALUES ...)`` and what stands for its marks.
    """
    # The first row says the types, because a mark by itself has none.
    typed = f"({', '.join(f'CAST(? AS {kind})' for kind in columns.values())})"
    plain = marks(columns)
    most = max(MOST_AT_ONCE // len(columns), 1)
    for first in range(0, len(rows), most):
        part = rows[first : first + most]
        lines = ", ".join([typed, *[plain] * (len(part) - 1)])
        values = [value for row in part for value in row]
        yield f"WITH asked ({', '.join(columns)}) AS (VALUES {lines})", values
