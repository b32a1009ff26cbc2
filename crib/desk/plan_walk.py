"""Walk through tasks in an order and count what is put into the magazines.

Of the sets of tools in a magazine that is full, the one that is wanted again last goes out. A set
that shares a piece with the one coming in goes out first, since the piece is needed.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from crib.desk.plan_tasks import Magazine, Task, Tools

Key = tuple[object, ...]
Loads = dict[Key, list[Tools]]


@dataclass
class Walk:
    """What went in before each task, and what stands in the magazines at the end."""

    puts: list[frozenset[tuple[Key, Tools]]] = field(default_factory=list)
    loads: Loads = field(default_factory=dict)

    @property
    def changes(self) -> int:
        """Sets of tools that were put in."""
        return sum(len(one) for one in self.puts)


def mounted_now(magazines: Mapping[Key, Magazine], tasks: Sequence[Task]) -> Loads:
    """What stands in the magazines, by the sets that the tasks want where it is one of them."""
    loads: Loads = {}
    for key, magazine in magazines.items():
        wanted = sorted({tools for task in tasks for tools in task.needs(key)}, key=sorted)
        standing = (
            next((tools for tools in wanted if tools <= there), there)
            for there in magazine.mounted
            if there
        )
        loads[key] = list(dict.fromkeys(standing))
    return loads


def walk(tasks: Sequence[Task], magazines: Mapping[Key, Magazine], loads: Loads) -> Walk:
    """Do the tasks in this order, beginning with what stands in the magazines."""
    done = Walk(loads={key: list(held) for key, held in loads.items()})
    times = _times(tasks, magazines)
    for at, task in enumerate(tasks):
        put = set()
        for key, magazine in magazines.items():
            needs = task.needs(key)
            held = done.loads.setdefault(key, [])
            for tools in sorted(needs - set(held), key=sorted):
                _make_room(held, tools, needs, magazine.slots, times.get(key, {}), at)
                held.append(tools)
                put.add((key, tools))
        done.puts.append(frozenset(put))
    return done


def _times(
    tasks: Sequence[Task], magazines: Mapping[Key, Magazine]
) -> dict[Key, dict[Tools, list[int]]]:
    times: dict[Key, dict[Tools, list[int]]] = {}
    for at, task in enumerate(tasks):
        for key in magazines:
            for tools in task.needs(key):
                times.setdefault(key, {}).setdefault(tools, []).append(at)
    return times


def _make_room(
    held: list[Tools],
    coming: Tools,
    needs: frozenset[Tools],
    slots: int,
    times: Mapping[Tools, Sequence[int]],
    at: int,
) -> None:
    for tools in [one for one in held if one & coming]:
        held.remove(tools)
    while len(held) >= slots:
        spare = [one for one in held if one not in needs]
        held.remove(max(spare, key=lambda one: (_next(times.get(one, ()), at), sorted(one))))


def _next(times: Sequence[int], at: int) -> float:
    place = bisect_right(times, at)
    return times[place] if place < len(times) else float("inf")
