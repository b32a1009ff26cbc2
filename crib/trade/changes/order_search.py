"""Better orders by annealing: small changes of an order, a worse one taken ever more rarely.

A tool needed at two positions with none between is kept, or put in again. Keeping it takes a slot
at every position between, so the most that can be kept is found by taking the uses in the order in
which they come, the shortest wait first. That counts the same changes as keeping the tools needed
soonest, and what it knows at a position depends on earlier jobs only: a trial may start where an
order was changed, and pass over what runs as before, be it some positions earlier or later.

Tools are bits, a job is the mask of the tools it needs. This file is plain functions over lists of
masks and nothing else, so that the very same code can also be had compiled.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log

from crib.trade.changes.order_moves import changed_by_chance, lost_outside, next_chance

# Found by trials on forty to sixty jobs.
_LOST_OVERLAP = 4
_HOPE_BEHIND, _HOPE_INSIDE = 2, 3
_MODULUS = 2147483647

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


def take(row: list[int], start: int, end: int, slots: int, none: int, known: Known) -> None:
    """Make an order the one that is known; it differs from that between two positions only.

    Source: Tang and Denardo 1988 (keep the tools needed soonest), from memory.

    Args:
        row: The jobs in their order, none larger than the magazine [masks].
        start: The first position that differs from what is known [-].
        end: The last one; the last of all where nothing is known [-].
        slots: Tools that the magazine holds [-].
        none: No tools [mask].
        known: What is known, changed in place [-].

    Example:
        >>> known = nothing_known([0b011, 0b100, 0b011])
        >>> take([0b011, 0b100, 0b011], 0, 2, 2, 0, known)
        >>> known[0]
        [0, 0, 1]
    """
    counts, fulls, reaches, frees = known
    size = len(row)
    count, full, reach, free = _until(row, start, slots, known)
    if start == 0:
        counts[0], fulls[0], reaches[0], frees[0] = 0, 0, reach, free[0]
    for at in range(max(1, start), size):
        now = row[at]
        refused, shut = 0, -1
        keep = now & reach
        want = keep & ~row[at - 1]
        if want.bit_count():
            refused, shut = hold(want, row, free, at)
        count += keep.bit_count() - refused
        left = slots - now.bit_count()
        free[at] = left
        full, reach = _reach(row, at, reach, full, shut if left else at, none)
        here = at * size
        if full > end and full == fulls[at]:
            if free[full : at + 1] == frees[here + full : here + at + 1]:
                more = count - counts[at]
                for later in range(at, size):
                    counts[later] += more
                return
        counts[at], fulls[at], reaches[at] = count, full, reach
        frees[here + full : here + at + 1] = free[full : at + 1]


def _until(row: list[int], start: int, slots: int, known: Known) -> tuple[int, int, int, list[int]]:
    """What is known before a position, or of the first one alone; the slots left in a copy.

    Only those from the last full position on are right, and no others are ever asked for.
    """
    counts, fulls, reaches, frees = known
    size = len(row)
    if start == 0:
        free = frees[:size]
        free[0] = slots - row[0].bit_count()
        return 0, 0, row[0], free
    last = start - 1
    return counts[last], fulls[last], reaches[last], frees[last * size : start * size]


def _reach(row: list[int], at: int, reach: int, full: int, shut: int, none: int) -> tuple[int, int]:
    """The last full position, and the tools used since: only those can be kept for later."""
    if shut < 0:
        return full, reach | row[at]
    reach = none
    for position in range(shut, at + 1):
        reach = reach | row[position]
    return shut, reach


def tried(
    row: list[int],
    start: int,
    blocks: tuple[int, int, int, int],
    least: int,
    slots: int,
    none: int,
    known: Known,
) -> int:
    """The total of an order in which two blocks of jobs changed places; -1 when hopeless.

    What runs as it did before, at another position maybe, is passed over. Hopeless is an order
    whose jobs so far keep so many fewer than the same jobs did that the rest would have to make up
    for more than it mostly did in trials.

    Source: Tang and Denardo 1988 (keep the tools needed soonest), from memory.

    Args:
        row: The jobs in their order, none larger than the magazine [masks].
        start: The first position that differs from what is known [-].
        blocks: How many jobs the block has that comes first now, how many stand between, how many
            the other one has; and which runs in a new order inside: 1 the first, 3 the last, 0
            none [-].
        least: Fewer kept than this are of no interest [-].
        slots: Tools that the magazine holds [-].
        none: No tools [mask].
        known: What is known of the order before the change [-].

    Returns:
        How many uses find their tool kept from an earlier job [-].

    Example:
        >>> known = nothing_known([0b011, 0b100, 0b011])
        >>> take([0b011, 0b100, 0b011], 0, 2, 2, 0, known)
        >>> tried([0b011, 0b011, 0b100], 1, (1, 0, 1, 0), 0, 2, 0, known)
        2
    """
    counts, fulls, _reaches, frees = known
    size = len(row)
    count, full, reach, free = _until(row, start, slots, known)
    hopeless = least - counts[-1] - _HOPE_INSIDE
    at, begin, owed = max(1, start), start, count
    for stop, shift, alike, hope in _pieces(start, blocks, size):
        if begin == stop:
            continue
        # The same jobs had kept so many, but for what is counted at their old positions.
        owed -= counts[begin + shift - 1] if begin + shift else 0
        while at < stop:
            now = row[at]
            keep = now & reach
            want = keep & ~row[at - 1]
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
            free[at] = left
            if left and shut < 0:
                reach = reach | now
            else:
                full, reach = _reach(row, at, reach, full, shut if left else at, none)
            if alike:
                was = at + shift
                if count - counts[was] - owed < hopeless + hope:
                    return -1
                if full >= begin and full + shift == fulls[was]:
                    here = was * size + shift
                    if free[full : at + 1] == frees[here + full : here + at + 1]:
                        if stop == size and shift == 0:
                            return count + counts[-1] - counts[was]
                        count += counts[stop - 1 + shift] - counts[was]
                        full, reach = _passed(full, stop, shift, free, known)
                        break
            at += 1
        at, begin = max(stop, 1), stop
        owed += counts[stop - 1 + shift]
        if count - owed < hopeless + hope:
            return -1
    return count


def _pieces(
    start: int, blocks: tuple[int, int, int, int], size: int
) -> tuple[tuple[int, int, int, int], ...]:
    """Where each piece of a changed order ends, how far behind it stood, is it alike, what to hope.

    They are the block that comes first now, what stands between, the other block, and the rest.
    """
    ahead, between, behind, turned = blocks
    middle = start + ahead
    last = middle + between
    end = last + behind
    return (
        (middle, behind + between, 1 if turned != 1 else 0, 0),
        (last, behind - ahead, 1, 0),
        (end, -ahead - between, 1 if turned != 3 else 0, 0),
        (size, 0, 1, _HOPE_INSIDE - _HOPE_BEHIND),
    )


def _passed(full: int, stop: int, shift: int, free: list[int], known: Known) -> tuple[int, int]:
    """The last full position and the reach behind a piece that runs on as it did; slots copied."""
    _counts, fulls, reaches, frees = known
    last = stop - 1 + shift
    full = fulls[last] - shift
    here = last * len(free) + shift
    free[full:stop] = frees[here + full : here + stop]
    return full, reaches[last]


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
    size, known = len(row), nothing_known(row)
    take(row, 0, size, slots, none, known)
    counts = known[0]
    most, best = counts[-1], row
    for _step in range(steps):
        if most >= enough:
            break
        chance, start, part, blocks, lost = changed_by_chance(row, first, chance)
        end = start + len(part) - 1
        if end < start or lost + lost_outside(row, start, end, part) > _LOST_OVERLAP:
            continue
        changed = row[:start] + part + row[end + 1 :]
        chance = next_chance(chance)
        least = counts[-1] - int(-heat * log(chance / _MODULUS))
        total = tried(changed, start, blocks, least, slots, none, known)
        if total >= least:
            take(changed, start, end, slots, none, known)
            row = changed
            if total > most:
                most, best = total, row
    return row, best, most, chance
