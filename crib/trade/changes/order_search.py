"""Better orders by annealing: small changes of an order, a worse one taken ever more rarely.

A tool needed at two positions with none between is kept, or put in again. Keeping it takes a slot
at every position between, so the most that can be kept is found by taking the uses in the order in
which they come, the shortest wait first. That counts the same changes as keeping the tools needed
soonest, and what it knows at a position depends on earlier jobs only: a trial may start where an
order was changed, and stop where it runs as before.

Tools are bits, a job is the mask of the tools it needs. This file is plain functions over lists of
masks and nothing else, so that the very same code can also be had compiled.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log, sqrt

# Found by trials on thirty and forty jobs.
_LOST_OVERLAP = 3
_WIDEST = 8
# A linear congruence that stays within 63 bits (Park and Miller 1988, with their later factor).
_FACTOR, _MODULUS = 48271, 2147483647

Known = tuple[list[int], list[int], list[int], list[int]]
"""For each position of an order: kept so far, last full position, tools since, slots left."""


def hold(want: int, row: Sequence[int], free: list[int], at: int) -> tuple[int, int]:
    """Take slots for tools kept up to a position, where there are any left.

    Source: Tang and Denardo 1988 (keep the tools needed soonest), from memory; counted backwards.

    Args:
        want: Tools needed at the position and last used before the one ahead of it [mask].
        row: The jobs in their order [masks].
        free: Slots left at each position, lowered in place [-].
        at: The position [-].

    Returns:
        How many of the tools could not be kept, and the last position that is full now, -1 for
        none [-].

    Example:
        >>> free = [1, 0, 1]
        >>> hold(0b01, [0b01, 0b10, 0b01], free, 2)
        (1, 1)
    """
    crossing = want.bit_count()
    refused, full, position = 0, -1, at - 1
    while crossing > 0:
        left = free[position] - crossing
        if left <= 0:
            if left < 0:
                for later in range(position + 1, at):
                    free[later] -= left
                crossing += left
                refused -= left
                full, left = position, 0
            elif full < 0:
                full = position
        free[position] = left
        position -= 1
        used = want & row[position]
        shared = used.bit_count()
        if shared:
            want = want ^ used
            crossing -= shared
    return refused, full


def nothing_known(row: list[int]) -> Known:
    """Room for what is known of an order.

    Source: common practice.

    Args:
        row: The jobs in their order [masks].

    Returns:
        Kept so far, last full position, tools since and slots left, for each position [-].

    Example:
        >>> nothing_known([1, 2])
        ([0, 0], [0, 0], [1, 2], [0, 0, 0, 0])
    """
    size = len(row)
    return [0] * size, [0] * size, row[:], [0] * (size * size)


def take(row: list[int], start: int, slots: int, none: int, known: Known) -> None:
    """Make an order the one that is known; it is the same as before up to a position.

    Source: Tang and Denardo 1988 (keep the tools needed soonest), from memory.

    Args:
        row: The jobs in their order, none larger than the magazine [masks].
        start: The first position that differs from what is known [-].
        slots: Tools that the magazine holds [-].
        none: No tools [mask].
        known: What is known, changed in place [-].

    Example:
        >>> known = nothing_known([0b011, 0b100, 0b011])
        >>> take([0b011, 0b100, 0b011], 0, 2, 0, known)
        >>> known[0]
        [0, 0, 1]
    """
    counts, fulls, reaches, frees = known
    size = len(row)
    if start == 0:
        free = [slots - row[0].bit_count()]
        counts[0], fulls[0], reaches[0], frees[0] = 0, 0, row[0], free[0]
        start = 1
    last = start - 1
    free = frees[last * size : last * size + start]
    count, full, reach = counts[last], fulls[last], reaches[last]
    for at in range(start, size):
        now = row[at]
        refused, shut = 0, -1
        keep = now & reach
        want = keep & ~row[at - 1]
        if want.bit_count():
            refused, shut = hold(want, row, free, at)
        count += keep.bit_count() - refused
        left = slots - now.bit_count()
        free.append(left)
        full, reach = _reach(row, at, reach, full, shut if left else at, none)
        counts[at], fulls[at], reaches[at] = count, full, reach
        frees[at * size : at * size + at + 1] = free


def _reach(row: list[int], at: int, reach: int, full: int, shut: int, none: int) -> tuple[int, int]:
    """The last full position, and the tools used since: only those can be kept for later."""
    if shut < 0:
        return full, reach | row[at]
    reach = none
    for position in range(shut, at + 1):
        reach = reach | row[position]
    return shut, reach


def tried(
    row: list[int], start: int, end: int, least: int, slots: int, none: int, known: Known
) -> int:
    """The total of an order that differs from ``start`` to ``end`` only; -1 when hopeless.

    Hopeless is an order that keeps so many fewer at a position behind the change that the rest
    would have to make up for more than it ever did in trials: two below ``least``.

    Source: Tang and Denardo 1988 (keep the tools needed soonest), from memory.

    Args:
        row: The jobs in their order, none larger than the magazine [masks].
        start: The first position that differs from what is known [-].
        end: The last one [-].
        least: Fewer kept than this are of no interest [-].
        slots: Tools that the magazine holds [-].
        none: No tools [mask].
        known: What is known of the order before the change [-].

    Returns:
        How many uses find their tool kept from an earlier job [-].

    Example:
        >>> known = nothing_known([0b011, 0b100, 0b011])
        >>> take([0b011, 0b100, 0b011], 0, 2, 0, known)
        >>> tried([0b011, 0b011, 0b100], 1, 2, 0, 2, 0, known)
        2
    """
    counts, fulls, reaches, frees = known
    size = len(row)
    if start == 0:
        free = [slots - row[0].bit_count()]
        count, full, reach, start = 0, 0, row[0], 1
    else:
        last = start - 1
        free = frees[last * size : last * size + start]
        count, full, reach = counts[last], fulls[last], reaches[last]
    behind = least - counts[-1] - 2
    before = row[start - 1]
    for at in range(start, size):
        now = row[at]
        keep = now & reach
        want = keep & ~before
        count += keep.bit_count()
        shut, position = -1, at - 1
        # What hold() does, written out: a call for each position costs a tenth of the trials.
        crossing = want.bit_count()
        while crossing > 0:
            left = free[position] - crossing
            if left <= 0:
                if left < 0:
                    for later in range(position + 1, at):
                        free[later] -= left
                    crossing += left
                    count += left
                    shut, left = position, 0
                elif shut < 0:
                    shut = position
            free[position] = left
            position -= 1
            used = want & row[position]
            shared = used.bit_count()
            if shared:
                want = want ^ used
                crossing -= shared
        left = slots - now.bit_count()
        free.append(left)
        if left and shut < 0:
            reach = reach | now
        else:
            full, reach = _reach(row, at, reach, full, shut if left else at, none)
        if at >= end:
            if count - counts[at] < behind:
                return -1
            # From the last full position on nothing differs any more, so nothing will.
            if full > end and full == fulls[at]:
                if free[full:] == frees[at * size + full : at * size + at + 1]:
                    return count + counts[-1] - counts[at]
        before = now
    return count


def annealed(
    row: list[int],
    slots: int,
    first: int,
    none: int,
    chance: int,
    heat: float,
    steps: int,
    enough: int,
) -> tuple[list[int], list[int], int, int]:
    """So many small changes of an order at one heat, and the best order met.

    Source: common practice (simulated annealing).

    Args:
        row: The jobs in the order to begin with [masks].
        slots: Tools that the magazine holds [-].
        first: The first position that may change; at least two jobs from there on [-].
        none: No tools [mask].
        chance: Where the chances begin, 1 to 2147483646 [-].
        heat: How gladly a worse order is taken [kept uses].
        steps: How many changes are thought of [-].
        enough: Kept uses that cannot be bettered [-].

    Returns:
        The order at the end, the best order, what that keeps, and where chances go on [-].

    Example:
        >>> annealed([0b011, 0b100, 0b011], 2, 0, 0, 1, 0.3, 99, 2)[1:3]
        ([3, 3, 4], 2)
    """
    row = list(row)
    known = nothing_known(row)
    take(row, 0, slots, none, known)
    counts = known[0]
    most, best = counts[-1], row
    for _step in range(steps):
        if most >= enough:
            break
        chance, start, part, lost = _change(row, first, chance)
        end = start + len(part) - 1
        if end < start or lost + _lost_outside(row, start, end, part) > _LOST_OVERLAP:
            continue
        changed = row[:start] + part + row[end + 1 :]
        chance = chance * _FACTOR % _MODULUS
        least = counts[-1] - int(-heat * log(chance / _MODULUS))
        total = tried(changed, start, end, least, slots, none, known)
        if total >= least:
            take(changed, start, slots, none, known)
            row = changed
            if total > most:
                most, best = total, row
    return row, best, most, chance


def _lost_outside(row: list[int], start: int, end: int, part: list[int]) -> int:
    """Tools that neighbours at the rims no longer share; a cheap sign of a change for the worse."""
    lost = 0
    if start:
        before = row[start - 1]
        lost += (before & row[start]).bit_count() - (before & part[0]).bit_count()
    if end + 1 < len(row):
        after = row[end + 1]
        lost += (after & row[end]).bit_count() - (after & part[-1]).bit_count()
    return lost


def _change(row: list[int], first: int, chance: int) -> tuple[int, int, list[int], int]:
    """A change by chance: where chances go on, the start, the jobs from there, overlap lost.

    Most move one job or a few, most not far; some swap two jobs, some turn a stretch round. An
    empty one is a change that did not fit.
    """
    size = len(row) - first
    chance = chance * _FACTOR % _MODULUS
    kind = chance / _MODULUS
    chance = chance * _FACTOR % _MODULUS
    near = chance / _MODULUS
    distance = 1 + int((size - 1) * near * near * sqrt(near))
    chance = chance * _FACTOR % _MODULUS
    start = first + int(chance / _MODULUS * (size - distance))
    if kind < 0.65:
        return _moved(row, start, distance, kind, chance)
    part = row[start : start + distance + 1]
    if kind < 0.75:
        return chance, start, part, _swap(part)
    part.reverse()
    return chance, start, part, 0


def _moved(
    row: list[int], start: int, distance: int, kind: float, chance: int
) -> tuple[int, int, list[int], int]:
    """A few jobs moved by a distance, to either side, maybe turned round."""
    width = 1 if kind < 0.4 else 2
    if kind >= 0.5:
        chance = chance * _FACTOR % _MODULUS
        width = 3 + int(chance / _MODULUS * (_WIDEST - 2))
    end = start + distance + width
    if end > len(row):
        return chance, start, row[:0], 0
    chance = chance * _FACTOR % _MODULUS
    ahead = chance / _MODULUS < 0.5
    split = start + (width if ahead else distance)
    left, right = row[start:split], row[split:end]
    lost = (left[-1] & right[0]).bit_count()
    if width > 1:
        chance = chance * _FACTOR % _MODULUS
        if chance / _MODULUS < 0.5:
            if ahead:
                left.reverse()
            else:
                right.reverse()
    return chance, start, right + left, lost - (right[-1] & left[0]).bit_count()


def _swap(part: list[int]) -> int:
    """Swap the ends of a stretch; how many tools they share less with their neighbours inside."""
    left, right = part[0], part[-1]
    part[0], part[-1] = right, left
    if len(part) < 3:
        return 0
    after, before = part[1], part[-2]
    lost = (left & after).bit_count() + (right & before).bit_count()
    return lost - (right & after).bit_count() - (left & before).bit_count()
