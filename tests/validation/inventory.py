"""The stocking formulas as the examples of textbooks ask for them: inputs by their usual symbols.

K is the cost of an order, h of keeping a piece for a period, p of lacking one, D the demand of a
period with its deviation sd, L the lead time in periods, i the carrying cost as a share.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import count

from crib.trade.life.gamma import chance_up_to
from crib.trade.money.money import reorder_point
from crib.trade.money.safety_stock import Demand, lead_time_demand, safety_stock
from crib.trade.money.stocking import PriceBreak, economic_order, economic_order_with_breaks

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


def _order(given: Inputs) -> Answers:
    order = economic_order(*_numbers(given, "K h D"))
    return {"quantity": order.quantity, "cost": order.cents_per_year}


def _order_with_breaks(given: Inputs) -> Answers:
    pairs = zip(given["breaks"].split("/"), given["prices"].split("/"), strict=True)
    breaks = [PriceBreak(float(least), float(price)) for least, price in pairs]
    order_cost, share, demand = _numbers(given, "K i D")
    order = economic_order_with_breaks(order_cost, 100 * share, demand, breaks)
    return {"quantity": order.quantity, "cost": order.cents_per_year, "region": order.region}


def _critical_ratio(given: Inputs) -> float:
    holding, lacking = _numbers(given, "h p")
    return lacking / (holding + lacking)


def _level(given: Inputs, demand: Demand) -> float:
    return demand.mean + safety_stock(_critical_ratio(given), demand)


def _stock_level(given: Inputs) -> Answers:
    return {"level": _level(given, Demand(*_numbers(given, "mean sd")))}


def _stock_level_with_lead_time(given: Inputs) -> Answers:
    mean, sd, lead = _numbers(given, "mean sd L")
    return {"level": _level(given, lead_time_demand(mean, sd, lead + 1))}


def _base_stock(given: Inputs) -> Answers:
    ratio, mean = _critical_ratio(given), float(given["mean"])
    return {"level": next(level for level in count() if chance_up_to(level, mean) >= ratio)}


def _rule_by_economic_order(given: Inputs) -> Answers:
    quantity = economic_order(*_numbers(given, "K h D")).quantity
    return {"reorder": _level(given, _lead(given)), "quantity": quantity}


def _poisson_fill(given: Inputs) -> Answers:
    mean, asked = float(given["mean"]), int(given["count"])
    return {
        "fill rate": chance_up_to(int(given["level"]) - 1, mean),
        "chance": chance_up_to(asked, mean) - chance_up_to(asked - 1, mean),
    }


def _backorders(given: Inputs) -> Answers:
    level, mean = int(given["level"]), float(given["mean"])
    waiting = (1 - chance_up_to(asked, mean) for asked in range(level, level + 100))
    return {"short": sum(waiting)}


def _steady_reorder(given: Inputs) -> Answers:
    rate, lead = _numbers(given, "rate L")
    return {"reorder": reorder_point(rate, 1.0, lead, 0.0)}


_MODELS: dict[str, Callable[[Inputs], Answers]] = {
    "order": _order,
    "order with breaks": _order_with_breaks,
    "stock level": _stock_level,
    "stock level with lead time": _stock_level_with_lead_time,
    "base stock": _base_stock,
    "rule by economic order": _rule_by_economic_order,
    "poisson fill": _poisson_fill,
    "backorders": _backorders,
    "steady reorder": _steady_reorder,
}
