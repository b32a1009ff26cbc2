"""Small changes of an order by chance: jobs moved, swapped, turned round.

A change makes two blocks of jobs change places, around others that stay between them. Plain
functions over lists of masks and nothing else, as in ``order_search.py``, to be compiled with it.
"""

from __future__ import annotations

from math import sqrt

_WIDEST = 8
# A linear congruence that stays within 63 bits (Park and Miller 1988, with their later factor).
_FACTOR, _MODULUS = 48271, 2147483647

Change = tuple[int, int, list[int], tuple[int, int, int, int], int]
"""Where chances go on, the start, the jobs from there, their blocks, how much overlap is lost."""


def next_chance(chance: int) -> int:
    """The next of a row of chances.

    Source: Park and Miller 1988, with their later factor, from memory.

    Args:
        chance: The one before, 1 to 2147483646 [-].

    Returns:
        A number from 1 to 2147483646 [-].

    Example:
        >>> next_chance(1)
        48271
    """
    return chance * _FACTOR % _MODULUS


def changed_by_chance(row: list[int], first: int, chance: int) -> Change:
    """A change by chance; an empty one did not fit.

    Most move one job or a few, most not far; some swap two jobs, some turn a stretch round.

    Source: common practice.

    Args:
        row: The jobs in their order [masks].
        first: The first position that may change; at least two jobs from there on [-].
        chance: Where the chances begin, 1 to 2147483646 [-].

    Returns:
        Where chances go on, the first position that changes [-], the jobs from there on [masks],
        their blocks as ``order_search.tried`` takes them, and how many tools neighbours inside no
        longer share [-].

    Example:
        >>> changed_by_chance([1, 2, 4], 0, 1)[1:4]
        (1, [4, 2], (1, 0, 1, 0))
    """
    size = len(row) - first
    chance = next_chance(chance)
    kind = chance / _MODULUS
    chance = next_chance(chance)
    near = chance / _MODULUS
    distance = 1 + int((size - 1) * near * sqrt(near))
    chance = next_chance(chance)
    start = first + int(chance / _MODULUS * (size - distance))
    if kind < 0.65:
        return _moved(row, start, distance, kind, chance)
    part = row[start : start + distance + 1]
    if kind < 0.75:
        return chance, start, part, (1, distance - 1, 1, 0), _swap(part)
    part.reverse()
    return chance, start, part, (distance + 1, 0, 0, 1), 0


def lost_outside(row: list[int], start: int, end: int, part: list[int]) -> int:
    """Tools that neighbours at the rims no longer share; a cheap sign of a change for the worse.

    Source: common practice.

    Args:
        row: The jobs in their order before the change [masks].
        start: The first position that changes [-].
        end: The last one [-].
        part: The jobs that stand there after it [masks].

    Returns:
        How many fewer tools are shared; below 0 when more are [-].

    Example:
        >>> lost_outside([1, 1, 2], 1, 2, [2, 1])
        1
    """
    lost = 0
    if start:
        before = row[start - 1]
        lost += (before & row[start]).bit_count() - (before & part[0]).bit_count()
    if end + 1 < len(row):
        after = row[end + 1]
        lost += (after & row[end]).bit_count() - (after & part[-1]).bit_count()
    return lost


def _moved(row: list[int], start: int, distance: int, kind: float, chance: int) -> Change:
    """A few jobs moved by a distance, to either side, maybe turned round."""
    width = 1 if kind < 0.4 else 2
    if kind >= 0.5:
        chance = next_chance(chance)
        width = 3 + int(chance / _MODULUS * (_WIDEST - 2))
    end = start + distance + width
    if end > len(row):
        return chance, start, row[:0], (0, 0, 0, 0), 0
    chance = next_chance(chance)
    ahead = chance / _MODULUS < 0.5
    split = start + (width if ahead else distance)
    left, right = row[start:split], row[split:end]
    lost, turned = (left[-1] & right[0]).bit_count(), 0
    if width > 1:
        chance = next_chance(chance)
        if chance / _MODULUS < 0.5:
            if ahead:
                left.reverse()
                turned = 3
            else:
                right.reverse()
                turned = 1
    lost -= (right[-1] & left[0]).bit_count()
    return chance, start, right + left, (end - split, 0, split - start, turned), lost


def _swap(part: list[int]) -> int:
    """Swap the ends of a stretch; how many tools they share less with their neighbours inside."""
    left, right = part[0], part[-1]
    part[0], part[-1] = right, left
    if len(part) < 3:
        return 0
    after, before = part[1], part[-2]
    lost = (left & after).bit_count() + (right & before).bit_count()
    return lost - (right & after).bit_count() - (left & before).bit_count()
