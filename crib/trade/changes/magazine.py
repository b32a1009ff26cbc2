"""What a magazine keeps while jobs pass; tools are bits, a job is the mask of what it needs."""

from __future__ import annotations

from collections.abc import Sequence

from crib.trade.changes.order_search import nothing_known, take


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
    if not row:
        return 0
    known = nothing_known(list(row))
    take(list(row), 0, len(row), slots, 0, known)
    return known[0][-1]


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
