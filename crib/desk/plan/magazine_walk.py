"""Walk through tasks in an order and count what is put into the magazines.

Of the sets of tools in a magazine that is full, the one that is wanted again last goes out. A set
that shares a piece with the one coming in goes out first, since the piece is needed.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from crib.desk.plan.tasks import Magazine, Task, Tools

Key = tuple[object, ...]
Put = tuple[Key, Tools]
Loads = dict[Key, list[Tools | None]]
"""What stands in each slot of each magazine."""


@dataclass
class Walk:
    """What went in before each task and where its tools stand; what stands there at the end."""

    puts: list[frozenset[Put]] = field(default_factory=list)
    slots: list[dict[Put, int]] = field(default_factory=list)
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
        loads[key] = [
            next((tools for tools in wanted if tools <= there), there or None)
            for there in magazine.mounted
        ]
    return loads


def sets_in(loads: Loads, key: Key) -> list[Tools]:
    """The sets of tools in a magazine."""
    return [tools for tools in loads.get(key, ()) if tools]


def walk(tasks: Sequence[Task], magazines: Mapping[Key, Magazine], loads: Loads) -> Walk:
    """Do the tasks in this order, beginning with what stands in the magazines."""
    done = Walk(loads={key: list(held) for key, held in loads.items()})
    times = _times(tasks, magazines)
    for at, task in enumerate(tasks):
        put: set[Put] = set()
        slots: dict[Put, int] = {}
        for key, magazine in magazines.items():
            needs = task.needs(key)
            held = done.loads.setdefault(key, [None] * magazine.slots)
            for tools in sorted(needs - set(held), key=sorted):
                _mount(held, tools, needs, times.get(key, {}), at)
                put.add((key, tools))
            slots |= {(key, tools): held.index(tools) for tools in needs}
        done.puts.append(frozenset(put))
        done.slots.append(slots)
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


def _mount(
    held: list[Tools | None],
    coming: Tools,
    needs: frozenset[Tools],
    times: Mapping[Tools, Sequence[int]],
    at: int,
) -> None:
    """Put a set in: where one with the same piece goes out, into an empty slot, or for another."""
    clashing = [slot for slot, tools in enumerate(held) if tools and tools & coming]
    for slot in clashing:
        held[slot] = None
    if None in held:
        slot = clashing[0] if clashing else held.index(None)
    else:
        spare = [(tools, slot) for slot, tools in enumerate(held) if tools and tools not in needs]
        slot = max(spare, key=lambda one: (_next(times.get(one[0], ()), at), sorted(one[0])))[1]
    held[slot] = coming


def _next(times: Sequence[int], at: int) -> float:
    place = bisect_right(times, at)
    return times[place] if place < len(times) else float("inf")
