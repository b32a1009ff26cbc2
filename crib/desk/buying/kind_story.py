"""Every figure behind a kind: stock, use, season, jobs, life, lead time, levels, other ways."""

from __future__ import annotations

from collections.abc import Iterator

from crib.acts import Fact, fact
from crib.desk.buying.buying_task import BuyingTask
from crib.desk.buying.kind_figures import Figures, Shop
from crib.desk.buying.shelf_needs import months_held
from crib.desk.buying.stock_levels import levels_of, order_quantity
from crib.desk.buying.worth import stroke_saving, years_of
from crib.trade.money.money import break_even_holes


def facts_of(one: Figures, task: BuyingTask) -> Iterator[Fact]:
    """The figures of a kind, each with its name."""
    shop = task.board.shop
    yield _stock(one)
    yield from _use(one)
    yield from _ahead(one)
    yield from _levels(one, shop)
    yield from _worth(one, shop)
    yield from _offers(one, shop)


def _stock(one: Figures) -> Fact:
    return fact(
        "kind.stock",
        kind=one.kind.name,
        usable=one.usable,
        spent=len(one.spent),
        to_look_at=one.kind.held,
        gone=len(one.gone),
        on_order=one.on_order,
        least_count=one.kind.least_count,
    )


def _use(one: Figures) -> Iterator[Fact]:
    use, name = one.use, one.kind.name
    if not use.strokes_per_day:
        yield fact("kind.unused", kind=name, days=use.observed_days)
        return
    yield fact(
        "kind.use",
        kind=name,
        strokes=use.strokes,
        days=use.observed_days,
        uses_per_week=use.uses_per_week,
        lead_days=one.lead_days,
        deliveries=one.lead.deliveries,
        give_or_take_days=one.lead.sd_days,
    )
    if round(one.season, 2) != 1:
        yield fact("kind.season", kind=name, season=one.season)


def _ahead(one: Figures) -> Iterator[Fact]:
    if one.planned:
        yield fact("kind.planned", kind=one.kind.name, weighted=one.planned)
    if one.out_on:
        yield fact("kind.runs-out", kind=one.kind.name, out_on=one.out_on)


def _levels(one: Figures, shop: Shop) -> Iterator[Fact]:
    levels, months = levels_of(one, shop), months_held(one, one.have)
    if levels is None or months is None:
        return
    name, point = one.kind.name, levels.point
    most = one.most(shop.rules.number("buy.horizon_months"))
    yield fact("kind.months", kind=name, point=point, have=one.have, months=months, most=most)
    yield fact(
        "kind.point",
        kind=name,
        point=point,
        wear=levels.wear,
        lead_days=one.lead_days,
        planned=levels.planned,
        safety=levels.safety,
        service=shop.rules.number("buy.service_level") if one.running else None,
    )
    size = order_quantity(one, shop, shop.offers.get(one.kind.id, ()))
    if size is not None:
        per_year = one.pieces_per_year
        yield fact("kind.order-size", kind=name, pieces_per_year=per_year, size=size)


def _worth(one: Figures, shop: Shop) -> Iterator[Fact]:
    if one.life is not None:
        years = years_of(one, shop)
        yield fact("kind.life", kind=one.kind.name, life=one.life, years=years)
    saving, way = stroke_saving(one, shop)
    if saving:
        yield fact(
            "kind.saving",
            kind=one.kind.name,
            saving_cents=saving,
            way=way,
            price_cents=one.kind.price_cents,
            paid_by=break_even_holes(one.kind.price_cents or 0, saving),
            currency=shop.currency,
        )


def _offers(one: Figures, shop: Shop) -> Iterator[Fact]:
    name, cents = one.kind.name, one.kind.price_cents
    if cents is not None:
        yield fact("kind.own-price", kind=name, price_cents=cents, currency=shop.currency)
    for offer in shop.offers.get(one.kind.id, ()):
        seen = shop.seen.get(offer.supplier)
        yield fact(
            "kind.offer",
            kind=name,
            supplier=offer.supplier,
            price_cents=offer.price_cents,
            least=offer.from_quantity,
            pack_size=offer.pack_size,
            days=seen.days if seen else offer.lead_days,
            is_seen=seen is not None,
            to_drawing=offer.to_drawing,
            currency=shop.currency,
        )
