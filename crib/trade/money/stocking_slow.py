"""Slow movers: demand in single pieces, by chance (Poisson), as tools are broken or worn out.

``mean`` is the mean demand during the time that a new piece takes to come. A base stock of n means
that each piece used is ordered again at once; its reorder point is n - 1. What lacks is waited for.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, lgamma, log

from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.life.gamma import gamma_share, require_share


@dataclass(frozen=True, slots=True)
class BaseStock:
    """A level in whole pieces to stock up to, and what it costs in a period [cents]."""

    level: int
    cents: float


@dataclass(frozen=True, slots=True)
class SlowRule:
    """Order ``quantity`` when stock and orders are down to ``reorder``; the cost of a period."""

    reorder: int
    quantity: int
    cents: float


def chance_of(count: int, mean: float) -> float:
    """The chance that just so many pieces are asked for.

    Source: the Poisson distribution.

    Args:
        count: Pieces [pieces].
        mean: Mean demand [pieces].

    Returns:
        The chance [-].

    Raises:
        BadValue: When an argument is negative, or the mean zero.

    Example:
        >>> round(chance_of(10, 10.0), 5)
        0.12511
    """
    require_not_negative(count=count)
    require_positive(mean=mean)
    return exp(count * log(mean) - mean - lgamma(count + 1))


def chance_up_to(count: int, mean: float) -> float:
    """The chance that at most so many pieces are asked for; 0 below none.

    Source: the Poisson distribution, by its relation to the gamma distribution (Abramowitz and
    Stegun, Handbook of Mathematical Functions, 26.4.21; from memory).

    Args:
        count: Pieces [pieces].
        mean: Mean demand [pieces].

    Returns:
        The chance [-].

    Raises:
        BadValue: When the mean is not above zero.

    Example:
        >>> round(chance_up_to(14, 10.0), 5)
        0.91654
    """
    require_positive(mean=mean)
    return 0.0 if count < 0 else 1 - gamma_share(count + 1.0, mean)


def expected_backorders(level: int, mean: float) -> float:
    """How many pieces are waited for at a time, with a base stock.

    Source: Sherbrooke, Optimal Inventory Modeling of Systems, ch. 2 (from memory); any spread of
    the lead time gives the same (Palm).

    Args:
        level: Pieces on the shelf and on order less those waited for [pieces].
        mean: Mean demand during the lead time [pieces].

    Returns:
        The expected number [pieces].

    Raises:
        BadValue: When the mean is not above zero.

    Example:
        >>> [round(expected_backorders(level, 1.0), 3) for level in range(4)]
        [1.0, 0.368, 0.104, 0.023]
    """
    require_positive(mean=mean)
    if level <= 0:
        return mean - level
    more = gamma_share(float(level), mean)
    return max(0.0, mean * more - level * gamma_share(level + 1.0, mean))


def base_stock_fill_rate(level: int, mean: float) -> float:
    """The share of the demand that a base stock serves from the shelf at once.

    Source: Hopp and Spearman, Factory Physics, ch. 2 (from memory): a piece is there if fewer were
    asked for since its forerunner was ordered.

    Args:
        level: The base stock [pieces].
        mean: Mean demand during the lead time [pieces].

    Returns:
        The share [-].

    Raises:
        BadValue: When the mean is not above zero.

    Example:
        >>> round(base_stock_fill_rate(15, 10.0), 3)
        0.917
    """
    return chance_up_to(level - 1, mean)


def least_base_stock(fill_rate: float, mean: float) -> int:
    """The fewest pieces that serve a share of the demand from the shelf at once.

    Source: the inverse of ``base_stock_fill_rate``.

    Args:
        fill_rate: The share, above 0 and below 1 [-].
        mean: Mean demand during the lead time [pieces].

    Returns:
        The base stock; order again below it, so its reorder point is one less [pieces].

    Raises:
        BadValue: When the share is not between 0 and 1 or the mean not above zero.

    Example:
        >>> least_base_stock(0.9, 10.0), least_base_stock(0.95, 0.2)
        (15, 2)
    """
    require_share(fill_rate=fill_rate)
    return _least_count(fill_rate, mean) + 1


def base_stock_cents(level: int, holding_cents: float, short_cents: float, mean: float) -> float:
    """The expected cost of a base stock: what lies on the shelf and what is waited for.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., eq. 4.6.

    Args:
        level: The base stock [pieces].
        holding_cents: Cost of a piece on the shelf for a period [cents].
        short_cents: Cost of a piece waited for, for a period [cents].
        mean: Mean demand during the lead time [pieces].

    Returns:
        The expected cost of a period [cents].

    Raises:
        BadValue: When a cost is negative or the mean is not above zero.

    Example:
        >>> round(base_stock_cents(1, 10.0, 100.0, 1.0), 2)
        40.47
    """
    require_not_negative(holding_cents=holding_cents, short_cents=short_cents)
    waiting = expected_backorders(level, mean)
    return holding_cents * (level - mean + waiting) + short_cents * waiting


def best_base_stock(holding_cents: float, short_cents: float, mean: float) -> BaseStock:
    """The base stock of least expected cost: the fewest whose chance reaches the critical ratio.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., 4.3 (discrete
    demand).

    Args:
        holding_cents: Cost of a piece left over [cents].
        short_cents: Cost of a piece short [cents].
        mean: Mean demand [pieces].

    Returns:
        The level [pieces] and its expected cost [cents].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> best_base_stock(1.0, 4.0, 6.0).level
        8
    """
    require_positive(holding_cents=holding_cents, short_cents=short_cents)
    # Costs far apart would round to a certainty, which no level reaches.
    require_share(critical_ratio=short_cents / (holding_cents + short_cents))
    level = _least_count(short_cents / (holding_cents + short_cents), mean)
    return BaseStock(level, base_stock_cents(level, holding_cents, short_cents, mean))


def best_slow_rule(
    order_cents: float,
    holding_cents: float,
    short_cents: float,
    pieces_per_period: float,
    lead_periods: float,
) -> SlowRule:
    """Reorder point and quantity of least cost, exact, for demand by single pieces.

    Stock and orders lie evenly on the levels above the reorder point. Starting from the best base
    stock the cheaper neighbour is added as long as that lowers the average.

    Source: Federgruen and Zheng, An Efficient Algorithm for Computing an Optimal (r, Q) Policy,
    Operations Research 40 (1992).

    Args:
        order_cents: What one order costs beside the pieces [cents].
        holding_cents: Cost of a piece on the shelf for a period [cents].
        short_cents: Cost of a piece waited for, for a period [cents].
        pieces_per_period: Mean demand of a period [pieces].
        lead_periods: Periods from order to delivery [periods].

    Returns:
        Reorder point and quantity [pieces], and the cost of a period [cents].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> best_slow_rule(100.0, 20.0, 150.0, 1.5, 2.0)
        SlowRule(reorder=3, quantity=5, cents=107.92...)
    """
    require_positive(
        order_cents=order_cents, pieces_per_period=pieces_per_period, lead_periods=lead_periods
    )
    mean = pieces_per_period * lead_periods

    def at(level: int) -> float:
        return base_stock_cents(level, holding_cents, short_cents, mean)

    best = best_base_stock(holding_cents, short_cents, mean)
    reorder, quantity = best.level - 1, 1
    total = order_cents * pieces_per_period + best.cents
    while True:
        below, beyond = at(reorder), at(reorder + quantity + 1)
        if min(below, beyond) >= total / quantity:
            return SlowRule(reorder, quantity, total / quantity)
        total += min(below, beyond)
        quantity += 1
        reorder -= below <= beyond


def _least_count(share: float, mean: float) -> int:
    """The fewest pieces that the demand stays at or below with a chance."""
    low, high = -1, 1
    while chance_up_to(high, mean) < share:
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if chance_up_to(middle, mean) < share else (low, middle)
    return high
