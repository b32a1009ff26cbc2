"""What no order of many jobs can go below: what some of them need in the best of their own orders.

Jobs left out never make the others need more. A tool that only those left out need goes in once at
least. So the jobs that share the least are looked at, ever more of them, each time proven.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from crib.trade.changes.exact_orders import ExactSearch, OutOfTime
from crib.trade.changes.magazine import kept_uses

_FEWEST, _MOST = 8, 16


def part_bounds(
    row: list[int], slots: int, mounted: int, stopped: Callable[[], bool]
) -> Iterator[int]:
    """Bounds of the changes, of ever more of the jobs, as long as there is time.

    Source: common practice (leaving jobs out is a relaxation).

    Args:
        row: The jobs, none within another [masks].
        slots: Tools that the magazine holds [-].
        mounted: Tools in it before the first job, 0 for a first filling that is free [mask].
        stopped: Whether time is over [-].

    Returns:
        Changes that no order of all the jobs goes below [-].

    Example:
        >>> jobs = [1 << tool | 2 << tool for tool in range(10)]
        >>> list(part_bounds(jobs, 2, 0, lambda: False))
        [9, 9, 9]
    """
    needed = _tools(row)
    free = 0 if mounted else min(slots, needed.bit_count())
    unlike = _unlike(row, slots)
    for count in range(_FEWEST, min(len(unlike), _MOST) + 1):
        jobs = unlike[:count]
        beside = (needed & ~_tools(jobs) & ~mounted).bit_count()
        try:
            yield _fewest_inserted(jobs, slots, mounted, stopped) + beside - free
        except OutOfTime:
            return


def _tools(jobs: list[int]) -> int:
    tools = 0
    for job in jobs:
        tools |= job
    return tools


def _unlike(row: list[int], slots: int) -> list[int]:
    """The jobs, each time the one that shares least with those before it."""
    rest = list(row)
    found = [max(rest, key=int.bit_count)]
    rest.remove(found[0])
    near, total = dict.fromkeys(rest, slots), dict.fromkeys(rest, 0)
    while rest:
        for job in rest:
            away = max(0, (job | found[-1]).bit_count() - slots)
            near[job] = min(near[job], away)
            total[job] += away
        found.append(max(rest, key=lambda job: (near[job], total[job], job.bit_count())))
        rest.remove(found[-1])
    return found


def _fewest_inserted(jobs: list[int], slots: int, mounted: int, stopped: Callable[[], bool]) -> int:
    """Tools put in, the first filling too, but not what is mounted."""
    head = mounted & _tools(jobs)
    row = [head, *jobs] if mounted else jobs
    known = sum(job.bit_count() for job in row) - kept_uses(row, slots) - head.bit_count()
    better = ExactSearch(jobs, slots, head, stopped).better(known)
    return better[0] if better else known
