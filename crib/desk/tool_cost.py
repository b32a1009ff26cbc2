"""What tools cost: the price of one of a kind, and what a feature wears off it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from math import floor

from crib.desk.buy_prices import Price, cheapest
from crib.desk.rank import Candidate
from crib.desk.standing import EDGED
from crib.stock.demand import KindStock, kinds_with_stock, offers_by_kind
from crib.stock.session import Session
from crib.trade.make_ways import wear_cents
from crib.trade.rules import Rules


@dataclass(frozen=True, slots=True)
class ToolCost:
    """One of a kind: the cheapest way to it, and its life in weighted strokes.

    ``life`` is None for what has no edge.
    """

    price: Price
    life: float | None


def tool_costs(session: Session, names: Collection[str], rules: Rules) -> dict[str, ToolCost]:
    """The cost of each kind that is named, by its name."""
    if not names:
        return {}
    offers = offers_by_kind(session)
    return {
        kind.name: ToolCost(cheapest(kind, offers.get(kind.id, []), 1, None), _life(kind, rules))
        for kind in kinds_with_stock(session)
        if kind.name in names
    }


def wear_each(pick: Candidate, costs: Mapping[str, ToolCost]) -> tuple[float, list[str]]:
    """The wear of all tools for one feature [cents], and the kinds whose price is not known."""
    total, unknown = 0.0, list[str]()
    for role, tool in pick.tooling.tools.items():
        cost = costs.get(tool.kind)
        if tool.role not in EDGED or cost is None or cost.life is None:
            continue
        if cost.price.unit_cents is None:
            unknown.append(tool.kind)
            continue
        total += wear_cents(cost.price.unit_cents, cost.life, pick.severities[role])
    return total, unknown


def _life(kind: KindStock, rules: Rules) -> float | None:
    """The interval for each edge and each usual grind of what may be ground off."""
    if kind.role not in EDGED:
        return None
    interval = kind.interval_strokes or rules.number("wear.interval_strokes")
    allowance_mm = rules.number("grind.most_total_mm")
    if kind.regrind_mm is not None:
        allowance_mm = kind.regrind_mm
    elif kind.length_mm is not None and kind.least_length_mm is not None:
        allowance_mm = max(kind.length_mm - kind.least_length_mm, 0.0)
    grinds = floor(allowance_mm / rules.number("grind.typical_mm") + 1e-6)
    return float(interval) * (grinds + kind.edges)
