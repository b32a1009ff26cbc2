"""The least insertions for a few jobs, proven: sets of jobs from both ends, met in the middle.

Orders of the same set of jobs differ, for all that comes after, only in their insertions and in
which tools they can hand on. One that can hand on whatever another can, for no more, makes the
other one needless. An order read backwards costs the same, so the end of the work is built like
its beginning.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from crib.trade.changes.order_search import hold


class _Limit(NamedTuple):
    """At most so many of these tools can be handed on; the sets of one part lie in each other."""

    most: int
    tools: int


class _Part(NamedTuple):
    """Jobs done in an order: insertions, positions since the magazine was full, slots left."""

    inserted: int
    row: tuple[int, ...]
    free: tuple[int, ...]
    reach: int
    order: tuple[int, ...]
    limits: tuple[_Limit, ...] = ()


_Parts = dict[int, list[_Part]]


class OutOfTime(Exception):
    """The search was stopped before it was through."""


class ExactSearch:
    """The search for an order with fewer insertions than known, or the proof that none exists."""

    def __init__(self, jobs: list[int], slots: int, head: int, stopped: Callable[[], bool]) -> None:
        self._jobs, self._slots, self._head, self._stopped = jobs, slots, head, stopped
        self._everything = (1 << len(jobs)) - 1
        self._tools = _tools_of_sets(jobs)
        self._rests = self._least_rests(0)

    def least_bound(self) -> int:
        """A lower bound of the insertions after the first job, or after what is mounted."""
        if self._head:
            return (self._tools[-1] & ~self._head).bit_count()
        singles = range(len(self._jobs))
        return min(self._rests[self._everything ^ (1 << job)][job] for job in singles)

    def better(self, known: int) -> tuple[int, tuple[int, ...]] | None:
        """Fewer insertions than known and their order, or ``None`` as the proof of none.

        With tools mounted theirs do not count; without, the first filling counts too.

        Raises:
            OutOfTime: When the search was stopped.
        """
        half = (len(self._jobs) + 1) // 2
        if self._head:
            more = known + self._head.bit_count()
            towards_head = self._least_rests(self._head)
            backs = self._grown(0, len(self._jobs) - half, more, towards_head, {})
            fronts = self._grown(self._head, half, known, self._rests, backs)
        else:
            fronts = backs = self._grown(0, half, known, self._rests, {})
        best: tuple[int, tuple[int, ...]] | None = None
        for done, front in fronts.items():
            rest = self._everything ^ done
            if done.bit_count() != half or rest not in backs:
                continue
            shared = self._tools[rest] & (self._tools[done] | self._head)
            for inserted, order in _joined(front, backs[rest], shared, known):
                known, best = inserted, (inserted, order)
        return best

    def _grown(
        self, head: int, size: int, known: int, rests: list[list[int]], backs: _Parts
    ) -> _Parts:
        """All parts of up to so many jobs that may belong to a better order."""
        parts: _Parts = {}
        free = self._slots - head.bit_count()
        layer: _Parts = {0: [_Part(0, (head,), (free,), head, ())]}
        beyond = self._head & ~head
        for done in range(size + 1):
            grown: _Parts = {}
            ends = backs or ({**parts, **layer} if not self._head else {})
            for jobs, found in layer.items():
                rest = self._everything ^ jobs
                least = 0
                if done == size and ends:
                    if rest not in ends:
                        continue
                    least = min(part.inserted for part in ends[rest])
                kept = self._undominated(found, self._tools[rest] | beyond, known, least)
                if not kept:
                    continue
                parts[jobs] = kept
                if done < size:
                    for part in kept:
                        self._grow(part, jobs, known, rests, grown)
            layer = grown
        return parts

    def _grow(
        self, part: _Part, done: int, known: int, rests: list[list[int]], grown: _Parts
    ) -> None:
        for job, tools in enumerate(self._jobs):
            if done >> job & 1:
                continue
            longer = _with_job(part, job, tools, self._slots)
            jobs = done | 1 << job
            if longer.inserted + rests[self._everything ^ jobs][job] < known:
                grown.setdefault(jobs, []).append(longer)

    def _undominated(self, parts: list[_Part], ground: int, known: int, least: int) -> list[_Part]:
        limited = [part._replace(limits=_limits(part, ground)) for part in parts]
        least = max(least, ground.bit_count())
        ranked = sorted(
            (part.inserted, -_most(ground, part.limits), part.order, part) for part in limited
        )
        kept: list[tuple[int, _Part]] = []
        seen: set[tuple[_Limit, ...]] = set()
        for inserted, negative, _order, part in ranked:
            if self._stopped():
                raise OutOfTime
            if inserted + least + negative >= known or part.limits in seen:
                continue
            seen.add(part.limits)
            if not _is_dominated(part, -negative, kept):
                kept.append((-negative, part))
        return [part for _most_handed, part in kept]

    def _least_rests(self, end: int) -> list[list[int]]:
        """For each set of jobs to do and the job before it: the least insertions to come.

        The tools of the end are wanted after them all.
        """
        slots, jobs = self._slots, self._jobs
        pairs = [[max(0, (a | b).bit_count() - slots) for b in jobs] for a in jobs]
        rests = [[max(0, (job | end).bit_count() - slots) for job in jobs]]
        for todo in range(1, self._everything + 1):
            members = [job for job in range(len(jobs)) if todo >> job & 1]
            nexts = [(job, rests[todo ^ (1 << job)][job]) for job in members]
            tools = self._tools[todo] | end
            row = [0] * len(jobs)
            for last, steps in enumerate(pairs):
                if not todo >> last & 1:
                    path = min(steps[job] + rest for job, rest in nexts)
                    row[last] = max(path, (tools | jobs[last]).bit_count() - slots)
            rests.append(row)
            if not todo & 255 and self._stopped():
                raise OutOfTime
        return rests


def _tools_of_sets(jobs: list[int]) -> list[int]:
    tools = [0] * (1 << len(jobs))
    for jobs_set in range(1, len(tools)):
        lowest = jobs_set & -jobs_set
        tools[jobs_set] = tools[jobs_set ^ lowest] | jobs[lowest.bit_length() - 1]
    return tools


def _with_job(part: _Part, job: int, tools: int, slots: int) -> _Part:
    keep = tools & part.reach
    inserted = part.inserted + tools.bit_count() - keep.bit_count()
    free, row = list(part.free), (*part.row, tools)
    want = keep & ~part.row[-1]
    full = -1
    if want:
        refused, full = hold(want, part.row, free, len(part.row))
        inserted += refused
    left = slots - tools.bit_count()
    free.append(left)
    if left == 0:
        full = len(row) - 1
    if full < 0:
        return _Part(inserted, row, tuple(free), part.reach | tools, (*part.order, job))
    row, reach = row[full:], 0
    for position in row:
        reach |= position
    return _Part(inserted, row, tuple(free[full:]), reach, (*part.order, job))


def _limits(part: _Part, ground: int) -> tuple[_Limit, ...]:
    """What bounds the tools of the ground that can be handed on, the smallest set first."""
    outside, found = ground, []
    for position in range(len(part.row) - 1, 0, -1):
        outside &= ~part.row[position]
        found.append(_Limit(part.free[position], outside))
    found.append(_Limit(0, outside & ~part.row[0]))
    binding: list[_Limit] = []
    for limit in reversed(found):
        if limit.most < _most(limit.tools, binding):
            binding.append(limit)
    return tuple(binding)


def _most(tools: int, limits: tuple[_Limit, ...] | list[_Limit]) -> int:
    """How many of the tools can be handed on together."""
    least = tools.bit_count()
    for most, inside in limits:
        count = most + (tools & ~inside).bit_count()
        if count < least:
            least = count
    return least


def _is_dominated(part: _Part, handed: int, others: list[tuple[int, _Part]]) -> bool:
    """Whether another can hand on what the part can, for no more insertions in all."""
    inserted, limits = part.inserted, part.limits
    for most_handed, other in others:
        gap = inserted - other.inserted
        if handed - most_handed > gap:
            continue
        for most, tools in other.limits:
            enough = most + gap
            if tools.bit_count() > enough and _most(tools, limits) > enough:
                break
        else:
            return True
    return False


def _joined(
    fronts: list[_Part], backs: list[_Part], shared: int, known: int
) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Ever better orders of a front and a back, each below what was known."""
    for front in fronts:
        most = _most(shared, front.limits)
        for back in backs:
            if front.inserted + back.inserted - most >= known:
                break
            together = front.inserted + back.inserted - _most_of_both(shared, front, back)
            if together < known:
                known = together
                yield together, front.order + back.order[::-1]


def _most_of_both(shared: int, front: _Part, back: _Part) -> int:
    """How many tools the front can hand to the back."""
    least = _most(shared, back.limits)
    for most, inside in front.limits:
        least = min(least, most + _most(shared & ~inside, back.limits))
    return min(least, _most(shared, front.limits))
