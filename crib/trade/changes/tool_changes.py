"""The order of jobs that needs the fewest tool changes, on a machine that holds several tools.

Every job needs a set of tools at once, and the machine holds only so many. Between jobs tools go in
and out; what counts is how many go in.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from time import perf_counter

from crib.errors import BadValue
from crib.trade.changes.cooling import Annealed, cooled, cooled_again, first_chance
from crib.trade.changes.exact_orders import ExactSearch, OutOfTime
from crib.trade.changes.magazine import kept_uses, magazine_loads
from crib.trade.changes.order_search import annealed as plain_annealed
from crib.trade.changes.part_bounds import part_bounds
from crib.trade.common.guards import require_not_negative, require_positive

# Up to the first number a proof gets all the time, up to the second it is tried for a while.
_PROVEN_JOBS, _TRIED_JOBS = 13, 16
_TRIED_SHARE = 0.6
_FIRST_STEPS_EACH = 400
# Another Python is at work after a tenth of a second, compiled code after half of one.
_WORTH_HELP_S = 1.0
# The share of the time for a bound of a long order.
_BOUND_SHARE = 0.15


@dataclass(frozen=True, slots=True)
class OrderSearch:
    """What an order is looked for, for others who look beside: masks, and what stands first.

    ``first`` masks at the beginning of the row stay; ``enough`` kept uses cannot be bettered.
    """

    row: tuple[int, ...]
    slots: int
    first: int
    enough: int
    seconds: float


Rows = Callable[[], list[list[int]]]


@dataclass(frozen=True, slots=True)
class Help:
    """What helps where an order takes more than a moment: faster annealing, others who look too.

    ``annealed`` is asked by how many bits the masks have; ``beside`` begins the others, who end
    with its block and tell their rows when they are asked, in the time there is.
    """

    annealed: Callable[[int], Annealed] = lambda _bits: plain_annealed
    beside: Callable[[OrderSearch], AbstractContextManager[Rows]] = lambda _search: nullcontext(
        list
    )


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
    help_by: Help = Help(),
    told: Callable[[float], None] = lambda _share: None,
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
        help_by: Faster annealing, and others who look too; nobody unless it is given [-].
        told: What is told again and again how much of the time is over, 1 for all of it [-].

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
    watch = _Watch(clock, seconds, told)
    row, bound = _searched(task, watch, seed, help_by)
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
        return self.uses - kept_uses(self.headed(row), self.slots) - self.free

    @property
    def heads(self) -> int:
        """How many masks of what is mounted stand before the row: one or none."""
        return 1 if self.mounted else 0

    def headed(self, row: list[int]) -> list[int]:
        """The row behind what is mounted."""
        return [self.head] * self.heads + row

    def enough(self, bound: int) -> int:
        """The kept uses that meet a bound."""
        return self.uses - self.free - bound

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

    def __init__(
        self, clock: Callable[[], float], seconds: float, told: Callable[[float], None]
    ) -> None:
        self._clock, self._seconds, self._began = clock, seconds, clock()
        self._told = told

    def share(self) -> float:
        """The share of the time that is used up; 1 or more is the end."""
        if self._seconds == 0:
            return 1.0
        share = (self._clock() - self._began) / self._seconds
        self._told(share)
        return share

    def left(self) -> float:
        """The seconds left."""
        return self._seconds * (1 - self.share())


def _searched(task: _Task, watch: _Watch, seed: int, help_by: Help) -> tuple[list[int], int]:
    """The best row found, and what no row can go below."""
    bound, chance = task.least_bound(), first_chance(seed)
    row = min(task.row, _chained(task.row), key=task.changes)
    if len(row) <= _TRIED_JOBS and task.changes(row) > bound:
        steps = _FIRST_STEPS_EACH * max(1, len(row))
        found, chance = cooled(
            task.headed(row),
            task.slots,
            task.heads,
            chance,
            lambda step: max(step / steps, watch.share()),
            task.enough(bound),
        )
        row, bound = _proven(task, found[task.heads :], bound, watch)
    if watch.share() >= 1 or task.changes(row) <= bound:
        return row, bound
    if watch.left() < _WORTH_HELP_S:
        help_by = Help()
    return _looked_for(task, row, bound, watch, chance, help_by)


def _looked_for(
    task: _Task, row: list[int], bound: int, watch: _Watch, chance: int, help_by: Help
) -> tuple[list[int], int]:
    """The best row of all who look for one, and a bound of some of its jobs."""
    headed, enough = task.headed(row), task.enough(bound)
    search = OrderSearch(tuple(headed), task.slots, task.heads, enough, watch.left())
    with help_by.beside(search) as rows_beside:
        if len(row) > _TRIED_JOBS:
            until = watch.share() + _BOUND_SHARE * (1 - watch.share())
            parts = part_bounds(row, task.slots, task.mounted, lambda: watch.share() >= until)
            bound = max([bound, *parts])
        found = cooled_again(
            headed,
            task.slots,
            task.heads,
            chance,
            watch.share,
            task.enough(bound),
            help_by.annealed(max(job.bit_length() for job in headed)),
        )
        rows = [row, *(one[task.heads :] for one in (found, *rows_beside()))]
    return min(rows, key=task.changes), bound


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
