"""Reorder point and order quantity of a kind: its use, its lead time, the shop's service level."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt

from crib.desk.buying.kind_figures import Figures, Shop
from crib.stock.queries.demand import OfferRow
from crib.trade.money.money import reorder_point
from crib.trade.money.safety_stock import lead_time_demand, safety_stock
from crib.trade.money.stocking import PriceBreak, economic_order_with_breaks

_ONE_SPARE = 1.0


@dataclass(frozen=True, slots=True)
class Levels:
    """When to order a kind again: use during the lead time, planned work and a safety stock."""

    point: float
    wear: float
    planned: float
    safety: float


def levels_of(one: Figures, shop: Shop) -> Levels | None:
    """The stock at which to order again; None for what does not wear or is not used.

    The safety stock of a running kind is one spare, or more where use, breakages and a supplier
    who is sometimes late ask for more at the shop's service level.
    """
    if one.life is None or not one.is_used:
        return None
    safety = _safety(one, shop) if one.running else 0.0
    planned = one.planned_beyond(one.weighted_per_day * one.lead_days) / one.life
    point = reorder_point(one.weighted_per_day, one.life, one.lead_days, safety)
    return Levels(point + planned, point - safety, planned, safety)


def order_quantity(one: Figures, shop: Shop, offers: Sequence[OfferRow]) -> int | None:
    """How many to order at a time where ordering and keeping cost least; None if not known."""
    per_year = one.pieces_per_year
    if not one.running or not per_year:
        return None
    number = shop.rules.number
    found = [
        (order.cents_per_year, max(1, round(order.quantity), least))
        for breaks in _ladders(one, offers)
        for order in [
            economic_order_with_breaks(
                number("buy.order_cents"), max(number("buy.carrying_pct"), 1.0), per_year, breaks
            )
        ]
        for least in [ceil(breaks[order.region].from_quantity) if order.region else 1]
    ]
    return min(found)[1] if found else None


def _safety(one: Figures, shop: Shop) -> float:
    life = one.life or 1.0
    breaks = one.use.strokes_per_day / shop.rules.number("buy.strokes_per_break")
    per_day = one.weighted_per_day / life + breaks
    # Wear and breakage come a piece at a time: the spread of a day is that of counts.
    lead = one.lead
    demand = lead_time_demand(per_day, sqrt(per_day), lead.mean_days, lead.sd_days)
    if not demand.sd:
        return _ONE_SPARE
    return max(_ONE_SPARE, safety_stock(shop.rules.number("buy.service_level"), demand))


def _ladders(one: Figures, offers: Sequence[OfferRow]) -> list[list[PriceBreak]]:
    """The falling prices of each supplier who sells single pieces, else the kind's own price."""
    by_supplier: dict[str, list[OfferRow]] = {}
    for offer in offers:
        if offer.pack_size == 1 and offer.price_cents:
            by_supplier.setdefault(offer.supplier, []).append(offer)
    found = []
    for some in by_supplier.values():
        some.sort(key=lambda offer: offer.from_quantity)
        if some[0].from_quantity == 1:
            ladder = [PriceBreak(1, some[0].price_cents)]
            for offer in some[1:]:
                if offer.price_cents < ladder[-1].price_cents:
                    ladder.append(PriceBreak(offer.from_quantity, offer.price_cents))
            found.append(ladder)
    if not offers and one.kind.price_cents:
        found.append([PriceBreak(1, one.kind.price_cents)])
    return found
