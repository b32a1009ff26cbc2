"""When wear reaches a limit: a usual pace on working days, and planned work on its own dates.

Days alone wear nothing: a tool that is neither used nor planned for gets no day. A day is its
number in the calendar, as in ``workdays``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.verdicts import falls_short

_DUST = 1e-9


@dataclass(frozen=True, slots=True)
class PlannedWear:
    """Weighted strokes that a job will take by a day, beside the usual pace."""

    on: int
    weighted: float


def day_reached(
    limit: float,
    wear: float,
    per_day: float,
    planned: Iterable[PlannedWear],
    days: Sequence[int],
    planned_per_day: float = 0.0,
) -> int | None:
    """The day by whose end an edge that is in use has worn to a limit.

    Planned work counts whole on its own day, working day or not; what should have been done before
    the first day counts on that. An edge beyond its limit already is due the next day it is used.

    Where planned jobs made a part of the usual pace, those to come are that part again and no more
    on top: of what is planned and what is usual the greater counts, the unplanned beside it.

    Source: shop rule (the usual pace goes on, and planned work comes on top of what of it was not
    planned).

    Args:
        limit: The wear to be reached, in weighted strokes [-].
        wear: What the edge has done, in weighted strokes [-].
        per_day: The usual pace, in weighted strokes of a working day [-].
        planned: The planned work, in any order [-].
        days: The working days to come, in order, as far as one looks ahead [days].
        planned_per_day: The part of the pace that planned jobs made [-].

    Returns:
        The day; None when it is not reached within those days, or the edge is not used [days].

    Raises:
        BadValue: For a figure that is negative or not a number.

    Example:
        >>> days = [101, 102, 103, 106, 107]
        >>> day_reached(5000, 4000, 300, [], days)
        106
        >>> day_reached(5000, 4000, 300, [PlannedWear(102, 200)], days)
        103
        >>> day_reached(5000, 4900, 0, [], days) is None
        True
    """
    require_not_negative(limit=limit, wear=wear, per_day=per_day, planned_per_day=planned_per_day)
    require_not_negative(unplanned_per_day=per_day - planned_per_day)
    missing = limit - wear
    if not days:
        return None
    found = [_by_pace(missing, per_day, days)]
    per_day, done = per_day - planned_per_day, 0.0
    for one in sorted(planned, key=lambda work: work.on):
        require_positive(planned=one.weighted)
        done += one.weighted
        day = max(one.on, days[0])
        if day > days[-1]:
            break
        if not falls_short(wear + done, limit):
            found.append(day)
            break
        by_pace = _by_pace(missing - done, per_day, days)
        found.append(None if by_pace is None else max(day, by_pace))
    return min((day for day in found if day is not None), default=None)


def _by_pace(missing: float, per_day: float, days: Sequence[int]) -> int | None:
    """The working day on which the usual pace alone has made up what is missing."""
    if per_day <= 0 or missing > per_day * (len(days) + _DUST):
        return None
    return days[max(ceil(max(missing, 0.0) / per_day - _DUST), 1) - 1]


def strokes_in_hand(wear: float, interval: float, renewals: int) -> float:
    """What a piece can still do: the rest of its edge, and a whole interval for each renewal.

    Source: shop rule (each grind, and each fresh edge, gives one interval).

    Args:
        wear: What the edge in use has done, in weighted strokes [-].
        interval: What an edge lasts, in weighted strokes [-].
        renewals: Grinds and fresh edges that are left [-].

    Returns:
        Weighted strokes that are left in the piece [-].

    Raises:
        BadValue: For a figure that is negative, or an interval that is not above zero.

    Example:
        >>> strokes_in_hand(4000, 5000, 2)
        11000.0
    """
    require_not_negative(wear=wear, renewals=renewals)
    require_positive(interval=interval)
    return max(float(interval - wear), 0.0) + renewals * interval
