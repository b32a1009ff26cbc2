"""A simulated year: due days where planned jobs come on top of the pace, or make it up.

Jobs of 100 to 700 strokes come on three of ten days. A planned one is known 5 to 20 days before it
is done, another is done as it comes. Every tenth day an edge with so many strokes left is given its
day, by the pace of the last eight weeks, and held against the day on which it is really used up.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from statistics import mean

import pytest

from crib.trade.life.forecast import PlannedWear, day_reached

YEAR, LOOK_BACK = 365, 56
AHEAD = 300


@dataclass(frozen=True)
class Job:
    """Known on a day, done on a day; planned or done as it comes."""

    known: int
    done: int
    strokes: int
    planned: bool


def year_of_jobs(random: Random, share: float) -> list[Job]:
    """Jobs of which this share is planned."""
    jobs = []
    for day in range(YEAR + AHEAD):
        if random.random() < 0.3:
            planned = random.random() < share
            done = day + random.randint(5, 20) if planned else day
            jobs.append(Job(day, done, random.randint(100, 700), planned))
    return jobs


def errors(seed: int, share: float, limit: int, on_top: bool) -> list[int]:
    """Days by which each forecast of a year was late (above nothing) or early."""
    jobs, found = year_of_jobs(Random(seed), share), []
    for today in range(LOOK_BACK + 20, YEAR, 10):
        seen = [one for one in jobs if today - LOOK_BACK < one.done <= today]
        per_day = sum(one.strokes for one in seen) / LOOK_BACK
        planned_per_day = sum(one.strokes for one in seen if one.planned) / LOOK_BACK
        known = [
            PlannedWear(one.done, one.strokes) for one in jobs if one.known <= today < one.done
        ]
        days = range(today + 1, today + AHEAD)
        part = 0.0 if on_top else min(planned_per_day, per_day)
        said = day_reached(limit, 0, per_day, known, days, part)
        really = next(
            day
            for day in days
            if sum(one.strokes for one in jobs if today < one.done <= day) >= limit
        )
        found.append((days[-1] if said is None else said) - really)
    return found


def table(share: float, limit: int, on_top: bool) -> tuple[float, float]:
    """The mean error and the mean absolute error [days] of eight years."""
    every = [error for seed in range(8) for error in errors(seed, share, limit, on_top)]
    return mean(every), mean(map(abs, every))


@pytest.mark.parametrize("limit", [2000, 5000])
@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_planned_jobs_that_make_the_pace_are_not_counted_twice(share: float, limit: int) -> None:
    old, new = table(share, limit, on_top=True), table(share, limit, on_top=False)
    print(f"{share:.0%} planned, {limit} left, mean and absolute: on top {old}, part of it {new}")
    if not share:
        assert new == old
        return
    assert abs(new[0]) < min(abs(old[0]), 2.5)
    assert new[1] < old[1] + 0.5
    if share == 1.0:
        assert new[1] < 0.9 * old[1]
