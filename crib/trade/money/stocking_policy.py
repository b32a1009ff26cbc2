"""Reorder point and quantity together, for a demand that is about normal: exact and quick rules.

``Demand`` is that of the lead time, in pieces; costs are in one money, cents here, for a year.
What lacks is waited for, and costs either by the time it lacks (``short_cents`` for a piece and a
year) or by the piece (``penalty_cents``, as a stand-still does).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

from crib.errors import BadValue
from crib.trade.common.guards import require_positive
from crib.trade.money.stocking import economic_order, economic_order_with_shortages
from crib.trade.money.stocking_service import (
    Demand,
    above,
    best_stock_level,
    expected_short,
    reorder_for_cycle_service,
    rising_root,
    standardised,
    stocking_cents,
)

_STANDARD = NormalDist()
_MOST_STEPS = 1000
_CLOSE = 1e-12


@dataclass(frozen=True, slots=True)
class ReorderRule:
    """Order ``quantity`` whenever stock and what is on order come down to ``reorder``."""

    reorder: float
    quantity: float


@dataclass(frozen=True, slots=True)
class StockCosts:
    """What an order, a kept piece and a lacking piece cost, and the pieces used; for a year."""

    order_cents: float
    holding_cents: float
    short_cents: float
    pieces_per_year: float


def rule_cents_per_year(rule: ReorderRule, costs: StockCosts, demand: Demand) -> float:
    """What a rule costs a year: orders, pieces kept, pieces lacking while they are waited for.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., eq. 5.7 (exact,
    continuous review), with the second-order loss function.

    Args:
        rule: Reorder point and quantity [pieces].
        costs: Costs and use of a year [cents] [pieces].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        The cost of a year, the price of the pieces not counted [cents].

    Raises:
        BadValue: When a cost, the quantity or the deviation is not above zero.

    Example:
        >>> costs = StockCosts(800.0, 22.5, 750.0, 1300.0)
        >>> round(rule_cents_per_year(ReorderRule(126.8, 328.5), costs, Demand(108.333, 43.3013)))
        7807
    """
    _require_costs(costs)
    require_positive(quantity=rule.quantity)
    top = rule.reorder + rule.quantity
    waiting = (_second_short(rule.reorder, demand) - _second_short(top, demand)) / rule.quantity
    kept = rule.reorder + rule.quantity / 2 - demand.mean + waiting
    orders = costs.order_cents * costs.pieces_per_year / rule.quantity
    return orders + costs.holding_cents * kept + costs.short_cents * waiting


def best_reorder_for(quantity: float, costs: StockCosts, demand: Demand) -> float:
    """The reorder point of least cost for an order size that is settled already.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., eq. 5.9 (both ends
    of the stock's range cost the same).

    Args:
        quantity: Pieces in an order [pieces].
        costs: Costs and use of a year [cents] [pieces].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        The reorder point [pieces].

    Raises:
        BadValue: When a figure is not above zero.

    Example:
        >>> costs = StockCosts(800.0, 22.5, 750.0, 1300.0)
        >>> round(best_reorder_for(300.0, costs, Demand(1300 / 12, 150 / 12**0.5)), 2)
        129.43
    """
    _require_costs(costs)
    require_positive(quantity=quantity)
    best = best_stock_level(costs.holding_cents, costs.short_cents, demand).level

    def rise(reorder: float) -> float:
        return _ends(reorder + quantity, costs, demand) - _ends(reorder, costs, demand)

    return rising_root(rise, best - quantity, best)


def rule_by_economic_order(costs: StockCosts, demand: Demand) -> ReorderRule:
    """The quick rule: the economic order, and a safety stock by the critical ratio.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., eq. 3.4, 5.21 (its
    safety stock is larger than the best).

    Args:
        costs: Costs and use of a year [cents] [pieces].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        Reorder point and quantity [pieces].

    Raises:
        BadValue: When a figure is not above zero.

    Example:
        >>> costs = StockCosts(800.0, 22.5, 750.0, 1300.0)
        >>> round(rule_by_economic_order(costs, Demand(1300 / 12, 150 / 12**0.5)).reorder, 2)
        190.34
    """
    _require_costs(costs)
    order = economic_order(costs.order_cents, costs.holding_cents, costs.pieces_per_year)
    level = best_stock_level(costs.holding_cents, costs.short_cents, demand).level
    return ReorderRule(level, order.quantity)


def rule_by_order_with_shortages(costs: StockCosts, demand: Demand) -> ReorderRule:
    """The quick rule that comes close: the order size with shortages, and its best reorder point.

    Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., eq. 3.27, 5.9 (the
    cost is at most an eighth above the least; from memory).

    Args:
        costs: Costs and use of a year [cents] [pieces].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        Reorder point and quantity [pieces].

    Raises:
        BadValue: When a figure is not above zero.

    Example:
        >>> costs = StockCosts(800.0, 22.5, 750.0, 1300.0)
        >>> round(rule_by_order_with_shortages(costs, Demand(1300 / 12, 150 / 12**0.5)).reorder, 2)
        128.64
    """
    _require_costs(costs)
    quantity = economic_order_with_shortages(
        costs.order_cents, costs.holding_cents, costs.short_cents, costs.pieces_per_year
    ).quantity
    return ReorderRule(best_reorder_for(quantity, costs, demand), quantity)


def best_rule(costs: StockCosts, demand: Demand) -> ReorderRule:
    """Reorder point and quantity of least cost.

    At the best quantity the cost at both ends of the stock's range is the cost of the whole rule;
    below it the ends cost less, above it more.

    Source: Zheng, On Properties of Stochastic Inventory Systems, Management Science 38 (1992).

    Args:
        costs: Costs and use of a year [cents] [pieces].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        Reorder point and quantity [pieces].

    Raises:
        BadValue: When a figure is not above zero.

    Example:
        >>> costs = StockCosts(800.0, 22.5, 750.0, 1300.0)
        >>> round(best_rule(costs, Demand(1300 / 12, 150 / 12**0.5)).quantity, 2)
        328.45
    """
    _require_costs(costs)
    low = high = rule_by_order_with_shortages(costs, demand).quantity

    def excess(quantity: float) -> float:
        reorder = best_reorder_for(quantity, costs, demand)
        whole = rule_cents_per_year(ReorderRule(reorder, quantity), costs, demand)
        return _ends(reorder, costs, demand) - whole

    while excess(high) < 0:
        high *= 2
    quantity = rising_root(excess, low, high)
    return ReorderRule(best_reorder_for(quantity, costs, demand), quantity)


def rule_with_penalty(
    order_cents: float,
    holding_cents: float,
    penalty_cents: float,
    pieces_per_year: float,
    demand: Demand,
) -> ReorderRule:
    """The rule where each piece that lacks costs once, however long it is waited for.

    Quantity and reorder point are worked out in turn, each from the other, until they stand still.

    Source: Nahmias, Production and Operations Analysis, 5.4; Snyder and Shen, Fundamentals of
    Supply Chain Theory, 2nd ed., eq. 5.16 to 5.18.

    Args:
        order_cents: What one order costs beside the pieces [cents].
        holding_cents: What keeping one piece for a year costs [cents].
        penalty_cents: What one piece that lacks costs [cents].
        pieces_per_year: Pieces used in a year [-].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        Reorder point and quantity [pieces].

    Raises:
        BadValue: When a figure is not above zero, or lacking is cheaper than keeping any stock.

    Example:
        >>> round(rule_with_penalty(50.0, 2.0, 25.0, 200.0, Demand(100.0, 25.0)).reorder, 1)
        142.6
    """
    require_positive(penalty_cents=penalty_cents)
    order = economic_order(order_cents, holding_cents, pieces_per_year)
    quantity, reorder = order.quantity, demand.mean
    for _ in range(_MOST_STEPS):
        reorder = _by_penalty(quantity * holding_cents, penalty_cents * pieces_per_year, demand)
        a_cycle = order_cents + penalty_cents * expected_short(reorder, demand)
        before, quantity = quantity, sqrt(2 * pieces_per_year * a_cycle / holding_cents)
        if abs(quantity - before) <= _CLOSE * quantity:
            break
    return ReorderRule(reorder, quantity)


def _by_penalty(kept_cents: float, lacking_cents: float, demand: Demand) -> float:
    risk = kept_cents / lacking_cents
    if risk >= 1:
        message = f"keeping an order costs {kept_cents:g}, it must be < {lacking_cents:g}"
        raise BadValue(message, way_out="keep no stock of it: order when it is needed")
    return reorder_for_cycle_service(1 - risk, demand)


def _ends(level: float, costs: StockCosts, demand: Demand) -> float:
    return stocking_cents(level, costs.holding_cents, costs.short_cents, demand)


def _second_short(level: float, demand: Demand) -> float:
    """The expected shortage added up from a level upwards: the second-order loss."""
    z = standardised(level, demand)
    return demand.sd**2 / 2 * ((z * z + 1) * above(z) - z * _STANDARD.pdf(z))


def _require_costs(costs: StockCosts) -> None:
    require_positive(
        order_cents=costs.order_cents,
        holding_cents=costs.holding_cents,
        short_cents=costs.short_cents,
        pieces_per_year=costs.pieces_per_year,
    )
