"""How much of what was seen may be claimed for a year: little evidence is no yearly rate."""

from __future__ import annotations

from crib.trade.common.guards import require_positive

YEAR_DAYS = 365


def claim_a_year(
    times: float, days: float, full_times: float, least_days: float, most_years: float
) -> float:
    """How many times what was seen is claimed for each year to come.

    What came once counts once, over the years that a tool is reckoned to serve. What came as often
    as the shop asks of a rate counts at the rate seen; between, in even steps. Days that are too
    few for a rate count as the least, so that a busy first month is not taken twelve times.

    Source: shop rule (a straight line between once and the rate seen).

    Args:
        times: Independent times that it was seen: shifts with strokes, jobs that asked [-].
        days: Days that were looked at [days].
        full_times: Times from which the rate seen is claimed whole, 1 or more [-].
        least_days: Days that count as looked at, at least [days].
        most_years: Years over which what came once is spread [years].

    Returns:
        Multiples of what was seen [1/year].

    Raises:
        BadValue: When a figure is not above zero.

    Example:
        >>> [round(claim_a_year(times, 365, 10, 90, 5.0), 2) for times in (1, 4, 10, 50)]
        [0.2, 0.47, 1.0, 1.0]
    """
    require_positive(times=times, days=days, least_days=least_days, most_years=most_years)
    require_positive(full_times=full_times)
    rate = YEAR_DAYS / max(days, least_days)
    once = min(1.0 / most_years, rate)
    weight = min((times - 1) / (full_times - 1), 1.0) if full_times > 1 else 1.0
    return once + max(weight, 0.0) * (rate - once)
