"""What a magazine keeps while jobs pass: tools are bits, a job is the mask of the tools it needs.

A tool needed at two positions with none between is kept, or put in again. Keeping it takes a slot
at every position between, so the most that can be kept is found by taking the uses in the order in
which they come, the shortest wait first. That counts the same changes as keeping the tools needed
soonest, and what it knows at a position depends on earlier jobs only: a trial may start where an
order was changed, and stop where it runs as before.
"""

from __future__ import annotations

from collections.abc import Sequence


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
        if used:
            want ^= used
            crossing -= used.bit_count()
    return refused, full


class KeptTools:
    """An order of jobs, and for each position how many tools were kept so far and what is left."""

    __slots__ = ("_counts", "_frees", "_fulls", "_reaches", "row", "slots")

    def __init__(self, row: list[int], slots: int) -> None:
        self.slots = slots
        self._counts = [0] * len(row)
        self._fulls = [0] * len(row)
        self._reaches = [0] * len(row)
        self._frees: list[list[int]] = [[] for _job in row]
        self.row = row
        self.take(row, 0)

    @property
    def total(self) -> int:
        """How many uses find their tool kept from an earlier job."""
        return self._counts[-1]

    def take(self, row: list[int], start: int) -> None:
        """Make another order the one that is known; it is the same before a position."""
        self.row = row
        start, free, count, full, reach = self._known_before(row, start)
        if start == 1:
            self._frees[0], self._reaches[0] = free[:], reach
        for at in range(start, len(row)):
            now = row[at]
            refused, shut = 0, -1
            keep = now & reach
            want = keep & ~row[at - 1]
            if want:
                refused, shut = hold(want, row, free, at)
            count += keep.bit_count() - refused
            left = self.slots - now.bit_count()
            free.append(left)
            full, reach = _reach(row, at, reach, full, shut if left else at)
            self._counts[at], self._fulls[at] = count, full
            self._reaches[at], self._frees[at] = reach, free[:]

    def _known_before(self, row: list[int], start: int) -> tuple[int, list[int], int, int, int]:
        """Where a count may begin, and the slots left, uses kept, last full position and reach."""
        if start == 0:
            return 1, [self.slots - row[0].bit_count()], 0, 0, row[0]
        last = start - 1
        free = self._frees[last][:]
        return start, free, self._counts[last], self._fulls[last], self._reaches[last]

    def tried(self, row: list[int], start: int, end: int, least: int) -> int:
        """The total of an order that differs from ``start`` to ``end`` only; -1 when hopeless.

        Hopeless is an order that keeps so many fewer at a position behind the change that the rest
        would have to make up for more than it ever did in trials: two below ``least``.
        """
        start, free, count, full, reach = self._known_before(row, start)
        slots, counts, behind = self.slots, self._counts, least - self.total - 2
        before = row[start - 1]
        for at in range(start, len(row)):
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
                if used:
                    want ^= used
                    crossing -= used.bit_count()
            left = slots - now.bit_count()
            free.append(left)
            if left and shut < 0:
                reach |= now
            else:
                full, reach = _reach(row, at, reach, full, shut if left else at)
            if at >= end:
                if count - counts[at] < behind:
                    return -1
                # From the last full position on nothing differs any more, so nothing will.
                if full > end and full == self._fulls[at]:
                    if free[full:] == self._frees[at][full:]:
                        return count + counts[-1] - counts[at]
            before = now
        return count


def _reach(row: list[int], at: int, reach: int, full: int, shut: int) -> tuple[int, int]:
    """The last full position, and the tools used since: only those can be kept for later."""
    if shut < 0:
        return full, reach | row[at]
    reach = 0
    for position in range(shut, at + 1):
        reach |= row[position]
    return shut, reach


def kept_uses(row: Sequence[int], slots: int) -> int:
    """How many uses of tools find the tool still in the machine, at best.

    Source: Tang and Denardo 1988 (keep the tools needed soonest), from memory.

    Args:
        row: The jobs in their order, none larger than the magazine [masks].
        slots: Tools that the magazine holds [-].

    Returns:
        Uses less insertions, with every first use an insertion [-].

    Example:
        >>> kept_uses([0b011, 0b100, 0b011], 2)
        1
    """
    return KeptTools(list(row), slots).total if row else 0


def magazine_loads(row: Sequence[int], slots: int, mounted: int) -> list[int]:
    """The tools in the machine during each job, with the fewest insertions for that order.

    Source: Tang and Denardo 1988 (keep the tools needed soonest), from memory. A tool goes out only
    when its slot is needed.

    Args:
        row: The jobs in their order, none larger than the magazine [masks].
        slots: Tools that the magazine holds [-].
        mounted: Tools in it before the first job; 0 lets it be filled as the jobs want it [mask].

    Returns:
        One load for each job [masks].

    Example:
        >>> [bin(load) for load in magazine_loads([0b001, 0b110, 0b001], 2, 0)]
        ['0b101', '0b110', '0b101']
    """
    load = mounted
    if not load:
        needed = 0
        for job in row:
            needed |= job
        load = _needed_soonest(needed, row, 0, slots)
    loads = []
    for at, job in enumerate(row):
        others = load & ~job
        load = job | _needed_soonest(others, row, at + 1, slots - job.bit_count())
        loads.append(load)
    return loads


def _needed_soonest(tools: int, row: Sequence[int], start: int, count: int) -> int:
    """So many of the tools: those needed soonest from a position on, then any others."""
    kept = 0
    for at in range(start, len(row) + 1):
        due = tools & ~kept & (row[at] if at < len(row) else tools)
        over = kept.bit_count() + due.bit_count() - count
        while over > 0:
            due &= due - 1
            over -= 1
        kept |= due
        if kept.bit_count() == count:
            break
    return kept
