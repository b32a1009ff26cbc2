"""The order of tasks: never worse than the one given, the best where it can be counted out."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.desk.answer.rank import Candidate
from crib.desk.plan.magazine_walk import mounted_now, sets_in, walk
from crib.desk.plan.phrase_picks import Option
from crib.desk.plan.planned_parts import PlanFeature, PlanJob, PlanPart
from crib.desk.plan.share_parts import Assigned, Chunk
from crib.desk.plan.task_order import OrderedTasks, order_tasks
from crib.desk.plan.tasks import Magazine, Task, Tools, magazines_of, tasks_of
from crib.features.common.tooling import Station, Tool, ToolingSet

Wants = Sequence[frozenset[str]]


def stations(slots: int, seat: str = "A") -> list[Station]:
    """A turret's stations that take one seat."""
    return [
        Station(number, "M", f"{seat}{number}", seats=frozenset({seat}))
        for number in range(ord(seat) * 100, ord(seat) * 100 + slots)
    ]


def option(tag: str, station: Station) -> Option:
    """One punch in a station; tags with a dash name a punch and its die."""
    roles = ("punch", "die")
    tools = {
        role: Tool(role, "round", 20.0, 20.0, None, tag=one)
        for role, one in zip(roles, tag.split("-"), strict=False)
    }
    return Option(Candidate(ToolingSet(tools, station), (), {}, dict.fromkeys(tools, 1.0)), 0)


def part(number: int, tags: frozenset[str], at: dict[str, Station], job: PlanJob) -> Assigned:
    """A part that needs some tools, as it comes from sharing out; upper case tags sit in seat B."""
    features = tuple(PlanFeature(tag, 1) for tag in sorted(tags))
    made = PlanPart(job.name, f"B{number}", 3, features)
    options = {tag: option(tag, at["B" if tag.isupper() else "A"]) for tag in tags}
    return Assigned(Chunk(job, made, number, "punch", features), "M", options)


def shop(
    wants: Wants,
    slots: int = 1,
    slots_b: int = 0,
    *,
    mounted: Sequence[str] = (),
    dues: Sequence[str] = (),
) -> tuple[list[Task], dict[tuple[object, ...], Magazine]]:
    """The tasks of some parts at one machine, and its magazines."""
    every = [*stations(slots), *stations(slots_b, "B")]
    at = {next(iter(one.seats)): one for one in reversed(every)}
    assigned = [
        part(number, tags, at, PlanJob("J", (), dues[number] if dues else ""))
        for number, tags in enumerate(wants)
    ]
    standing = {one.id: frozenset(tag.split("-")) for one, tag in zip(every, mounted, strict=False)}
    magazines = magazines_of(assigned, every, standing)
    return tasks_of(assigned, magazines), magazines


def ordered(wants: Wants, slots: int = 1, slots_b: int = 0, **facts: Sequence[str]) -> OrderedTasks:
    """The best order found for one machine."""
    (found,) = order_tasks(*shop(wants, slots, slots_b, **facts), seconds=0.3)
    return found


def marks(found: OrderedTasks) -> list[str]:
    """The parts in order."""
    return [task.chunk.part.mark for task in found.tasks]


def want(*words: str) -> list[frozenset[str]]:
    """The tools of each part, as letters."""
    return [frozenset(word) for word in words]


def test_parts_with_one_pair_come_together() -> None:
    found = ordered(want("a", "b", "a", "b"))
    assert (found.changes, found.given_changes, found.proven) == (2, 4, True)
    assert marks(found) in (["B0", "B2", "B1", "B3"], ["B1", "B3", "B0", "B2"])


def test_what_is_mounted_comes_first() -> None:
    found = ordered(want("a", "b", "a"), mounted=["b"])
    assert (found.changes, marks(found)[0], found.proven) == (1, "B1", True)


def test_a_turret_holds_several_at_once() -> None:
    found = ordered(want("ab", "cd", "bc"), slots=2)
    assert (found.changes, found.proven) == (4, True)
    assert marks(found) == ["B0", "B2", "B1"]


def test_what_does_not_fit_together_is_run_for_each_set() -> None:
    found = ordered(want("abc", "a"), slots=2)
    assert sorted(marks(found)) == ["B0", "B0", "B0", "B1"]
    assert found.changes == 3
    assert sum(task.split for task in found.tasks) == 3


def test_a_punch_over_two_dies_is_never_in_two_places() -> None:
    found = ordered([frozenset({"p-d"}), frozenset({"p-e"}), frozenset({"p-d"})], slots=2)
    assert (found.changes, found.given_changes) == (2, 3)
    both = ordered([frozenset({"p-d", "p-e"})], slots=2)
    assert [task.split for task in both.tasks] == [True, True]


def test_a_due_date_goes_before_a_change_that_is_saved() -> None:
    found = ordered(want("a", "b", "a"), dues=["2026-06-01", "2026-06-02", "2026-06-03"])
    assert (marks(found), found.changes) == (["B0", "B1", "B2"], 3)
    same_day = ordered(want("a", "b", "a"), dues=["2026-06-01"] * 3)
    assert same_day.changes == 2


def test_the_order_given_is_kept_when_told_to() -> None:
    tasks, magazines = shop(want("a", "b", "a", "b"))
    (found,) = order_tasks(tasks, magazines, in_order=True, seconds=0.2)
    assert marks(found) == ["B0", "B1", "B2", "B3"]
    assert (found.changes, found.free_changes) == (4, 2)


WANTS = st.lists(
    st.frozensets(st.sampled_from("abcd"), min_size=1, max_size=3), min_size=1, max_size=6
)
BOTH = st.lists(
    st.frozensets(st.sampled_from("abcABC"), min_size=1, max_size=3), min_size=1, max_size=6
)


@settings(max_examples=40, deadline=None)
@given(WANTS, st.integers(1, 3), st.sampled_from(["", "a", "b"]))
def test_an_order_is_the_best_there_is_when_it_says_so(
    wants: Wants, slots: int, mounted: str
) -> None:
    tasks, magazines = shop(wants, slots, mounted=[mounted] if mounted else [])
    (found,) = order_tasks(tasks, magazines, seconds=0.3)
    loads = mounted_now(magazines, tasks)
    assert found.changes <= found.given_changes
    assert found.least <= found.changes
    if len(tasks) <= 5:
        best = min(walk(order, magazines, loads).changes for order in permutations(tasks))
        assert found.least <= best <= found.changes


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.sampled_from("abc"), st.booleans()), min_size=1, max_size=6))
def test_over_two_due_dates_the_bound_still_holds(parts: list[tuple[str, bool]]) -> None:
    parts = sorted(parts, key=lambda one: one[1])
    dues = ["2026-06-02" if late else "2026-06-01" for _tool, late in parts]
    tasks, magazines = shop([frozenset(tool) for tool, _late in parts], dues=dues)
    (found,) = order_tasks(tasks, magazines, seconds=0.1)
    turns = [task.chunk.job.due_on for task in tasks]
    best = min(
        walk(order, magazines, mounted_now(magazines, tasks)).changes
        for order in permutations(tasks)
        if [task.chunk.job.due_on for task in order] == turns
    )
    assert found.least <= best == found.changes
    assert [task.chunk.job.due_on for task in found.tasks] == turns


@settings(max_examples=40, deadline=None)
@given(BOTH, st.integers(1, 2), st.integers(1, 2))
def test_two_magazines_together_never_need_more_than_in_the_order_given(
    wants: Wants, slots: int, slots_b: int
) -> None:
    tasks, magazines = shop(wants, slots, slots_b)
    (found,) = order_tasks(tasks, magazines, seconds=0.1)
    assert found.least <= found.changes <= found.given_changes
    assert sorted(map(id, found.tasks)) == sorted(map(id, tasks))


@settings(max_examples=30, deadline=None)
@given(WANTS, st.integers(1, 3))
def test_every_task_has_its_tools_when_it_comes(wants: Wants, slots: int) -> None:
    tasks, magazines = shop(wants, slots)
    (found,) = order_tasks(tasks, magazines, seconds=0.1)
    held: dict[tuple[object, ...], set[Tools]] = {key: set() for key in magazines}
    for at, task in enumerate(found.tasks):
        done = walk(found.tasks[: at + 1], magazines, {})
        for key in magazines:
            held[key] = set(sets_in(done.loads, key))
            assert task.needs(key) <= held[key]
            assert len(held[key]) <= magazines[key].slots


def test_no_work_has_no_order() -> None:
    assert order_tasks([], {}) == []


@pytest.mark.parametrize(("slots", "least"), [(1, 3), (2, 3), (3, 3)])
def test_what_is_never_mounted_goes_in_once_at_least(slots: int, least: int) -> None:
    assert ordered(want("a", "b", "c"), slots).least == least
