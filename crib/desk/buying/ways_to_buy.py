"""The ways to buy a draft: every supplier's packs and price breaks, in time, with lead times seen.

What is made to a drawing is offered only for an order in hand or a size that repeats. More than a
year's use is offered only where the price pays for keeping it, or nothing smaller is sold.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil

from crib.acts import Fact, fact
from crib.desk.buying.drafts import REPEATED_JOBS, Draft
from crib.desk.buying.kind_figures import Shop
from crib.desk.buying.worth import years_of
from crib.desk.common.prices import Price, bought_of, cheapest_offer
from crib.stock.queries.demand import OfferRow
from crib.trade.money.stocking import overstock_brake
from crib.trade.money.tool_worth import charge_a_year_cents

_MONTHS = 12


@dataclass(frozen=True, slots=True)
class Market:
    """What may be bought of a draft now: its offers, the most to buy, and why others are out."""

    draft: Draft
    offers: tuple[OfferRow, ...]
    most: int | None
    late: bool = False
    why_not: Fact | None = None

    def price(self, quantity: int) -> Price:
        """The cheapest way to at least so many; of what comes too late when nothing else does."""
        kind = self.draft.figures.kind if self.draft.figures else None
        return cheapest_offer(kind, self.offers, quantity, self.most)


def market_of(draft: Draft, shop: Shop, by: date | None) -> Market:
    """The offers of a draft's kind that count now."""
    if draft.figures is None:
        return Market(draft, (), None)
    every = [_as_seen(offer, shop) for offer in _offers(draft, shop)]
    special = [one for one in every if one.to_drawing]
    if special and not (draft.repeated or draft.ordered_for(shop.in_hand)):
        every = [one for one in every if not one.to_drawing]
        if not every:
            why_not = fact("buy.only-to-order", jobs=REPEATED_JOBS)
            return Market(draft, tuple(special), None, late=True, why_not=why_not)
    timely = [one for one in every if by is None or _comes_on(one, shop) <= by]
    if every and not timely:
        soonest = min(_comes_on(one, shop) for one in every)
        why_not = fact("buy.too-late", soonest=str(soonest), by=str(by))
        return Market(draft, tuple(every), None, late=True, why_not=why_not)
    return Market(draft, tuple(timely), _most(draft, shop, timely))


def charge_cents(price_cents: int, draft: Draft, shop: Shop) -> int:
    """What a price costs a year while a piece serves; what is used once is not kept."""
    carrying_pct = shop.rules.number("buy.carrying_pct") if draft.lasts else 0.0
    return charge_a_year_cents(price_cents, draft_years(draft, shop), carrying_pct)


def draft_years(draft: Draft, shop: Shop) -> float:
    """The years that a draft's tool is expected to serve."""
    return years_of(draft.figures, shop, draft.wanted_a_year)


def tiers(market: Market, quantity: int) -> list[tuple[OfferRow, int, int]]:
    """The offers that are the cheapest for some count up to a quantity: from and up to how often.

    The cheaper ones stand first, so that of equal choices they are taken.
    """
    best: dict[OfferRow, list[int]] = {}
    for count in range(1, quantity + 1):
        price = market.price(count)
        offer = price.offer
        if offer is not None:
            best.setdefault(offer, []).append(price.quantity // offer.pack_size)
    return [(offer, min(times), max(times)) for offer, times in best.items()]


def bought(offer: OfferRow, times: int, needed: int) -> Price:
    """The price of an offer that is bought so many times."""
    return bought_of(offer, times * offer.pack_size, needed)


def _offers(draft: Draft, shop: Shop) -> Sequence[OfferRow]:
    """The offers of a kind; its own price counts only where nobody made one."""
    kind = draft.figures.kind if draft.figures else None
    if kind is None:
        return ()
    offers = shop.offers.get(kind.id, [])
    if offers or kind.price_cents is None:
        return offers
    return [OfferRow(kind.supplier, 1, 1, kind.price_cents, kind.lead_days)]


def _as_seen(offer: OfferRow, shop: Shop) -> OfferRow:
    seen = shop.seen.get(offer.supplier)
    return offer if seen is None else replace(offer, lead_days=seen.days)


def _comes_on(offer: OfferRow, shop: Shop) -> date:
    usual = round(shop.rules.number("buy.lead_days_default"))
    return shop.today + timedelta(days=usual if offer.lead_days is None else offer.lead_days)


def _most(draft: Draft, shop: Shop, offers: Sequence[OfferRow]) -> int | None:
    """The most to buy: what is used within the horizon, and more where a price break pays."""
    one = draft.figures
    most = one.most(shop.rules.number("buy.horizon_months")) if one else None
    if one is None or most is None:
        return None
    room = most - draft.have
    price = cheapest_offer(None, offers, draft.quantity, room)
    if price.unit_cents is None or price.quantity != draft.quantity:
        return room
    return max([room, *(n for offer in offers if (n := _pays(offer, price, draft, shop)))])


def _pays(offer: OfferRow, price: Price, draft: Draft, shop: Shop) -> int:
    """How many an offer makes of a draft, if the lower price pays for keeping them; else 0."""
    one, unit_cents = draft.figures, price.unit_cents or 0
    least = max(draft.quantity, offer.from_quantity)
    quantity = ceil(least / offer.pack_size) * offer.pack_size
    if one is None or one.life is None or offer.price_cents >= unit_cents:
        return 0
    brake = overstock_brake(
        draft.quantity,
        quantity,
        unit_cents,
        offer.price_cents,
        have=draft.have,
        life_strokes=one.life,
        strokes_per_month=one.pieces_per_year * one.life / _MONTHS,
        carrying_pct=shop.rules.number("buy.carrying_pct"),
        most_months=shop.rules.number("buy.horizon_months"),
    )
    return quantity if brake.allowed else 0
