"""What a quantity costs: the cheapest offer, with its packs and price breaks, else the kind's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from crib.acts import Fact, fact
from crib.stock.queries.demand import KindStock, OfferRow


@dataclass(frozen=True, slots=True)
class Price:
    """How many are bought at what price, by which offer; ``None`` prices are not known."""

    quantity: int
    unit_cents: int | None
    total_cents: int | None
    lead_days: int | None
    supplier: str
    why: Fact | None = None
    offer: OfferRow | None = None


def cheapest_offer(
    kind: KindStock | None, offers: Sequence[OfferRow], quantity: int, most: int | None
) -> Price:
    """The cheapest way to at least a quantity, and at most ``most`` when it can be helped.

    More than the quantity is bought only where that costs less than any other way; of equal cost
    the sooner delivered is taken. The kind's own price counts only where nobody made an offer.
    """
    ways = [_by_offer(offer, quantity) for offer in offers]
    if not ways and kind is not None and kind.price_cents is not None:
        total = kind.price_cents * quantity
        ways.append(Price(quantity, kind.price_cents, total, kind.lead_days, kind.supplier))
    fitting = [way for way in ways if most is None or way.quantity <= max(most, quantity)] or ways
    if not fitting:
        lead_days = None if kind is None else kind.lead_days
        return Price(quantity, None, None, lead_days, "" if kind is None else kind.supplier)
    return min(fitting, key=_order)


def bought_of(offer: OfferRow, bought: int, needed: int) -> Price:
    """The price of so many pieces by an offer, and why it is more than is needed."""
    return Price(
        bought,
        offer.price_cents,
        bought * offer.price_cents,
        offer.lead_days,
        offer.supplier,
        _why(offer, bought, needed),
        offer,
    )


def _by_offer(offer: OfferRow, quantity: int) -> Price:
    """An offer's quantity: no less than it holds from, and whole packs."""
    least = max(quantity, offer.from_quantity)
    return bought_of(offer, ceil(least / offer.pack_size) * offer.pack_size, quantity)


def _why(offer: OfferRow, bought: int, quantity: int) -> Fact | None:
    if bought == quantity:
        return None
    if offer.pack_size > 1:
        return fact("buy.packs", needed=quantity, pack_size=offer.pack_size)
    return fact("buy.price-from", needed=quantity, least=offer.from_quantity)


def _order(price: Price) -> tuple[int, int, int, str]:
    days = 10_000 if price.lead_days is None else price.lead_days
    return (price.total_cents or 0, days, price.quantity, price.supplier)
