"""The order of jobs that needs the fewest tool changes, on a machine that holds several tools.

Every job needs a set of tools at once, and the machine holds only so many. Between jobs tools go in
and out; what counts is how many go in.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import perf_counter

from crib.errors import BadValue
from crib.trade.changes.exact_orders import ExactSearch, OutOfTime
from crib.trade.changes.magazine import kept_uses, magazine_loads
from crib.trade.changes.order_search import Draws, annealed
from crib.trade.common.guards import require_not_negative, require_positive

# Up to the first number a proof gets all the time, up to the second it is tried for a while.
_PROVEN_JOBS, _TRIED_JOBS = 13, 16
_TRIED_SHARE = 0.6
_FIRST_STEPS_EACH = 400
_ROUNDS = 3
_LONG_ORDER = 24


@dataclass(frozen=True, slots=True)
class ToolChanges:
    """An order of jobs, the tools in the machine during each, and how many had to go in.

    ``order`` holds positions in the jobs as given; ``loads`` follows the order. ``proven`` says
    that no order needs fewer changes; otherwise ``lower_bound`` is what none can go below.
    """

    order: tuple[int, ...]
    loads: tuple[frozenset[int], ...]
    changes: int
    lower_bound: int
    proven: bool


def fewest_changes(
    jobs: Sequence[frozenset[int]],
    slots: int,
    *,
    mounted: frozenset[int] = frozenset(),
    seconds: float = 10.0,
    seed: int = 0,
    clock: Callable[[], float] = perf_counter,
) -> ToolChanges:
    """The order of jobs with the fewest tools put in, the least there is or the best found in time.

    With nothing mounted the first filling of the machine is free: only tools put in after it count.
    With tools mounted they are there from the start, and every other tool put in counts, also one
    for the first job or into an empty slot. Taking a tool out never counts. The order given is
    kept unless another needs fewer.

    Source: Tang and Denardo 1988 (the problem, and to keep the tools needed soonest), Crama, Kolen,
    Oerlemans and Spieksma 1994 (jobs within jobs, the instances it was tried on), from memory.

    Args:
        jobs: The tools that each job needs, in the order in which they would be done [-].
        slots: Tools that the machine holds [-].
        mounted: Tools in the machine before the first job [-].
        seconds: The longest to look for; less when the least is proven before [s].
        seed: Which chances are taken; the same answer for the same seed, time permitting [-].
        clock: What tells how many seconds went by; the machine's own unless a test brings one [s].

    Returns:
        The order, the loads, the changes and whether they are the least [-].

    Raises:
        BadValue: When a job or what is mounted needs more slots than there are, or the slots or
            the seconds are out of range.

    Example:
        >>> found = fewest_changes([frozenset({1, 2}), frozenset({3, 4}), frozenset({2, 3})], 2)
        >>> found.order, found.changes, found.proven
        ((0, 2, 1), 2, True)
    """
    _check(jobs, slots, mounted, seconds)
    task = _Task(jobs, slots, mounted)
    watch = _Watch(clock, seconds)
    row, bound = _searched(task, watch, Draws(seed))
    given = task.answer(range(len(jobs)), bound)
    found = task.answer(task.expanded(row), bound)
    return found if found.changes < given.changes else given


def _check(
    jobs: Sequence[frozenset[int]], slots: int, mounted: frozenset[int], seconds: float
) -> None:
    require_positive(slots=slots)
    require_not_negative(seconds=seconds)
    for number, job in enumerate(jobs):
        if len(job) > slots:
            message = f"jobs[{number}] needs {len(job)} tools, the machine holds {slots}"
            raise BadValue(message, way_out="split the job, or do it on a machine that holds more")
    if len(mounted) > slots:
        message = f"{len(mounted)} tools are mounted, the machine holds {slots}"
        raise BadValue(message, way_out="say only the tools that are in the machine")


class _Task:
    """The jobs as masks, each that lies within another one left to go along with it."""

    def __init__(self, jobs: Sequence[frozenset[int]], slots: int, mounted: frozenset[int]) -> None:
        self.slots = slots
        self._tools = sorted(mounted.union(*jobs))
        bits = {tool: 1 << number for number, tool in enumerate(self._tools)}
        self._jobs = [sum(bits[tool] for tool in job) for job in jobs]
        self.mounted = sum(bits[tool] for tool in mounted)
        self.needed = 0
        for job in self._jobs:
            self.needed |= job
        self.head = self.mounted & self.needed
        self._along = self._hosted()
        self.row = [mask for mask in self._along if mask & ~self.mounted]

    def _hosted(self) -> dict[int, list[int]]:
        """Each job that lies in no other, and the jobs done along with it."""
        hosts = [self.mounted, *sorted(set(self._jobs), key=int.bit_count, reverse=True)]
        along: dict[int, list[int]] = {}
        for number, job in enumerate(self._jobs):
            host = next(host for host in hosts if job & ~host == 0)
            along.setdefault(host, []).append(number)
        return along

    @property
    def free(self) -> int:
        """Insertions that do not count: what is mounted, or the first filling."""
        if self.mounted:
            return self.head.bit_count()
        return min(self.slots, self.needed.bit_count())

    @property
    def uses(self) -> int:
        """Uses of tools by the jobs of the row, and by what is mounted."""
        return self.head.bit_count() + sum(job.bit_count() for job in self.row)

    def expanded(self, row: Sequence[int]) -> list[int]:
        """The jobs as given, in the order of the row."""
        order = list(self._along.get(self.mounted, ()))
        for job in row:
            order += self._along[job]
        return order

    def changes(self, row: list[int]) -> int:
        """Tools put in for the jobs of the row."""
        head = [self.head] if self.mounted else []
        return self.uses - kept_uses(head + row, self.slots) - self.free

    def answer(self, order: Sequence[int], bound: int) -> ToolChanges:
        """The answer for an order of the jobs as given, its changes counted from the loads."""
        loads = magazine_loads([self._jobs[job] for job in order], self.slots, self.mounted)
        before = self.mounted or (loads[0] if loads else 0)
        changes = 0
        for load in loads:
            changes += (load & ~before).bit_count()
            before = load
        sets = {load: self._named(load) for load in loads}
        named = tuple(sets[load] for load in loads)
        return ToolChanges(tuple(order), named, changes, min(bound, changes), changes <= bound)

    def _named(self, load: int) -> frozenset[int]:
        return frozenset(tool for bit, tool in enumerate(self._tools) if load >> bit & 1)

    def least_bound(self) -> int:
        """What no order can go below: every tool once, and the cheapest tree from job to job."""
        if self.mounted:
            once = (self.needed & ~self.mounted).bit_count()
        else:
            once = self.needed.bit_count() - self.slots
        nodes = [self.head, *self.row] if self.mounted else self.row
        return max(0, once, _tree(nodes, self.slots))


def _tree(nodes: list[int], slots: int) -> int:
    """The cheapest tree that joins all jobs, by the tools two of them cannot hold together."""
    away = dict.fromkeys(nodes[1:], slots * 2)
    total, last = 0, nodes[0] if nodes else 0
    while away:
        for node, cost in away.items():
            away[node] = min(cost, max(0, (node | last).bit_count() - slots))
        last = min(away, key=away.__getitem__)
        total += away.pop(last)
    return total


class _Watch:
    """How much of the time is used up."""

    def __init__(self, clock: Callable[[], float], seconds: float) -> None:
        self._clock, self._seconds, self._began = clock, seconds, clock()

    def share(self) -> float:
        """The share of the time that is used up; 1 or more is the end."""
        if self._seconds == 0:
            return 1.0
        return (self._clock() - self._began) / self._seconds


def _searched(task: _Task, watch: _Watch, draws: Draws) -> tuple[list[int], int]:
    """The best row found, and what no row can go below."""
    bound = task.least_bound()
    row = min(task.row, _chained(task.row), key=task.changes)
    few = len(row) <= _TRIED_JOBS
    if few and task.changes(row) > bound:
        steps = _FIRST_STEPS_EACH * max(1, len(row))
        row = _annealed(task, row, draws, bound, lambda step: max(step / steps, watch.share()))
        row, bound = _proven(task, row, bound, watch)
    rounds = 1 if len(row) > _LONG_ORDER else _ROUNDS
    while watch.share() < 1 and task.changes(row) > bound:
        row = _annealed(task, row, draws, bound, _rest_of(watch, rounds))
        rounds = max(1, rounds - 1)
    return row, bound


def _rest_of(watch: _Watch, rounds: int) -> Callable[[int], float]:
    began = watch.share()
    part = (1 - began) / rounds
    return lambda _step: (watch.share() - began) / part if part > 0 else 1.0


def _annealed(
    task: _Task, row: list[int], draws: Draws, bound: int, progress: Callable[[int], float]
) -> list[int]:
    head = [task.head] if task.mounted else []
    enough = task.uses - task.free - bound
    found = annealed(head + row, task.slots, len(head), draws, progress, enough)
    return found[len(head) :]


def _proven(task: _Task, row: list[int], bound: int, watch: _Watch) -> tuple[list[int], int]:
    """The row, or a better one, and the bound that proves it; as they were when time is short."""
    until = 1.0 if len(row) <= _PROVEN_JOBS else _TRIED_SHARE
    counted = 0 if task.mounted else task.free
    known = task.changes(row)
    try:
        search = ExactSearch(row, task.slots, task.head, lambda: watch.share() >= until)
        bound = max(bound, search.least_bound())
        better = search.better(known + counted) if known > bound else None
    except OutOfTime:
        return row, bound
    if better is None:
        return row, known
    return [row[job] for job in better[1]], better[0] - counted


def _chained(row: list[int]) -> list[int]:
    """Each time the job that shares the most tools with the one before."""
    left, chain = row[1:], row[:1]
    while left:
        last = chain[-1]
        nearest = max(range(len(left)), key=lambda job: (left[job] & last).bit_count())
        chain.append(left.pop(nearest))
    return chain
