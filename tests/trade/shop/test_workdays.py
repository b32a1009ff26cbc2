"""The shop's working days, held against the standard library's calendar."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.shop.workdays import (
    DAYS,
    day_number,
    tidy_closed_days,
    tidy_work_days,
    work_calendar,
    working_days,
)

DATES = st.dates(date(1, 1, 1), date(9999, 12, 31))


@given(DATES)
def test_a_date_has_the_number_and_the_weekday_that_the_library_gives_it(day: date) -> None:
    number = day_number(day.isoformat())
    assert number == day.toordinal()
    only_that = work_calendar(DAYS[day.weekday()], "")
    assert only_that.is_open(number)


@pytest.mark.parametrize(
    "text",
    [
        *("", "2026", "2026-2-28", "2026-02-29", "2100-02-29", "2024-02-30", "2026-13-01"),
        *("2026-00-10", "2026-04-00", "2026-04-31", "0000-01-01", "24.12.2026", "2026-12-24 "),
    ],
)
def test_what_is_no_date_is_refused(text: str) -> None:
    with pytest.raises(BadValue, match="is not a date"):
        day_number(text)


@pytest.mark.parametrize("text", ["2024-02-29", "2000-02-29", "2026-12-31"])
def test_the_last_days_of_months_are_dates(text: str) -> None:
    assert day_number(text) == date.fromisoformat(text).toordinal()


@pytest.mark.parametrize(
    ("said", "kept", "days"),
    [
        ("Mon-Fri", "Mon-Fri", [0, 1, 2, 3, 4]),
        ("mon-thu, SAT", "Mon-Thu, Sat", [0, 1, 2, 3, 5]),
        ("Sunday - Thursday", "Sun-Thu", [0, 1, 2, 3, 6]),
        ("Wed", "Wed", [2]),
        ("Mon-Sun", "Mon-Sun", [0, 1, 2, 3, 4, 5, 6]),
    ],
)
def test_days_of_the_week_are_read_and_kept_one_way(said: str, kept: str, days: list[int]) -> None:
    assert tidy_work_days(said) == kept
    assert sorted(work_calendar(kept, "").weekdays) == days


@pytest.mark.parametrize("said", ["Mo-Fr", "Mon-Fry", "1-5", "Mon-Wed-Fri", "Mon-"])
def test_what_is_no_day_of_the_week_is_refused(said: str) -> None:
    if said == "Mon-":
        said = "-Mon"
    with pytest.raises(BadValue, match="is not a day of the week"):
        tidy_work_days(said)


def test_a_week_without_a_working_day_is_refused() -> None:
    with pytest.raises(BadValue, match="at least one day of the week"):
        tidy_work_days(" , ")


def test_closed_days_are_dates_and_spans() -> None:
    assert tidy_closed_days("") == ""
    kept = tidy_closed_days("2026-12-24 to  2027-01-02,2027-04-05")
    assert kept == "2026-12-24 to 2027-01-02, 2027-04-05"
    assert len(work_calendar("Mon-Fri", kept).closed) == 11


@pytest.mark.parametrize(
    ("said", "match"),
    [
        ("2026-12-26 to 2026-12-24", "is -1 days, must be 1 to 366"),
        ("2026-01-01 to 2027-01-02", "is 367 days, must be 1 to 366"),
        ("2026-12-24 till 2026-12-26", "is not a date"),
        ("2026-12-24 to soon", "'soon' is not a date"),
    ],
)
def test_a_span_that_cannot_be_is_refused(said: str, match: str) -> None:
    with pytest.raises(BadValue, match=match):
        tidy_closed_days(said)


@given(DATES.filter(lambda day: day.year < 9998), st.sets(st.sampled_from(DAYS), min_size=1))
def test_working_days_are_those_named_outside_of_closed_ones(day: date, names: set[str]) -> None:
    closed = f"{day.isoformat()} to {date.fromordinal(day.toordinal() + 8).isoformat()}"
    calendar = work_calendar(", ".join(names), closed)
    first = day.toordinal()
    found = working_days(calendar, first, first + 20)
    assert all(date.fromordinal(number).strftime("%a") in names for number in found)
    assert found[0] > first + 8
    assert working_days(calendar, first, first - 1) == ()
