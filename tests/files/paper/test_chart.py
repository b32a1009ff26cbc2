"""Axes have readable ticks, and a series is drawn through the points that it says."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.files.paper.chart import (
    MOST_TICKS,
    Series,
    corners,
    date_axis,
    nice_step,
    number_axis,
    share_axis,
)

FIRST = date(2026, 1, 5)


@pytest.mark.parametrize(
    ("span", "step"),
    [(6, 1), (6.1, 2), (12, 2), (13, 5), (30, 5), (31, 10), (60, 10), (0.06, 0.01), (5400, 1000)],
)
def test_a_step_is_one_two_or_five_times_a_power_of_ten(span: float, step: float) -> None:
    assert nice_step(span) == pytest.approx(step)


@pytest.mark.parametrize("span", [0.0, -1.0, float("inf"), float("nan")])
def test_a_span_that_is_none_is_refused(span: float) -> None:
    with pytest.raises(BadValue, match=r"span=.* must be > 0"):
        nice_step(span)


@given(st.lists(st.floats(-1e9, 1e9), max_size=9))
@example([5e-324])
@example([7.0, -5e-324])
def test_every_value_stands_between_the_ends_of_its_axis(values: list[float]) -> None:
    axis = number_axis("wear", "strokes", values)
    assert all(axis.low <= value <= axis.high for value in (0.0, *values))
    assert all(axis.low <= tick.at <= axis.high for tick in axis.ticks)
    assert 2 <= len(axis.ticks) <= MOST_TICKS + 2
    assert len({tick.text for tick in axis.ticks}) == len(axis.ticks)


def test_ticks_are_told_with_the_places_that_they_need() -> None:
    assert [one.text for one in number_axis("", "", [5000]).ticks][-2:] == ["4,000", "5,000"]
    assert [one.text for one in number_axis("", "", [0.05]).ticks][:3] == ["0.00", "0.01", "0.02"]
    assert [one.text for one in number_axis("", "", [-30, 20]).ticks][:2] == ["-30", "-20"]


def test_a_value_that_is_no_number_is_refused() -> None:
    with pytest.raises(BadValue, match="axis 'wear' must have finite values"):
        number_axis("wear", "", [float("nan")])


def test_an_axis_names_its_unit_when_it_has_one() -> None:
    assert number_axis("wear", "strokes", [1]).title == "wear [strokes]"
    assert share_axis("chance").title == "chance"
    assert [tick.text for tick in share_axis("").ticks][:2] == ["0 %", "20 %"]


def test_a_value_beyond_an_axis_stands_at_its_end() -> None:
    axis = share_axis("chance")
    assert [axis.share(value) for value in (-1.0, 0.25, 7.0)] == [0.0, 0.25, 1.0]


@pytest.mark.parametrize(
    ("days", "texts"),
    [
        (0, ["2026-01-05", "2026-01-07", "2026-01-09", "2026-01-11"]),
        (30, ["2026-01-05", "2026-01-12", "2026-01-19", "2026-01-26", "2026-02-02"]),
        (120, ["2026-02", "2026-03", "2026-04", "2026-05"]),
        (2000, ["2027", "2028", "2029", "2030", "2031"]),
        (9000, ["2030", "2035", "2040", "2045", "2050"]),
    ],
)
def test_dates_are_told_as_days_months_or_years(days: int, texts: list[str]) -> None:
    axis = date_axis("shift", FIRST, FIRST + timedelta(days=days))
    assert [tick.text for tick in axis.ticks] == texts


@example(730_000)
@given(st.integers(0, 900_000))
def test_any_span_of_days_has_a_few_ticks_between_its_ends(days: int) -> None:
    axis = date_axis("shift", FIRST, FIRST + timedelta(days=days))
    assert 2 <= len(axis.ticks) <= MOST_TICKS
    assert all(axis.low <= tick.at <= axis.high for tick in axis.ticks)
    assert all(first.at < second.at for first, second in pairwise(axis.ticks))


def test_a_step_stands_at_its_height_until_the_next_point() -> None:
    series = Series("wear", "step", ((0, 0), (2, 5), (3, 0)))
    assert corners(series) == [(0, 0), (2, 0), (2, 5), (3, 5), (3, 0)]
    assert corners(Series("wear", "line", ((0, 0), (2, 5)))) == [(0, 0), (2, 5)]
