"""When to order again: reorder points and safety stocks for a demand that is about normal.

``Demand`` is that of the lead time, in pieces; costs are in one money, cents here. Reorder point
and quantity together are in ``stocking_rules``, slow movers in ``stocking_slow``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import erfc, sqrt
from statistics import NormalDist

from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.life.gamma import require_share

_STANDARD = NormalDist()
_MOST_STEPS = 200


@dataclass(frozen=True, slots=True)
class Demand:
    """The demand during a lead time: its mean and its standard deviation [pieces]."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True)
class StockLevel:
    """A level to stock up to and what it costs in each period [cents]."""

    level: float
    cents: float


def lead_time_demand(
    mean_per_day: float, sd_per_day: float, lead_days: float, lead_sd_days: float = 0.0
) -> Demand:
    """The demand during a lead time that may itself vary.

    Source: Nahmias, Production and Operations Analysis, 5.4 (from memory).

    Args:
        mean_per_day: Mean demand of a day [pieces].
        sd_per_day: Standard deviation of a day's demand; days are independent [pieces].
        lead_days: Mean lead time [days].
        lead_sd_days: Standard deviation of the lead time [days].

    Returns:
        Mean and standard deviation [pieces].

    Raises:
        BadValue: When an argument is negative.

    Example:
        >>> lead_time_demand(2.0, 1.5, 16.0)
        Demand(mean=32.0, sd=6.0)
    """
    require_not_negative(
        mean_per_day=mean_per_day,
        sd_per_day=sd_per_day,
        lead_days=lead_days,
        lead_sd_days=lead_sd_days,
    )
    spread = lead_days * sd_per_day**2 + (mean_per_day * lead_sd_days) ** 2
    return Demand(mean_per_day * lead_days, sqrt(spread))


def expected_short(level: float, demand: Demand) -> float:
    """How many pieces the demand is expected to exceed a level by.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., app. C.3 (loss
    function of the normal distribution).

    Args:
        level: The level [pieces].
        demand: Mean and standard deviation of the demand [pieces].

    Returns:
        The expected shortage [pieces].

    Raises:
        BadValue: When the standard deviation is not above zero.

    Example:
        >>> round(expected_short(60.0, Demand(50.0, 8.0)), 4)
        0.4047
    """
    z = standardised(level, demand)
    return demand.sd * (_STANDARD.pdf(z) - z * above(z))


def stocking_cents(level: float, holding_cents: float, short_cents: float, demand: Demand) -> float:
    """The expected cost of a level: what is left over is kept, what lacks is waited for.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., eq. 4.6 (newsvendor).

    Args:
        level: Pieces at the start [pieces].
        holding_cents: Cost of a piece left over [cents].
        short_cents: Cost of a piece short [cents].
        demand: Mean and standard deviation of the demand [pieces].

    Returns:
        The expected cost [cents].

    Raises:
        BadValue: When a cost is negative or the standard deviation is not above zero.

    Example:
        >>> round(stocking_cents(60.0, 18.0, 70.0, Demand(50.0, 8.0)), 4)
        215.6132
    """
    require_not_negative(holding_cents=holding_cents, short_cents=short_cents)
    short = expected_short(level, demand)
    return holding_cents * (level - demand.mean + short) + short_cents * short


def best_stock_level(holding_cents: float, short_cents: float, demand: Demand) -> StockLevel:
    """The level of least expected cost: demand stays below it with the critical ratio.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., eq. 4.24, 4.30; for
    a base stock with a lead time give the demand of the lead time and one review period.

    Args:
        holding_cents: Cost of a piece left over [cents].
        short_cents: Cost of a piece short [cents].
        demand: Mean and standard deviation of the demand [pieces].

    Returns:
        The level [pieces] and its expected cost [cents].

    Raises:
        BadValue: When a cost or the standard deviation is not above zero.

    Example:
        >>> round(best_stock_level(18.0, 70.0, Demand(50.0, 8.0)).level, 4)
        56.604
    """
    require_positive(holding_cents=holding_cents, short_cents=short_cents)
    level = reorder_for_cycle_service(short_cents / (holding_cents + short_cents), demand)
    return StockLevel(level, stocking_cents(level, holding_cents, short_cents, demand))


def safety_stock(service: float, demand: Demand) -> float:
    """Pieces kept beyond the mean, so that a share of all order cycles sees no shortage.

    Source: Nahmias, Production and Operations Analysis, 5.5 (type 1 service; from memory).

    Args:
        service: Share of the cycles, above 0 and below 1; below a half the stock is negative [-].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        The safety stock [pieces].

    Raises:
        BadValue: When the share is not between 0 and 1 or the deviation is not above zero.

    Example:
        >>> round(safety_stock(0.95, Demand(10.0, 2.0)), 4)
        3.2897
    """
    require_share(service=service)
    require_positive(sd=demand.sd)
    return demand.sd * _STANDARD.inv_cdf(service)


def reorder_for_cycle_service(service: float, demand: Demand) -> float:
    """The reorder point with which a share of all order cycles sees no shortage.

    Source: Nahmias, Production and Operations Analysis, 5.5 (type 1 service; from memory).

    Args:
        service: Share of the cycles, above 0 and below 1 [-].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        The reorder point [pieces].

    Raises:
        BadValue: When the share is not between 0 and 1 or the deviation is not above zero.

    Example:
        >>> round(reorder_for_cycle_service(0.95, Demand(10.0, 2.0)), 4)
        13.2897
    """
    return demand.mean + safety_stock(service, demand)


def fill_rate(reorder: float, quantity: float, demand: Demand) -> float:
    """The share of the demand that is served from the shelf at once.

    Source: Hopp and Spearman, Factory Physics, 2.4.3 (both terms of type 2 service; from memory).

    Args:
        reorder: The reorder point [pieces].
        quantity: Pieces in an order [pieces].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        The share [-].

    Raises:
        BadValue: When the quantity or the deviation is not above zero.

    Example:
        >>> round(fill_rate(12.0, 10.0, Demand(10.0, 2.0)), 4)
        0.9833
    """
    require_positive(quantity=quantity)
    short = expected_short(reorder, demand) - expected_short(reorder + quantity, demand)
    return 1 - short / quantity


def reorder_for_fill_rate(share: float, quantity: float, demand: Demand) -> float:
    """The reorder point with which a share of the demand is served from the shelf at once.

    Source: the inverse of ``fill_rate``, by halving.

    Args:
        share: Share of the demand, above 0 and below 1 [-].
        quantity: Pieces in an order [pieces].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        The reorder point [pieces].

    Raises:
        BadValue: When the share is not between 0 and 1 or another figure is not above zero.

    Example:
        >>> demand = Demand(10.0, 2.0)
        >>> round(fill_rate(reorder_for_fill_rate(0.99, 5.0, demand), 5.0, demand), 9)
        0.99
    """
    require_share(share=share)
    require_positive(quantity=quantity, sd=demand.sd)

    def miss(reorder: float) -> float:
        return fill_rate(reorder, quantity, demand) - share

    low, high = demand.mean - quantity, demand.mean
    while miss(low) > 0:
        low -= quantity + demand.sd
    while miss(high) < 0:
        high += quantity + demand.sd
    return rising_root(miss, low, high)


def standardised(level: float, demand: Demand) -> float:
    """How many standard deviations a level is above the mean.

    Source: the definition of the standard normal distribution.

    Args:
        level: The level [pieces].
        demand: Mean and standard deviation of the demand [pieces].

    Returns:
        The distance [-].

    Raises:
        BadValue: When the standard deviation is not above zero.

    Example:
        >>> standardised(14.0, Demand(10.0, 2.0))
        2.0
    """
    require_positive(sd=demand.sd)
    return (level - demand.mean) / demand.sd


def above(z: float) -> float:
    """The share of the standard normal distribution above a value, exact far out as well.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.29 (by the
    complementary error function; from memory).

    Args:
        z: The value [-].

    Returns:
        The share [-].

    Example:
        >>> round(above(1.96), 4)
        0.025
    """
    return erfc(z / sqrt(2)) / 2


def rising_root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that rises through zero between two values is zero, by halving.

    Source: halving of the interval, which cannot miss.

    Args:
        function: What rises [-].
        low: Where it is not above zero [-].
        high: Where it is not below zero [-].

    Returns:
        The value [-].

    Example:
        >>> rising_root(lambda value: value**3 - 8, 0.0, 4.0)
        2.0
    """
    for _ in range(_MOST_STEPS):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        low, high = (low, middle) if function(middle) > 0 else (middle, high)
    return (low + high) / 2
