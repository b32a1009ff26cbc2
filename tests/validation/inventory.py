"""The stocking formulas as the examples of textbooks ask for them: inputs by their usual symbols.

K is the cost of an order, h of keeping a piece for a period, p of lacking one, D the demand of a
period with its deviation sd, L the lead time in periods, i the carrying cost as a share.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from crib.trade.money.money import reorder_point
from crib.trade.money.stocking import (
    PriceBreak,
    economic_order,
    economic_order_with_breaks,
    economic_order_with_shortages,
)
from crib.trade.money.stocking_policy import (
    ReorderRule,
    StockCosts,
    best_reorder_for,
    best_rule,
    rule_by_economic_order,
    rule_by_order_with_shortages,
    rule_cents_per_year,
    rule_with_penalty,
)
from crib.trade.money.stocking_service import (
    Demand,
    best_stock_level,
    lead_time_demand,
    stocking_cents,
)
from crib.trade.money.stocking_slow import (
    base_stock_fill_rate,
    best_base_stock,
    best_slow_rule,
    chance_of,
    expected_backorders,
)

Inputs = Mapping[str, str]
Answers = dict[str, float]


def inputs_of(text: str) -> dict[str, str]:
    """``K=8; h=0.225`` as a dictionary."""
    return dict(part.strip().split("=") for part in text.split(";"))


def answers(model: str, text: str) -> Answers:
    """What the program's formulas say, by the names of the quantities."""
    return _MODELS[model](inputs_of(text))


def _numbers(given: Inputs, names: str) -> list[float]:
    return [float(given[name]) for name in names.split()]


def _lead(given: Inputs) -> Demand:
    return lead_time_demand(*_numbers(given, "D sd L"))


def _costs(given: Inputs) -> StockCosts:
    return StockCosts(*_numbers(given, "K h p D"))


def _order(given: Inputs) -> Answers:
    order = economic_order(*_numbers(given, "K h D"))
    return {"quantity": order.quantity, "cost": order.cents_per_year}


def _order_with_shortages(given: Inputs) -> Answers:
    order = economic_order_with_shortages(*_numbers(given, "K h p D"))
    return {
        "quantity": order.quantity,
        "cost": order.cents_per_year,
        "short": order.short_share,
    }


def _order_with_breaks(given: Inputs) -> Answers:
    pairs = zip(given["breaks"].split("/"), given["prices"].split("/"), strict=True)
    breaks = [PriceBreak(float(least), float(price)) for least, price in pairs]
    order_cost, share, demand = _numbers(given, "K i D")
    order = economic_order_with_breaks(order_cost, 100 * share, demand, breaks)
    return {"quantity": order.quantity, "cost": order.cents_per_year, "region": order.region}


def _stock_cost(given: Inputs) -> Answers:
    level, holding, lacking, mean, sd = _numbers(given, "level h p mean sd")
    return {"cost": stocking_cents(level, holding, lacking, Demand(mean, sd))}


def _stock_level(given: Inputs) -> Answers:
    holding, lacking, mean, sd = _numbers(given, "h p mean sd")
    best = best_stock_level(holding, lacking, Demand(mean, sd))
    return {"level": best.level, "cost": best.cents, "profit at 0 7": 0.7 * mean - best.cents}


def _stock_level_with_lead_time(given: Inputs) -> Answers:
    holding, lacking, mean, sd, lead = _numbers(given, "h p mean sd L")
    best = best_stock_level(holding, lacking, lead_time_demand(mean, sd, lead + 1))
    return {"level": best.level, "cost": best.cents}


def _base_stock(given: Inputs) -> Answers:
    best = best_base_stock(*_numbers(given, "h p mean"))
    return {"level": best.level, "cost": best.cents}


def _rule_cost(given: Inputs) -> Answers:
    rule = ReorderRule(*_numbers(given, "r Q"))
    return {"cost": rule_cents_per_year(rule, _costs(given), _lead(given))}


def _best_reorder(given: Inputs) -> Answers:
    return {"reorder": best_reorder_for(float(given["Q"]), _costs(given), _lead(given))}


def _rule(
    make: Callable[[StockCosts, Demand], ReorderRule],
) -> Callable[[Inputs], Answers]:
    def made(given: Inputs) -> Answers:
        costs, demand = _costs(given), _lead(given)
        rule = make(costs, demand)
        cost = rule_cents_per_year(rule, costs, demand)
        return {"reorder": rule.reorder, "quantity": rule.quantity, "cost": cost}

    return made


def _rule_with_penalty(given: Inputs) -> Answers:
    demand = _lead(given) if "L" in given else Demand(*_numbers(given, "mean sd"))
    order, holding, penalty, use = _numbers(given, "K h p D")
    rule = rule_with_penalty(order, holding, penalty, use, demand)
    return {"reorder": rule.reorder, "quantity": rule.quantity}


def _slow_rule(given: Inputs) -> Answers:
    rule = best_slow_rule(*_numbers(given, "K h p rate L"))
    return {"reorder": rule.reorder, "quantity": rule.quantity, "cost": rule.cents}


def _poisson_fill(given: Inputs) -> Answers:
    mean = float(given["mean"])
    return {
        "fill rate": base_stock_fill_rate(int(given["level"]), mean),
        "chance": chance_of(int(given["count"]), mean),
    }


def _backorders(given: Inputs) -> Answers:
    return {"short": expected_backorders(int(given["level"]), float(given["mean"]))}


def _steady_reorder(given: Inputs) -> Answers:
    rate, lead = _numbers(given, "rate L")
    return {"reorder": reorder_point(rate, 1.0, lead, 0.0)}


_MODELS: dict[str, Callable[[Inputs], Answers]] = {
    "order": _order,
    "order with shortages": _order_with_shortages,
    "order with breaks": _order_with_breaks,
    "stock cost": _stock_cost,
    "stock level": _stock_level,
    "stock level with lead time": _stock_level_with_lead_time,
    "base stock": _base_stock,
    "rule cost": _rule_cost,
    "best reorder": _best_reorder,
    "rule by economic order": _rule(rule_by_economic_order),
    "rule with shortages": _rule(rule_by_order_with_shortages),
    "best rule": _rule(best_rule),
    "rule with penalty": _rule_with_penalty,
    "rule with penalty each": _rule_with_penalty,
    "slow rule": _slow_rule,
    "poisson fill": _poisson_fill,
    "backorders": _backorders,
    "steady reorder": _steady_reorder,
}
