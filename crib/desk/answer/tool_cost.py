"""What tools cost: the price of one of a kind, and what a feature wears off it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from crib.desk.answer.rank import Candidate
from crib.desk.common.piece_wear import EDGED, edges_in_life
from crib.desk.common.prices import Price, cheapest_offer
from crib.stock.engine.session import Session
from crib.stock.queries.demand import kinds_with_stock, offers_by_kind
from crib.trade.money.make_ways import wear_cents
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class ToolCost:
    """One of a kind: the cheapest way to it, and the fresh edges it has from new to spent.

    ``edges`` is 0 for what does not wear; ``interval`` is that of the settings, in weighted
    strokes. A piece on the shelf has an interval of its own.
    """

    price: Price
    edges: int
    interval: float

    @property
    def life(self) -> float:
        """Weighted strokes from new to spent."""
        return self.edges * self.interval


def tool_costs(session: Session, names: Collection[str], rules: Rules) -> dict[str, ToolCost]:
    """The cost of each kind that is named, by its name."""
    if not names:
        return {}
    offers = offers_by_kind(session)
    usual = rules.number("wear.interval_strokes")
    return {
        kind.name: ToolCost(
            cheapest_offer(kind, offers.get(kind.id, []), 1, None),
            edges_in_life(kind, rules) if kind.role in EDGED else 0,
            kind.learned_strokes or kind.interval_strokes or usual,
        )
        for kind in kinds_with_stock(session)
        if kind.name in names
    }


def wear_each(pick: Candidate, costs: Mapping[str, ToolCost]) -> tuple[float, list[str]]:
    """The wear of all tools for one feature [cents], and the kinds whose price is not known."""
    total, unknown = 0.0, list[str]()
    for role, tool in pick.tooling.tools.items():
        cost = costs.get(tool.kind)
        if cost is None or not cost.edges:
            continue
        if cost.price.unit_cents is None:
            unknown.append(tool.kind)
            continue
        life = cost.edges * tool.interval
        total += wear_cents(cost.price.unit_cents, life, pick.severities[role])
    return total, unknown
