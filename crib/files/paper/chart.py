"""A chart as plain figures: axes with their ticks, and the series that stand on them.

The same chart goes to the screen as letters and to a sheet as SVG or PDF, so it must be read
without colour: a line, a step, a dashed limit, a bar, or marks that are one letter each.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor, isfinite, log10
from typing import Literal

from crib.errors import BadValue

Style = Literal["line", "step", "limit", "bar", "marks"]
"""line: straight from point to point; step: a height stands until the next one; limit: dashed,
with its name on it; bar: thick, such as a range; marks: a letter at each point."""

Point = tuple[float, float]

MOST_TICKS = 6
LEAST_DAYS = 6
_STEPS = (1.0, 2.0, 5.0, 10.0)
_DAY_STEPS = (1, 2, 7, 14)
_MONTH_STEPS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600)
_LONGEST_IN_DAYS = 14 * MOST_TICKS - 1


@dataclass(frozen=True, slots=True)
class Tick:
    """A place on an axis and what stands there."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Axis:
    """From where to where, and what is counted; ``unit`` may be empty."""

    label: str
    unit: str
    low: float
    high: float
    ticks: tuple[Tick, ...]

    @property
    def title(self) -> str:
        """The label with its unit."""
        return f"{self.label} [{self.unit}]" if self.unit else self.label

    def share(self, value: float) -> float:
        """How far along the axis a value stands: 0 to 1, its ends for what is beyond them."""
        return min(max((value - self.low) / (self.high - self.low), 0.0), 1.0)


@dataclass(frozen=True, slots=True)
class Series:
    """Points in the order in which they are joined.

    ``mark`` is the letter of a series of marks, whose points may have a text each.
    """

    name: str
    style: Style
    points: tuple[Point, ...]
    mark: str = ""
    texts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Chart:
    """A titled chart with notes under it."""

    title: str
    across: Axis
    up: Axis
    series: tuple[Series, ...]
    notes: tuple[str, ...] = ()


_LEAST_SPAN = 1e-9
"""Figures that lie closer together than this stand at one place of any sheet."""


def number_axis(label: str, unit: str, values: Iterable[float]) -> Axis:
    """An axis of figures from 0, or from below the lowest when that is negative.

    Raises:
        BadValue: when a value is not finite.
    """
    found = [0.0, *values]
    if not all(map(isfinite, found)):
        message = f"axis {label!r} must have finite values"
        raise BadValue(message)
    low, high = min(found), max(found)
    if high - low < _LEAST_SPAN:
        high = low + 1.0
    step = nice_step(high - low)
    # What is a hair below 0 divides to 0, and would be below the first step.
    low, high = min(floor(low / step) * step, low), high + 0.04 * (high - low)
    places = max(0, -floor(log10(step)))
    ticks = tuple(Tick(at, f"{at:,.{places}f}") for at in _multiples(low, high, step))
    return Axis(label, unit, low, high, ticks)


def share_axis(label: str) -> Axis:
    """An axis of shares, 0 to 1, told in per cent."""
    ticks = tuple(Tick(tenths / 10, f"{tenths * 10} %") for tenths in range(0, 11, 2))
    return Axis(label, "", 0.0, 1.0, ticks)


def date_axis(label: str, first: date, last: date) -> Axis:
    """An axis of days: a day stands at its ordinal number. A week at least."""
    last = max(last, first + timedelta(days=LEAST_DAYS))
    low, high = first.toordinal(), last.toordinal()
    if high - low <= _LONGEST_IN_DAYS:
        step = next(one for one in _DAY_STEPS if (high - low) / one < MOST_TICKS)
        days = [date.fromordinal(at) for at in range(low, high + 1, step)]
        ticks = tuple(Tick(day.toordinal(), day.isoformat()) for day in days)
    else:
        ticks = tuple(_month_ticks(first, last))
    room = 0.02 * (high - low)
    return Axis(label, "", low - room, high + room, ticks)


def nice_step(span: float, most: int = MOST_TICKS) -> float:
    """The smallest of 1, 2, 5 times a power of ten that parts a span at most so often.

    Raises:
        BadValue: when the span is not above zero.
    """
    if not (isfinite(span) and span > 0):
        message = f"span={span} must be > 0"
        raise BadValue(message)
    least = span / most
    power = 10.0 ** floor(log10(least))
    return next(one * power for one in _STEPS if one * power >= least * (1 - 1e-9))


def corners(series: Series) -> list[Point]:
    """The points through which a series is drawn: a step turns twice at each of its own."""
    if series.style != "step":
        return list(series.points)
    found = list(series.points[:1])
    for x, y in series.points[1:]:
        found += [(x, found[-1][1]), (x, y)]
    return found


def _multiples(low: float, high: float, step: float) -> Iterator[float]:
    for number in range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1):
        yield number * step


def _month_ticks(first: date, last: date) -> Iterator[Tick]:
    """The first days of months, of years where there are many."""
    low, high = 12 * first.year + first.month, 12 * last.year + last.month - 1
    longest = _MONTH_STEPS[-1]
    whole = range(longest, high - low + 2 * longest, longest)
    step = next(one for one in (*_MONTH_STEPS, *whole) if (high - low) / one < MOST_TICKS)
    for number in range(ceil(low / step) * step, high + 1, step):
        day = date(number // 12, number % 12 + 1, 1)
        yield Tick(day.toordinal(), f"{day:%Y}" if step % 12 == 0 else f"{day:%Y-%m}")
