"""How a month of the year differs from the others, told from two whole years of use."""

from __future__ import annotations

from collections.abc import Sequence

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative

MONTHS = 24
LEAST_FACTOR, MOST_FACTOR = 0.5, 2.0
_YEAR = 12


def season_factor(strokes_by_month: Sequence[float], months_ahead: int = 0) -> float:
    """How much of the usual use a month to come will see: 1 is as usual.

    The mean of that month in both years, over the mean of all 24 months; never below a half nor
    above double, as two years are little to go by. Without any use it is 1.

    Source: shop rule (the same month of the last two years against their mean).

    Args:
        strokes_by_month: The last 24 whole months, the oldest first [strokes].
        months_ahead: 0 for the month after them, 1 for the next one, and so on [months].

    Returns:
        The factor [-].

    Raises:
        BadValue: When there are not 24 months, or a figure is negative.

    Example:
        >>> season_factor([100.0] * 11 + [190.0] + [100.0] * 11 + [190.0], 11)
        1.7674
    """
    require_not_negative(months_ahead=months_ahead, least_strokes=min(strokes_by_month, default=0))
    if len(strokes_by_month) != MONTHS:
        message = f"{len(strokes_by_month)} months, it must be {MONTHS}"
        raise BadValue(message, way_out="with less than two years every month counts as usual")
    mean = sum(strokes_by_month) / MONTHS
    if not mean:
        return 1.0
    month = months_ahead % _YEAR
    same = (strokes_by_month[month] + strokes_by_month[month + _YEAR]) / 2
    return min(max(same / mean, LEAST_FACTOR), MOST_FACTOR)
