"""Answers that are kept: nothing read twice, all that is new at once, in order."""

from __future__ import annotations

from collections.abc import Sequence

from crib.stock.queries.read_ahead import ReadAhead


def counted() -> tuple[ReadAhead[int, int], list[list[int]]]:
    """Squares, and what was asked each time they were worked out."""
    asked: list[list[int]] = []

    def squares(numbers: Sequence[int]) -> list[int]:
        asked.append(list(numbers))
        return [number * number for number in numbers]

    return ReadAhead(squares), asked


def test_what_is_wanted_is_read_once() -> None:
    kept, asked = counted()
    assert [kept.of(3), kept.of(3), kept.of(4)] == [9, 9, 16]
    assert asked == [[3], [4]]


def test_what_is_read_ahead_is_read_at_once_and_only_where_new() -> None:
    kept, asked = counted()
    kept.ahead([1, 2, 2, 1])
    kept.ahead([2, 3])
    kept.ahead([1, 2, 3])
    assert [kept.of(number) for number in (1, 2, 3)] == [1, 4, 9]
    assert asked == [[1, 2], [3]]


def test_what_was_read_is_known() -> None:
    kept, _asked = counted()
    kept.ahead([5])
    assert kept.knows(5)
    assert not kept.knows(6)
