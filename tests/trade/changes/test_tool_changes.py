"""The order of jobs with the fewest tool changes, against every order tried one after another."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from itertools import combinations, pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.changes.cooling import first_chance
from crib.trade.changes.magazine import kept_uses, magazine_loads
from crib.trade.changes.order_moves import changed_by_chance, lost_outside
from crib.trade.changes.order_search import nothing_known, take, tried
from crib.trade.changes.part_bounds import part_bounds
from crib.trade.changes.tool_changes import ToolChanges, fewest_changes

Jobs = tuple[frozenset[int], ...]

_NONE: frozenset[int] = frozenset()


def changes_of_order(jobs: Iterable[frozenset[int]], slots: int, mounted: frozenset[int]) -> int:
    """Tools put in for an order, by the written rule: out goes the tool needed again last."""
    order = list(jobs)
    load, changes = set(mounted), 0
    for at, job in enumerate(order):
        changes += len(job - load)
        load |= job
        while len(load) > slots:
            load.remove(max(load - job, key=lambda tool: next_use(order, at, tool)))
    needed = frozenset().union(*order)
    return changes if mounted else changes - min(slots, len(needed))


def next_use(order: Sequence[frozenset[int]], at: int, tool: int) -> int:
    """The next position at which a tool is needed; behind all when never."""
    for later in range(at + 1, len(order)):
        if tool in order[later]:
            return later
    return len(order)


def fewest_of_all_orders(
    jobs: Sequence[frozenset[int]], slots: int, mounted: frozenset[int]
) -> int:
    """The least over every order, each tried."""
    return min(changes_of_order(order, slots, mounted) for order in permutations(jobs))


def fewest_of_all_loads(jobs: Sequence[frozenset[int]], slots: int, mounted: frozenset[int]) -> int:
    """The least for one order over every load the machine could have: no rule, all of them."""
    tools = frozenset().union(mounted, *jobs)
    size = min(slots, len(tools))

    @cache
    def rest(at: int, load: frozenset[int]) -> int:
        if at == len(jobs):
            return 0
        return min(len(new - load) + rest(at + 1, new) for new in loads_with(jobs[at]))

    @cache
    def loads_with(job: frozenset[int]) -> list[frozenset[int]]:
        others = sorted(tools - job)
        counts = range(size - len(job) + 1)
        return [job | {*more} for count in counts for more in combinations(others, count)]

    if mounted or not jobs:
        return rest(0, mounted)
    return min(rest(1, load) for load in loads_with(jobs[0]))


def recounted(found: ToolChanges, mounted: frozenset[int]) -> int:
    """Tools put in, from the loads of an answer."""
    if not found.loads:
        return 0
    before = (mounted or found.loads[0], *found.loads)
    return sum(len(load - last) for last, load in zip(before, found.loads, strict=False))


def drawn(number: int, most_jobs: int, most_tools: int) -> tuple[Jobs, int, frozenset[int]]:
    """A random case: jobs, slots, and tools mounted in every second one."""
    chance = random.Random(number)
    tools = range(chance.randint(2, most_tools))
    slots = chance.randint(1, len(tools))
    least = chance.choice((0, 1, (slots + 1) // 2))
    count = chance.randint(1, most_jobs)
    jobs = tuple(
        frozenset(chance.sample(tools, chance.randint(least, slots))) for _job in range(count)
    )
    mounted = chance.sample(tools, chance.randint(0, slots)) if number % 2 else ()
    return jobs, slots, frozenset(mounted)


@st.composite
def cases(draw: st.DrawFn, most_jobs: int = 6) -> tuple[Jobs, int, frozenset[int]]:
    """Jobs, slots and mounted tools, shrinking to something a person can follow."""
    slots = draw(st.integers(1, 5))
    sets = st.frozensets(st.integers(0, 8), max_size=slots)
    jobs = draw(st.lists(sets, max_size=most_jobs))
    return tuple(jobs), slots, draw(sets)


def ticking(step: float) -> Callable[[], float]:
    """A clock that moves on each time it is read, and only then."""
    times = iter(range(10**9))
    return lambda: next(times) * step


@pytest.mark.parametrize("number", range(150))
def test_no_order_of_all_needs_fewer(number: int) -> None:
    jobs, slots, mounted = drawn(number, most_jobs=6, most_tools=14)
    found = fewest_changes(jobs, slots, mounted=mounted)
    assert found.changes == fewest_of_all_orders(jobs, slots, mounted)
    assert found.proven
    assert found.lower_bound == found.changes


@pytest.mark.slow
@pytest.mark.parametrize("number", range(1000, 1040))
def test_no_order_of_up_to_nine_jobs_needs_fewer(number: int) -> None:
    jobs, slots, mounted = drawn(number, most_jobs=9, most_tools=20)
    found = fewest_changes(jobs, slots, mounted=mounted)
    assert found.proven
    in_order = [jobs[job] for job in found.order]
    assert found.changes == least_by_branching(in_order, slots, mounted)


def least_by_branching(jobs: Sequence[frozenset[int]], slots: int, mounted: frozenset[int]) -> int:
    """The least over every order.

    An order is left once its beginning, and each tool not seen in it, alone need as many; so the
    fewer the given order needs, the quicker it is.
    """
    least = changes_of_order(jobs, slots, mounted)
    free = 0 if mounted else min(slots, len(frozenset().union(*jobs)))

    def grow(done: list[frozenset[int]], left: list[frozenset[int]]) -> None:
        nonlocal least
        begun = kept_begun(done, slots, mounted) - free
        unseen = frozenset().union(*left) - frozenset().union(mounted, *done)
        if begun + len(unseen) >= least:
            return
        if not left:
            least = begun
            return
        for at, job in enumerate(left):
            grow([*done, job], left[:at] + left[at + 1 :])

    grow([], list(jobs))
    return least


def kept_begun(done: list[frozenset[int]], slots: int, mounted: frozenset[int]) -> int:
    """Every insertion of an order, the first filling too."""
    free = 0 if mounted else min(slots, len(frozenset().union(*done)))
    return changes_of_order(done, slots, mounted) + free


@given(cases())
@settings(max_examples=150, deadline=None)
def test_the_loads_can_be_run_and_count_what_is_said(
    case: tuple[Jobs, int, frozenset[int]],
) -> None:
    jobs, slots, mounted = case
    found = fewest_changes(jobs, slots, mounted=mounted)
    assert sorted(found.order) == list(range(len(jobs)))
    assert all(jobs[job] <= load for job, load in zip(found.order, found.loads, strict=True))
    assert all(len(load) <= slots for load in found.loads)
    assert recounted(found, mounted) == found.changes
    assert found.changes <= changes_of_order(jobs, slots, mounted)


@given(cases(most_jobs=5))
@settings(max_examples=60, deadline=None)
def test_keeping_what_is_needed_soonest_is_the_best_for_an_order(
    case: tuple[Jobs, int, frozenset[int]],
) -> None:
    jobs, slots, mounted = case
    masks = [sum(1 << tool for tool in job) for job in jobs]
    loads = magazine_loads(masks, slots, sum(1 << tool for tool in mounted))
    sets = tuple(frozenset(tool for tool in range(9) if load >> tool & 1) for load in loads)
    changes = recounted(ToolChanges((), sets, 0, 0, False), mounted)
    assert changes == fewest_of_all_loads(jobs, slots, mounted)


@given(cases(), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_other_names_and_another_order_change_nothing(
    case: tuple[Jobs, int, frozenset[int]], chance: random.Random
) -> None:
    jobs, slots, mounted = case
    names = chance.sample(range(-50, 50), 9)
    renamed = [frozenset(names[tool] for tool in job) for job in jobs]
    chance.shuffle(renamed)
    there = frozenset(names[tool] for tool in mounted)
    found = fewest_changes(renamed, slots, mounted=there)
    assert found.changes == fewest_changes(jobs, slots, mounted=mounted).changes


@pytest.mark.parametrize("number", range(200))
def test_a_trial_counts_what_a_whole_count_does(number: int) -> None:
    jobs, slots, _mounted = drawn(number, most_jobs=24, most_tools=20)
    row = [sum(1 << tool for tool in job) for job in jobs]
    chance, known = random.Random(number), nothing_known(row)
    take(row, 0, len(row), slots, 0, known)
    for _trial in range(40):
        start, changed, blocks = exchanged(row, chance)
        total = tried(changed, start, blocks, -100, slots, 0, known)
        assert total == kept_uses(changed, slots)
        if chance.random() < 0.5:
            row = changed
            take(row, start, start + sum(blocks[:3]) - 1, slots, 0, known)
            assert known[0][-1] == total


def exchanged(
    row: list[int], chance: random.Random
) -> tuple[int, list[int], tuple[int, int, int, int]]:
    """An order with two blocks that changed places, one of them maybe shuffled."""
    start, split, last, end = sorted(chance.choices(range(len(row) + 1), k=4))
    left, between, right = row[start:split], row[split:last], row[last:end]
    turned = chance.choice((0, 1, 3))
    if turned:
        chance.shuffle(right if turned == 1 else left)
    blocks = (len(right), len(between), len(left), turned)
    return start, row[:start] + right + between + left + row[end:], blocks


@pytest.mark.parametrize("number", range(100))
def test_a_change_by_chance_is_what_its_blocks_say(number: int) -> None:
    row = [1 << job for job in range(3 + number % 17)]
    first, chance = number % 2, first_chance(number)
    for _change in range(50):
        chance, start, part, (ahead, between, behind, turned), _lost = changed_by_chance(
            row, first, chance
        )
        assert not part or start >= first
        end = start + len(part)
        assert len(part) == ahead + between + behind
        old = row[start:end]
        blocks = old[end - start - ahead :], old[behind : behind + between], old[:behind]
        now = part[:ahead], part[ahead : ahead + between], part[ahead + between :]
        for block, (one, other) in enumerate(zip(now, blocks, strict=True), 1):
            assert one == (other[::-1] if block == turned else other)


@pytest.mark.parametrize("number", range(40))
def test_lost_overlap_is_counted_of_the_whole_order(number: int) -> None:
    jobs, _slots, _mounted = drawn(number, most_jobs=14, most_tools=20)
    row = [sum(1 << tool for tool in job) for job in (*jobs, *jobs, {1})]
    chance = first_chance(number)
    for _change in range(50):
        chance, start, part, _blocks, inside = changed_by_chance(row, 0, chance)
        if part:
            end = start + len(part) - 1
            changed = row[:start] + part + row[end + 1 :]
            lost = inside + lost_outside(row, start, end, part)
            assert shared_by_neighbours(row) - shared_by_neighbours(changed) == lost


def shared_by_neighbours(row: list[int]) -> int:
    """Tools that each job shares with the next, in all."""
    return sum((one & other).bit_count() for one, other in pairwise(row))


@pytest.mark.parametrize("number", range(2000, 2100))
def test_no_order_of_all_goes_below_the_bound_of_some_of_the_jobs(
    monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    monkeypatch.setattr("crib.trade.changes.part_bounds._FEWEST", 2)
    jobs, slots, mounted = drawn(number, most_jobs=6, most_tools=14)
    row = [sum(1 << tool for tool in job) for job in set(jobs) if job]
    there = sum(1 << tool for tool in mounted)
    bounds = list(part_bounds(row, slots, there, lambda: False)) if row else []
    assert max(bounds, default=0) <= fewest_of_all_orders(jobs, slots, mounted)
    if len(row) > 1:
        # All of the jobs at last, and so the least itself.
        assert bounds[-1] == fewest_of_all_orders(jobs, slots, mounted)


@pytest.mark.parametrize("number", range(3000, 3030))
def test_a_short_order_taken_for_a_long_one_is_bounded_soundly(
    monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    monkeypatch.setattr("crib.trade.changes.tool_changes._TRIED_JOBS", 0)
    monkeypatch.setattr("crib.trade.changes.part_bounds._FEWEST", 2)
    monkeypatch.setattr("crib.trade.changes.part_bounds._MOST", 2 + number % 3)
    jobs, slots, mounted = drawn(number, most_jobs=6, most_tools=14)
    found = fewest_changes(jobs, slots, mounted=mounted, seconds=0.5, clock=ticking(0.02))
    least = fewest_of_all_orders(jobs, slots, mounted)
    assert found.lower_bound <= least <= found.changes
    assert not found.proven or found.changes == least


@pytest.mark.parametrize("mounted", [0, (1 << 12) - 1])
def test_the_bound_of_a_long_order_says_something(mounted: int) -> None:
    row = [sum(1 << tool for tool in job) for job in forty_tools(30)]
    calls = iter(range(20_000))
    bounds = list(part_bounds(row, 15, mounted, lambda: next(calls, None) is None))
    every_tool_once = 40 - (mounted.bit_count() or 15)
    assert max(bounds) >= 1.8 * every_tool_once


@pytest.mark.slow
@pytest.mark.parametrize("slots", [15, 17, 20, 25])
@pytest.mark.parametrize("mounted", [_NONE, frozenset(range(12))])
def test_twelve_jobs_are_proven(slots: int, mounted: frozenset[int]) -> None:
    chance = random.Random(slots)
    jobs = [frozenset(chance.sample(range(40), chance.randint(5, 15))) for _job in range(12)]
    found = fewest_changes(jobs, slots, mounted=mounted, clock=ticking(1e-4))
    assert found.proven
    assert found.changes == found.lower_bound


@pytest.mark.parametrize(
    ("jobs", "slots", "mounted", "order", "changes"),
    [
        ((), 3, _NONE, (), 0),
        ((_NONE, _NONE), 1, _NONE, (0, 1), 0),
        (({1, 2},), 2, _NONE, (0,), 0),
        (({1, 2},), 2, {1}, (0,), 1),
        (({1, 2},), 3, {7, 8}, (0,), 2),
        (({1}, {2}), 1, {2}, (1, 0), 1),
        (({1, 2}, {3}, {2}), 2, _NONE, (0, 1, 2), 1),
        (({1, 2}, {3, 4}, {1, 2}), 2, _NONE, (0, 2, 1), 2),
    ],
)
def test_small_cases_by_hand(
    jobs: Sequence[frozenset[int]],
    slots: int,
    mounted: frozenset[int],
    order: tuple[int, ...],
    changes: int,
) -> None:
    found = fewest_changes([frozenset(job) for job in jobs], slots, mounted=frozenset(mounted))
    assert (found.order, found.changes, found.proven) == (order, changes, True)


def test_an_order_that_cannot_be_bettered_is_kept() -> None:
    jobs = [frozenset({1, 2}), frozenset({2, 3}), frozenset({3, 4}), frozenset({3})]
    assert fewest_changes(jobs, 2).order == (0, 1, 2, 3)


def test_a_tool_stays_until_its_slot_is_needed() -> None:
    found = fewest_changes([frozenset({1}), frozenset({2})], 3, mounted=frozenset({8, 9}))
    assert found.loads[0] == {1, 8, 9}
    assert len(found.loads[1]) == 3


def test_the_same_seed_gives_the_same_order() -> None:
    jobs, slots = forty_tools(30), 17
    first = fewest_changes(jobs, slots, seconds=1.0, seed=5, clock=ticking(0.02))
    again = fewest_changes(jobs, slots, seconds=1.0, seed=5, clock=ticking(0.02))
    assert first == again
    assert first.changes < changes_of_order(jobs, slots, _NONE)
    assert first.lower_bound <= first.changes


def test_without_time_the_order_given_or_a_quick_one_is_told() -> None:
    jobs = forty_tools(30)
    found = fewest_changes(jobs, 17, seconds=0.0)
    assert found.changes <= changes_of_order(jobs, 17, _NONE)
    assert not found.proven


def forty_tools(count: int) -> list[frozenset[int]]:
    """Jobs of five to fifteen of forty tools."""
    chance = random.Random(count)
    return [frozenset(chance.sample(range(40), chance.randint(5, 15))) for _job in range(count)]


@pytest.mark.parametrize(
    ("jobs", "slots", "mounted", "seconds", "message"),
    [
        (({1}, {1, 2, 3}), 2, _NONE, 1.0, r"jobs\[1\] needs 3 tools, the machine holds 2"),
        (({1},), 2, {1, 2, 3}, 1.0, "3 tools are mounted, the machine holds 2"),
        (({1},), 0, _NONE, 1.0, "slots=0 must be > 0"),
        (({1},), 2, _NONE, -1.0, "seconds=-1 must be >= 0"),
    ],
)
def test_what_cannot_be_is_refused(
    jobs: Sequence[frozenset[int]],
    slots: int,
    mounted: frozenset[int],
    seconds: float,
    message: str,
) -> None:
    sets = [frozenset(job) for job in jobs]
    with pytest.raises(BadValue, match=message):
        fewest_changes(sets, slots, mounted=frozenset(mounted), seconds=seconds)
