"""Lists of values in a statement, some at a time, because a statement has room for so many."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

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
