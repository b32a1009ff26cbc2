"""The seconds of a plan: what each order needs, never more than there are."""

from __future__ import annotations

import pytest

from crib.desk.plan import search_time
from crib.desk.plan.search_time import MOST_SECONDS, SearchTime, seconds_needed


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """A clock that stands until a test moves it."""
    now = [0.0]
    monkeypatch.setattr(search_time, "perf_counter", lambda: now[0])
    return now


def test_more_jobs_never_need_less() -> None:
    needed = [seconds_needed(jobs) for jobs in range(200)]
    assert needed == sorted(needed)
    assert needed[16] <= 4 < 10 <= needed[17]
    assert needed[25] <= 10 < 25 <= needed[26]
    assert 35 <= needed[70] <= 45


def test_each_order_gets_what_it_needs_where_nothing_is_said(clock: list[float]) -> None:
    time = SearchTime(10.0 + 0.5 + 4.0, None)
    assert [time.share(10.0), time.share(0.5), time.share(4.0)] == [10.0, 0.5, 4.0]


def test_what_is_said_is_shared_by_need_and_what_is_left_goes_on(clock: list[float]) -> None:
    time = SearchTime(40.0, 20.0)
    assert time.share(10.0) == 5.0
    clock[0] += 1.0
    assert time.share(10.0) == pytest.approx(19.0 / 3)
    assert time.share(20.0) == 19.0


def test_more_seconds_than_needed_are_used_where_they_are_said(clock: list[float]) -> None:
    assert SearchTime(10.0, 90.0).share(10.0) == 90.0
    assert SearchTime(900.0, None).share(900.0) == MOST_SECONDS


def test_no_time_and_nothing_to_do_are_no_trouble(clock: list[float]) -> None:
    assert SearchTime(10.0, 0.0).share(10.0) == 0.0
    assert SearchTime(0.0, None).share(0.0) == 0.0
    late = SearchTime(10.0, 5.0)
    clock[0] += 7.0
    assert late.share(10.0) == 0.0


def test_how_far_it_is_ends_with_all_of_it(clock: list[float]) -> None:
    told: list[tuple[float, float]] = []
    time = SearchTime(10.0, 4.0, lambda gone_s, most_s: told.append((gone_s, most_s)))
    for _second in range(6):
        clock[0] += 1.0
        time.tell(0.5)
    assert all(gone_s < most_s == 4.0 for gone_s, most_s in told)
    time.over()
    assert told[-1] == (4.0, 4.0)
