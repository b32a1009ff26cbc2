"""The shop's working days: which days of the week it works, and the days on which it is closed.

A day is its number in the Gregorian calendar, counted from Monday, 1 January of the year 1, which
is day 1: so a day more is one more, and ``(day - 1) % 7`` is the day of the week, 0 for Monday.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from crib.errors import BadValue

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
LONGEST_CLOSED = 366
_BETWEEN = " to "
_FULL = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


@dataclass(frozen=True, slots=True)
class WorkCalendar:
    """When the shop works: days of the week (0 is Monday), less the days it is closed."""

    weekdays: frozenset[int]
    closed: frozenset[int] = frozenset()

    def is_open(self, day: int) -> bool:
        """Whether the shop works on a day."""
        return (day - 1) % len(DAYS) in self.weekdays and day not in self.closed


def work_calendar(work_days: str, closed_days: str) -> WorkCalendar:
    """The calendar of a shop from its two settings.

    Source: shop rule (``shift.work_days`` and ``shift.closed_days``).

    Args:
        work_days: Days of the week, alone or from one to another [text].
        closed_days: Dates, alone or from one to another [text].

    Returns:
        The calendar [-].

    Raises:
        BadValue: For a day that cannot be read, or a week without one.

    Example:
        >>> shop = work_calendar("Mon-Fri", "2026-12-24 to 2026-12-26")
        >>> sorted(shop.weekdays), len(shop.closed)
        ([0, 1, 2, 3, 4], 3)
    """
    weekdays = frozenset(day for part in _parts(work_days) for day in _weekdays(part))
    if not weekdays:
        message = "a shop must work on at least one day of the week"
        raise BadValue(message, way_out="write it like Mon-Fri, or Mon-Thu, Sat")
    closed = frozenset(day for part in _parts(closed_days) for day in _span(part))
    return WorkCalendar(weekdays, closed)


def tidy_work_days(text: str) -> str:
    """Days of the week in their one way of writing.

    Source: shop rule (``shift.work_days``).

    Args:
        text: Days of the week with commas between them, such as ``mon-thu, sat`` [text].

    Returns:
        The same days, each by its first three letters [text].

    Raises:
        BadValue: For a word that is no day of the week, or no day at all.

    Example:
        >>> tidy_work_days("monday - thu,SAT")
        'Mon-Thu, Sat'
    """
    work_calendar(text, "")
    ends = [[DAYS[_weekday(word)] for word in part.split("-")] for part in _parts(text)]
    return ", ".join("-".join(part) for part in ends)


def tidy_closed_days(text: str) -> str:
    """Dates on which the shop is closed in their one way of writing; none at all is a list too.

    Source: shop rule (``shift.closed_days``).

    Args:
        text: Dates with commas between them; two with ``to`` between them are a span [text].

    Returns:
        The same dates, tidied [text].

    Raises:
        BadValue: For a word that is no date, or a span that is turned round or too long.

    Example:
        >>> tidy_closed_days("2026-12-24  to 2027-01-02,2027-04-05")
        '2026-12-24 to 2027-01-02, 2027-04-05'
    """
    for part in _parts(text):
        _span(part)
    return ", ".join(_parts(text))


def day_number(text: str) -> int:
    """The number of a date in the calendar.

    Source: the Gregorian calendar (ISO 8601): 365 days, and a leap day every fourth year but three
    in four hundred.

    Args:
        text: The date as year, month and day, such as ``2026-12-24`` [text].

    Returns:
        Its number, 1 for 1 January of the year 1 [days].

    Raises:
        BadValue: For what is no date.

    Example:
        >>> day_number("0001-01-01"), day_number("2026-12-24")
        (1, 739974)
    """
    read = _DATE.fullmatch(text)
    year, month, day = map(int, read.groups()) if read else (0, 0, 0)
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    months = [days + (leap and number == 1) for number, days in enumerate(_MONTH_DAYS)]
    if not (year >= 1 and 1 <= month <= len(months) and 1 <= day <= months[month - 1]):
        message = f"{text[:40]!r} is not a date"
        raise BadValue(message, way_out="write it like 2026-12-24, or 2026-12-24 to 2027-01-02")
    before = year - 1
    leap_days = before // 4 - before // 100 + before // 400
    return 365 * before + leap_days + sum(months[: month - 1]) + day


def working_days(calendar: WorkCalendar, first: int, last: int) -> tuple[int, ...]:
    """Every working day from one day to another, both counted.

    Source: shop rule (``shift.work_days`` and ``shift.closed_days``).

    Args:
        calendar: When the shop works [-].
        first: The number of the day to begin at [days].
        last: The number of the day to end with [days].

    Returns:
        The working days in order; none when the last is before the first [days].

    Example:
        >>> working_days(work_calendar("Mon-Fri", "0001-01-05"), 1, 9)
        (1, 2, 3, 4, 8, 9)
    """
    return tuple(day for day in range(first, last + 1) if calendar.is_open(day))


def _parts(text: str) -> list[str]:
    parts = (" ".join(part.split()) for part in text.split(","))
    return [part for part in parts if part]


def _weekdays(part: str) -> list[int]:
    """The days of ``Mon`` or ``Sat-Tue``; a span may go over the end of the week."""
    first, _, last = part.partition("-")
    start = _weekday(first)
    count = (_weekday(last or first) - start) % len(DAYS) + 1
    return [(start + number) % len(DAYS) for number in range(count)]


def _weekday(word: str) -> int:
    plain = word.strip().casefold()
    for number, name in enumerate(_FULL):
        if len(plain) >= len(DAYS[0]) and name.startswith(plain):
            return number
    message = f"{word.strip()[:20]!r} is not a day of the week; known: {', '.join(DAYS)}"
    raise BadValue(message, way_out="write it like Mon-Fri, or Mon-Thu, Sat")


def _span(part: str) -> range:
    first, _, last = part.partition(_BETWEEN)
    start = day_number(first)
    end = day_number(last) if last else start
    if not 1 <= end - start + 1 <= LONGEST_CLOSED:
        message = f"{part} is {end - start + 1} days, must be 1 to {LONGEST_CLOSED}"
        raise BadValue(message, way_out="write the earlier date first")
    return range(start, end + 1)
