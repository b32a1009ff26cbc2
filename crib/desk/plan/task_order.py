"""The order of the tasks at each machine that needs the fewest tool changes.

Jobs that are due earlier come first; within one due date the order is free. Sorts of work follow
one another as they do in a shop: cut, punch, notch, bend. Within those limits each magazine's best
order is found, and of these the one with the fewest changes over all magazines is taken; it is
never worse than the order given.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import groupby

from crib.desk.plan.magazine_walk import Key, Loads, Put, mounted_now, sets_in, walk
from crib.desk.plan.search_time import Progress, SearchTime, nobody, seconds_needed
from crib.desk.plan.side_by_side import everything_that_helps
from crib.desk.plan.tasks import Magazine, Task, Tools
from crib.trade.changes.tool_changes import fewest_changes

_MOST_TRIALS = 400
_SMALL = 60
_LOOK_AHEAD = 6
"""Blocks that are looked at for what may stay in."""


@dataclass(frozen=True)
class OrderedTasks:
    """One machine's tasks in order, what goes in before each, and how good the order is.

    ``changes`` count every set of tools that is put in; ``given_changes`` those of the order given.
    """

    machine: str
    tasks: tuple[Task, ...]
    puts: tuple[frozenset[Put], ...]
    slots: tuple[dict[Put, int], ...]
    changes: int
    given_changes: int
    free_changes: int
    least: int

    @property
    def proven(self) -> bool:
        """Whether no order within the limits needs fewer changes."""
        return self.changes <= self.least


@dataclass(frozen=True)
class _Block:
    """Tasks that may be mixed, in an order with a bound that no order of them goes below."""

    tasks: tuple[Task, ...]
    bounds: Mapping[Key, int]


def order_tasks(
    tasks: Sequence[Task],
    magazines: Mapping[Key, Magazine],
    *,
    in_order: bool = False,
    seconds: float | None = None,
    told: Progress = nobody,
) -> list[OrderedTasks]:
    """The tasks of each machine in the best order found, or in the order given.

    It takes the time that their number needs, or so many seconds in all.
    """
    machines = sorted({task.machine for task in tasks})
    found = []
    time = SearchTime(sum(_needed_s(block, magazines) for block in _blocks(tasks)), seconds, told)
    for name in machines:
        own = [task for task in tasks if task.machine == name]
        at = {key: one for key, one in magazines.items() if one.machine == name}
        found.append(_order(name, own, at, in_order=in_order, time=time))
    time.over()
    return found


def _order(
    machine: str,
    tasks: Sequence[Task],
    magazines: Mapping[Key, Magazine],
    *,
    in_order: bool,
    time: SearchTime,
) -> OrderedTasks:
    loads = mounted_now(magazines, tasks)
    given = sorted(tasks, key=lambda task: task.chunk.job.turn)
    free, bounds = _free(_blocks(given), magazines, loads, time)
    walks = {
        name: walk(order, magazines, loads) for name, order in (("given", given), ("free", free))
    }
    best = "given" if in_order or walks["given"].changes <= walks["free"].changes else "free"
    return OrderedTasks(
        machine,
        tuple(given if best == "given" else free),
        tuple(walks[best].puts),
        tuple(walks[best].slots),
        walks[best].changes,
        walks["given"].changes,
        min(one.changes for one in walks.values()),
        _least(tasks, magazines, loads, bounds),
    )


def _blocks(tasks: Sequence[Task]) -> list[tuple[Task, ...]]:
    """The tasks of each machine that may be mixed: of one due date, of one sort of work."""

    def turn(task: Task) -> tuple[str, tuple[bool, int, bool, str], int]:
        return task.machine, task.chunk.job.turn, task.phase

    return [tuple(block) for _turn, block in groupby(sorted(tasks, key=turn), key=turn)]


def _needed_s(block: Sequence[Task], magazines: Mapping[Key, Magazine]) -> float:
    """The seconds that the orders of one block need, one for each magazine that it uses."""
    return sum(
        seconds_needed(len(sets))
        for key in magazines
        if (sets := {task.needs(key) for task in block} - {frozenset()})
    )


def _free(
    blocks: Sequence[tuple[Task, ...]],
    magazines: Mapping[Key, Magazine],
    loads: Loads,
    time: SearchTime,
) -> tuple[list[Task], dict[Key, int]]:
    """The blocks one after another, each begun with what the one before left standing.

    Beside them what no order goes below, by magazine: the bound of the first block that uses it,
    which finds it as it stands now, and of every later one what it wants beyond a full magazine.
    """
    found: list[Task] = []
    bounds: dict[Key, int] = {}
    for place, block in enumerate(blocks):
        after = _wanted(blocks[place + 1 :], magazines)
        done = _block(block, magazines, loads, after, time)
        loads = walk(done.tasks, magazines, loads).loads
        found += done.tasks
        for key, bound in done.bounds.items():
            sets = {tools for task in block for tools in task.needs(key)}
            later = max(len(sets) - magazines[key].slots, 0)
            bounds[key] = bounds[key] + later if key in bounds else bound
    return found, bounds


def _wanted(
    blocks: Sequence[tuple[Task, ...]], magazines: Mapping[Key, Magazine]
) -> dict[Key, set[Tools]]:
    """What the next block that uses each magazine wants in it."""
    found: dict[Key, set[Tools]] = {}
    for block in blocks[:_LOOK_AHEAD]:
        for key in magazines:
            sets = {tools for task in block for tools in task.needs(key)}
            if sets:
                found.setdefault(key, sets)
    return found


def _block(
    tasks: tuple[Task, ...],
    magazines: Mapping[Key, Magazine],
    loads: Loads,
    after: Mapping[Key, set[Tools]],
    time: SearchTime,
) -> _Block:
    used = [key for key in magazines if any(task.needs(key) for task in tasks)]
    orders, bounds = [list(tasks)], {}
    for key in used:
        order, bounds[key] = _by_magazine(tasks, magazines[key], loads, time)
        orders.append(order)
    orders += list(_by_several(tasks, used, orders[1:]))
    best = min(orders, key=lambda order: walk(order, magazines, loads).changes)
    best = _moved(best, magazines, loads, sum(bounds.values()))
    ends = [
        best,
        *(
            _last(best, key, tools)
            for key in used
            for tools in sorted(after.get(key, ()), key=sorted)
        ),
    ]
    return _Block(tuple(min(ends, key=partial(_worth, magazines, loads, after))), bounds)


def _last(order: Sequence[Task], key: Key, tools: Tools) -> list[Task]:
    """The order with everything that wants one set of tools at its end."""
    return sorted(order, key=lambda task: tools in task.needs(key))


def _worth(
    magazines: Mapping[Key, Magazine],
    loads: Loads,
    after: Mapping[Key, set[Tools]],
    order: Sequence[Task],
) -> int:
    """Changes of an order, less what it leaves standing for the work that follows."""
    done = walk(order, magazines, loads)
    left = sum(tools in after.get(key, ()) for key in magazines for tools in done.loads[key])
    return done.changes - left


def _by_magazine(
    tasks: Sequence[Task], magazine: Magazine, loads: Loads, time: SearchTime
) -> tuple[list[Task], int]:
    """The best order for one magazine, and how many changes none of its orders goes below."""
    sets = sorted(
        {tools for task in tasks for tools in task.needs(magazine.key)}
        | set(sets_in(loads, magazine.key)),
        key=sorted,
    )
    number = {tools: place for place, tools in enumerate(sets)}
    jobs = [frozenset(number[need] for need in task.needs(magazine.key)) for task in tasks]
    mounted = frozenset(number[one] for one in sets_in(loads, magazine.key))
    found = fewest_changes(
        jobs,
        magazine.slots,
        mounted=mounted,
        seconds=time.share(seconds_needed(len({*jobs} - {frozenset()}))),
        help_by=everything_that_helps(),
        told=time.tell,
    )
    # With nothing mounted the first filling is not counted there; here everything put in is.
    filling = 0 if mounted else min(magazine.slots, len(sets))
    return [tasks[place] for place in found.order], found.lower_bound + filling


def _by_several(
    tasks: Sequence[Task], keys: Sequence[Key], orders: Sequence[Sequence[Task]]
) -> Iterator[list[Task]]:
    """Orders by the tools of two magazines: those of one together, within them the other's."""
    places = [dict(_first_uses(order, key)) for key, order in zip(keys, orders, strict=True)]
    for first in range(len(keys)):
        turns = [first, *(other for other in range(len(keys)) if other != first)]
        yield sorted(tasks, key=partial(_turn, keys=keys, places=places, turns=turns))


def _turn(
    task: Task,
    keys: Sequence[Key],
    places: Sequence[Mapping[Tools, int]],
    turns: Sequence[int],
) -> list[list[int]]:
    """Where a task's tools come in the order of each magazine, one magazine after the other."""
    return [sorted(places[turn][need] for need in task.needs(keys[turn])) for turn in turns]


def _first_uses(order: Sequence[Task], key: Key) -> Iterator[tuple[Tools, int]]:
    seen: set[Tools] = set()
    for task in order:
        for tools in sorted(task.needs(key) - seen, key=sorted):
            seen.add(tools)
            yield tools, len(seen)


def _moved(
    order: list[Task], magazines: Mapping[Key, Magazine], loads: Loads, least: int
) -> list[Task]:
    """The order with single tasks moved to wherever that saves a change."""
    now = walk(order, magazines, loads).changes
    trials = _MOST_TRIALS if len(order) <= _SMALL else 0
    while now > least and trials > 0:
        for trial in _moves(order):
            trials -= 1
            changes = walk(trial, magazines, loads).changes
            if changes < now:
                order, now = trial, changes
                break
            if trials <= 0:
                break
        else:
            break
    return order


def _moves(order: Sequence[Task]) -> Iterator[list[Task]]:
    for start in range(len(order)):
        rest = [*order[:start], *order[start + 1 :]]
        for end in range(len(order)):
            if end not in (start, start - 1):
                yield [*rest[:end], order[start], *rest[end:]]


def _least(
    tasks: Sequence[Task],
    magazines: Mapping[Key, Magazine],
    loads: Loads,
    bounds: Mapping[Key, int],
) -> int:
    """What no order goes below; what is not mounted goes in at least once."""
    total = 0
    for key in magazines:
        wanted = {tools for task in tasks for tools in task.needs(key)}
        total += max(len(wanted - set(sets_in(loads, key))), bounds.get(key, 0))
    return total
