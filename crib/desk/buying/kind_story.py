"""Every figure behind a kind: stock, use, season, jobs, life, lead time, levels, other ways."""

from __future__ import annotations

from collections.abc import Iterator

from crib.desk.buying.choice import Task
from crib.desk.buying.kind_figures import Figures, Shop
from crib.desk.buying.shelf_needs import months_held
from crib.desk.buying.stock_levels import levels_of, order_quantity
from crib.desk.buying.worth import stroke_saving, years_of
from crib.trade.money.money import break_even_holes
from crib.units import format_money


def facts_of(one: Figures, task: Task) -> Iterator[str]:
    """The figures of a kind, each a sentence that names it."""
    shop = task.board.shop
    for text in (*_stock(one), *_use(one), *_ahead(one), *_levels(one, shop), *_worth(one, shop)):
        yield f"{one.kind.name}: {text}"
    for text in _offers(one, shop):
        yield f"{one.kind.name}: {text}"


def _stock(one: Figures) -> Iterator[str]:
    yield (
        f"{one.usable} sound, {len(one.spent)} past the last grind,"
        f" {one.kind.held} to be looked at, {len(one.gone)} gone within 90 days,"
        f" {one.on_order} on order, least count {one.kind.least_count}"
    )


def _use(one: Figures) -> Iterator[str]:
    use = one.use
    if not use.strokes_per_day:
        yield f"no strokes were read for it in the last {use.observed_days} days"
        return
    yield (
        f"{use.strokes:,} strokes in {use.observed_days} days,"
        f" used {use.uses_per_week:.1f} times a week; delivery {one.lead_days} days{_seen(one)}"
    )
    if round(one.season, 2) != 1:
        yield f"this season sees {one.season:.2f} of the usual use, by the last two years' months"


def _seen(one: Figures) -> str:
    lead = one.lead
    if not lead.deliveries:
        return ""
    return f" as seen in {lead.deliveries} deliveries, give or take {lead.sd_days:.1f}"


def _ahead(one: Figures) -> Iterator[str]:
    if one.planned:
        yield f"{one.planned:,.0f} weighted strokes are planned in open jobs"
    if one.out_on:
        yield f"the last grind of all its pieces is used up on {one.out_on}"


def _levels(one: Figures, shop: Shop) -> Iterator[str]:
    levels, months = levels_of(one, shop), months_held(one, one.have)
    if levels is None or months is None:
        return
    most = one.most(shop.rules.number("buy.horizon_months"))
    yield (
        f"reorder point {levels.point:.2f}, {one.have} with those on order hold"
        f" {months:,.0f} months' use, at most {most} to have"
    )
    yield (
        f"reorder point {levels.point:.2f} = {levels.wear:.2f} worn in {one.lead_days} days"
        f" + {levels.planned:.2f} planned + {levels.safety:.2f} safety"
        f"{_service(one, shop)}"
    )
    size = order_quantity(one, shop, shop.offers.get(one.kind.id, ()))
    if size is not None:
        yield f"{one.pieces_per_year:.2f} worn a year: ordering {size} at a time costs least"


def _service(one: Figures, shop: Shop) -> str:
    if not one.running:
        return ""
    return f" (a spare, or more for {100 * shop.rules.number('buy.service_level'):.0f} % service)"


def _worth(one: Figures, shop: Shop) -> Iterator[str]:
    currency = shop.rules.text("crib.currency")
    if one.life is not None:
        years = years_of(one, shop)
        yield f"{one.life:,.0f} weighted strokes in a life, expected to serve {years:.3g} years"
    saving, way = stroke_saving(one, shop)
    if saving:
        holes = break_even_holes(one.kind.price_cents or 0, saving)
        price = one.kind.price_cents
        pays = f"; at {format_money(price, currency)} paid by {holes:,} strokes" if price else ""
        yield f"each stroke saves {format_money(round(saving), currency)} against {way}{pays}"


def _offers(one: Figures, shop: Shop) -> Iterator[str]:
    currency = shop.rules.text("crib.currency")
    if one.kind.price_cents is not None:
        yield f"{format_money(one.kind.price_cents, currency)} each on its own record"
    for offer in shop.offers.get(one.kind.id, ()):
        seen = shop.seen.get(offer.supplier)
        days = seen.days if seen else offer.lead_days
        parts = [f"{offer.supplier}: {format_money(offer.price_cents, currency)} each"]
        parts += [f"from {offer.from_quantity} up"] if offer.from_quantity > 1 else []
        parts += [f"in packs of {offer.pack_size}"] if offer.pack_size > 1 else []
        parts += [f"{days} days{' as seen' if seen else ''}"] if days is not None else []
        parts += ["made to a drawing"] if offer.to_drawing else []
        yield ", ".join(parts)
