"""The day on which wear reaches a limit, held against counting day by day."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.life.forecast import PlannedWear, day_reached, strokes_in_hand
from crib.trade.shop.workdays import WorkCalendar, working_days

FIRST, AHEAD = 739_000, 120
WEEK = WorkCalendar(frozenset(range(5)))

AMOUNTS = st.integers(0, 9000)
WORK = st.lists(
    st.builds(PlannedWear, st.integers(FIRST - 10, FIRST + 150), st.integers(1, 3000)), max_size=6
)
CALENDARS = st.builds(
    WorkCalendar,
    st.frozensets(st.integers(0, 6), min_size=1),
    st.frozensets(st.integers(FIRST, FIRST + AHEAD // 2), max_size=30),
)


def ahead(calendar: WorkCalendar) -> tuple[int, ...]:
    return working_days(calendar, FIRST, FIRST + AHEAD)


def day_by_day(
    limit: float, wear: float, per_day: float, planned: list[PlannedWear], days: tuple[int, ...]
) -> int | None:
    """Walk from the first working day and add what each day brings."""
    for day in range(days[0], days[-1] + 1):
        today = sum(one.weighted for one in planned if max(one.on, days[0]) == day)
        if day in days:
            today += per_day
        wear += today
        if today and wear >= limit:
            return day
    return None


@given(AMOUNTS, AMOUNTS, st.integers(0, 400), WORK, CALENDARS)
def test_the_day_is_the_first_whose_strokes_pass_the_limit(
    limit: int, wear: int, per_day: int, planned: list[PlannedWear], calendar: WorkCalendar
) -> None:
    days = ahead(calendar)
    found = day_reached(limit, wear, per_day, planned, days)
    assert found == day_by_day(limit, wear, per_day, planned, days)


@given(AMOUNTS, AMOUNTS, st.integers(0, 400), st.floats(0, 1), WORK, CALENDARS)
def test_what_planned_jobs_made_of_the_pace_is_not_counted_twice(
    limit: int,
    wear: int,
    per_day: int,
    share: float,
    planned: list[PlannedWear],
    calendar: WorkCalendar,
) -> None:
    """The sooner of the whole pace alone, and of the rest of it with the plan."""
    days, part = ahead(calendar), per_day * share
    found = day_reached(limit, wear, per_day, planned, days, part)
    alone = day_reached(limit, wear, per_day, [], days)
    beside = day_reached(limit, wear, per_day - part, planned, days)
    assert found == min((day for day in (alone, beside) if day is not None), default=None)


@given(AMOUNTS, AMOUNTS, st.floats(0, 400), st.floats(0, 400), WORK, CALENDARS)
def test_a_higher_pace_never_gives_a_later_day(
    limit: int,
    wear: int,
    per_day: float,
    more: float,
    planned: list[PlannedWear],
    calendar: WorkCalendar,
) -> None:
    days = ahead(calendar)
    slower = day_reached(limit, wear, per_day, planned, days)
    faster = day_reached(limit, wear, per_day + more, planned, days)
    assert slower is None or (faster is not None and faster <= slower)


@given(AMOUNTS, AMOUNTS, st.integers(0, 400), WORK, WORK, CALENDARS)
def test_more_planned_work_only_brings_the_day_forward(
    limit: int,
    wear: int,
    per_day: int,
    planned: list[PlannedWear],
    more: list[PlannedWear],
    calendar: WorkCalendar,
) -> None:
    days = ahead(calendar)
    before = day_reached(limit, wear, per_day, planned, days)
    after = day_reached(limit, wear, per_day, [*more, *planned], days)
    assert before is None or (after is not None and after <= before)


@given(
    AMOUNTS,
    AMOUNTS,
    st.integers(0, 400),
    WORK,
    CALENDARS,
    st.frozensets(st.integers(FIRST, FIRST + AHEAD // 2)),
)
def test_closed_days_only_push_the_day_back(
    limit: int,
    wear: int,
    per_day: int,
    planned: list[PlannedWear],
    calendar: WorkCalendar,
    closed: frozenset[int],
) -> None:
    fewer = WorkCalendar(calendar.weekdays, calendar.closed | closed)
    before = day_reached(limit, wear, per_day, planned, ahead(calendar))
    after = day_reached(limit, wear, per_day, planned, ahead(fewer))
    assert after is None or (before is not None and before <= after)


@pytest.mark.parametrize(
    ("wear", "per_day", "planned", "working_day"),
    [
        (4000, 0, [], None),
        (6000, 0, [], None),
        (6000, 1, [], 1),
        (5000, 1, [], 1),
        (4999, 1, [], 1),
        (4000, 1001, [], 1),
        (4000, 1000, [], 1),
        (4000, 999, [], 2),
        (4000, 100, [], 10),
        (4000, 0.1 * 3, [], None),
        (4999.4, 0.1, [], 6),
        (4000, 100, [PlannedWear(FIRST, 600)], 4),
        (4000, 0, [PlannedWear(FIRST - 30, 1000)], 1),
        (4000, 0, [PlannedWear(FIRST, 999)], None),
        (6000, 0, [PlannedWear(FIRST + 1, 5)], 2),
        (0, 0, [PlannedWear(FIRST + AHEAD + 1, 9000)], None),
    ],
)
def test_the_pace_and_the_planned_work_add_up(
    wear: float, per_day: float, planned: list[PlannedWear], working_day: int | None
) -> None:
    start = next(day for day in range(FIRST, FIRST + 7) if (day - 1) % 7 == 0)
    moved = [PlannedWear(one.on - FIRST + start, one.weighted) for one in planned]
    days = working_days(WEEK, start, start + AHEAD)
    found = day_reached(5000, wear, per_day, moved, days)
    assert found == (None if working_day is None else days[working_day - 1])


def test_planned_work_on_a_closed_day_is_done_on_that_day() -> None:
    days = (FIRST, FIRST + 3)
    assert day_reached(10, 0, 0, [PlannedWear(FIRST + 1, 10)], days) == FIRST + 1


def test_without_a_day_to_come_there_is_no_answer() -> None:
    assert day_reached(10, 0, 10, [], ()) is None


@pytest.mark.parametrize(
    ("wear", "interval", "renewals", "left"),
    [(0, 5000, 0, 5000), (4000, 5000, 2, 11000), (5000, 5000, 1, 5000), (6000, 5000, 0, 0)],
)
def test_a_piece_can_do_the_rest_of_its_edge_and_its_renewals(
    wear: float, interval: float, renewals: int, left: float
) -> None:
    assert strokes_in_hand(wear, interval, renewals) == left


def test_figures_that_cannot_be_are_refused() -> None:
    with pytest.raises(BadValue, match="per_day=-1 must be >= 0"):
        day_reached(10, 0, -1, [], [FIRST])
    with pytest.raises(BadValue, match="planned=0 must be > 0"):
        day_reached(10, 0, 0, [PlannedWear(FIRST, 0)], [FIRST])
    with pytest.raises(BadValue, match="interval=0 must be > 0"):
        strokes_in_hand(0, 0, 1)


def test_a_limit_that_is_passed_already_is_due_at_once_at_any_pace() -> None:
    assert day_reached(0, 1, 5e-324, [], [7, 8]) == 7
