"""What is told of a line: what it is, why it is bought, what it is worth, what a package holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from statistics import mean

from crib.acts import Fact, fact
from crib.desk.buying.buying_task import BuyingTask, package_offer
from crib.desk.buying.choice import BuyingChoice
from crib.desk.buying.drafts import Draft, Wish
from crib.desk.buying.kind_figures import Shop
from crib.desk.buying.line_groups import PricedPieces
from crib.desk.buying.order_cost import order_cents
from crib.desk.buying.ways_to_buy import charge_cents, draft_years
from crib.features.common.order_text import order_text, short_text
from crib.features.common.speech import Speech
from crib.features.common.tool_match import is_listed
from crib.features.common.tool_spec import ToolSpec
from crib.trade.money.money import break_even_holes
from crib.trade.money.tool_worth import whole_prices

_MOST_REASONS = 8
_WHOLE = 0.995
"""A claim from which on the rate seen is the rate claimed."""


@dataclass(frozen=True, slots=True)
class PackagePiece:
    """A kind of a package: how many come, how many are of use, and their share of the price.

    ``prices`` are counts with the price of each [cents]; they add up to the package's price.
    """

    kind: str
    quantity: int
    useful: int
    prices: tuple[tuple[int, int], ...]


def spec_of(entry: PricedPieces, shop: Shop) -> ToolSpec:
    """What is ordered: as many as the price makes it, for these jobs, by that day."""
    draft = entry.drafts[0]
    due = min((one.due_on for one in draft.fresh if one.due_on >= str(shop.today)), default="")
    return replace(
        draft.spec, quantity=entry.price.quantity, job=", ".join(draft.jobs), needed_by=due
    )


def texts_of(entry: PricedPieces, spec: ToolSpec, shop: Shop) -> tuple[str, str]:
    """What a line is in a few words, and what the supplier gets."""
    if entry.package is None:
        say = Speech(shop.rules)
        return short_text(spec, say), order_text(spec, say)
    name = entry.package.name
    parts = ", ".join(f"{piece.quantity} x {piece.kind}" for piece in entry.package.pieces)
    return f"package {name}", f"1 package {name!r} of {entry.package.count} pieces: {parts}"


def reasons_of(
    task: BuyingTask, entry: PricedPieces, name: str, names: Mapping[int, str]
) -> Iterator[Fact]:
    """Why a line is there, the weightiest first."""
    if entry.package is not None:
        yield from _package_reasons(task, entry)
        return
    draft = entry.drafts[0]
    if draft.repeated:
        yield fact("buy.wanted-often", jobs=len(draft.jobs))
    reasons = draft.why
    yield from reasons[:_MOST_REASONS]
    if len(reasons) > _MOST_REASONS:
        yield fact("buy.more-reasons", count=len(reasons) - _MOST_REASONS)
    yield from _given_up(draft, task.board.shop)
    yield from _thin(draft)
    if entry.by_rule:
        yield fact("buy.by-rule", count=entry.by_rule, quantity=entry.price.quantity)
    if entry.is_idle:
        yield fact("buy.idle")
    if draft.on_order:
        yield fact("buy.on-order", count=draft.on_order, since=draft.ordered_on)
    if names[draft.index] != name:
        yield fact("buy.more-of-line", line=names[draft.index])
    beside = only_with(entry, names)
    if beside:
        yield fact("buy.only-with", lines=beside)
    yield from _price_reasons(task, entry)


def _given_up(draft: Draft, shop: Shop) -> Iterator[Fact]:
    """The late orders of the same tool that are not counted on any more."""
    kind_id = draft.figures.kind.id if draft.figures else None
    for late in shop.late:
        order = late.order
        same = order.kind_id == kind_id if kind_id is not None else _is_same(order.spec, draft.spec)
        if late.given_up and same:
            number, count, days = order.number, order.quantity, late.days_late
            yield fact("buy.given-up", number=number, count=count, days_late=days)


def _is_same(ordered: ToolSpec | None, wanted: ToolSpec) -> bool:
    return ordered is not None and ordered.role == wanted.role and is_listed(ordered, wanted)


def _thin(draft: Draft) -> Iterator[Fact]:
    """That too few shifts stand behind the use of a kind to call it a yearly rate."""
    one = draft.figures
    if one is not None and draft.own and one.use.shifts and one.claim < _WHOLE:
        yield fact(
            "buy.thin",
            strokes=one.use.strokes,
            shifts=one.use.shifts,
            days=one.use.observed_days,
            claimed=one.strokes_per_year,
        )


def only_with(entry: PricedPieces, names: Mapping[int, str]) -> tuple[tuple[str, ...], ...]:
    """The lines without which this one would be half a pair, each way by itself; none if useful."""
    draft = entry.drafts[0]
    if entry.package is not None or draft.own:
        return ()
    own = names[draft.index]
    ways = {
        tuple(sorted({names[two] for two in wish.indexes - {draft.index}} - {own}))
        for wish in draft.wishes
    }
    return tuple(sorted(ways)) if all(ways) else ()


def figures_of(task: BuyingTask, entry: PricedPieces) -> Iterator[Fact]:
    """The figures behind the worth of a line, and what its price makes in a year."""
    shop = task.board.shop
    yield from _wanted(entry, shop)
    yield from dict.fromkeys(figure for worth in entry.worths for figure in worth.figures)
    if entry.package is None and entry.price.total_cents:
        draft = entry.drafts[0]
        yield fact(
            "buy.price-a-year",
            years=draft_years(draft, shop),
            carrying_pct=shop.rules.number("buy.carrying_pct") if draft.lasts else 0.0,
            cents=entry.charge_cents,
            currency=shop.currency,
        )
        yield from _break_even(task, draft)
        yield from _paid_back(task, entry)


def package_pieces(task: BuyingTask, entry: PricedPieces) -> Iterator[PackagePiece]:
    """The kinds of a package with their shares of its price."""
    if entry.package is None:
        return
    shop = task.board.shop
    alone = [_alone_cents(shop, piece.kind_id) for piece in entry.package.pieces]
    known = [cents for cents in alone if cents]
    usual = round(mean(known)) if known else 0
    counts = [piece.quantity for piece in entry.package.pieces]
    weights = [(count, cents or usual) for count, cents in zip(counts, alone, strict=True)]
    parts = whole_prices(entry.package.price_cents, weights)
    for one, prices in zip(entry.package.pieces, parts, strict=True):
        useful = min(one.quantity, _needed(task, one.kind_id))
        yield PackagePiece(one.kind, one.quantity, useful, tuple(prices))


def _alone_cents(shop: Shop, kind_id: int) -> int | None:
    """What one of a kind costs by itself, as on its record or else as offered."""
    offered = [one.price_cents for one in shop.offers.get(kind_id, ())]
    return shop.figures[kind_id].kind.price_cents or min(offered, default=None)


def notes_of(task: BuyingTask, choice: BuyingChoice) -> Iterator[Fact]:
    """What an open order makes unnecessary, and the packages that are not bought."""
    shop = task.board.shop
    for draft in task.board.drafts:
        if draft.target and not draft.quantity and draft.on_order:
            what = short_text(draft.spec, Speech(shop.rules))
            since = draft.ordered_on
            yield fact("buy.covered", what=what, count=draft.on_order, since=since)
        if draft.target and not draft.quantity and draft.figures and not draft.on_order:
            for near in draft.figures.nearby[:1]:
                figures = {"what": draft.figures.kind.name, "site": near.site}
                yield fact("buy.elsewhere", **figures, count=near.count, days=near.days)
    for bundle in shop.bundles:
        if bundle not in choice.packages and package_offer(bundle, task.board):
            useful = sum(
                min(piece.quantity, _needed(task, piece.kind_id)) for piece in bundle.pieces
            )
            yield fact(
                "buy.package-left",
                name=bundle.name,
                supplier=bundle.supplier,
                price_cents=bundle.price_cents,
                useful=useful,
                count=bundle.count,
                alone_cents=_by_themselves_cents(task, bundle.id),
                currency=shop.currency,
            )


def _by_themselves_cents(task: BuyingTask, bundle_id: int) -> int | None:
    """What the useful pieces of a package cost bought one by one, where that is known."""
    bundle = next(one for one in task.board.shop.bundles if one.id == bundle_id)
    total = 0
    for piece in bundle.pieces:
        index, useful = (
            task.board.index_of(piece.kind_id),
            min(piece.quantity, _needed(task, piece.kind_id)),
        )
        if index is None or not useful:
            continue
        cents = task.markets[index].price(useful).total_cents
        if cents is None:
            return None
        total += cents
    return total


def _needed(task: BuyingTask, kind_id: int) -> int:
    index = task.board.index_of(kind_id)
    return 0 if index is None else task.board.drafts[index].quantity


def _package_reasons(task: BuyingTask, entry: PricedPieces) -> Iterator[Fact]:
    bundle = entry.package
    if bundle is None:
        return
    yield fact(
        "buy.package",
        useful=entry.useful,
        count=bundle.count,
        alone_cents=_by_themselves_cents(task, bundle.id),
        currency=task.board.shop.currency,
    )
    say = Speech(task.board.shop.rules)
    for draft in entry.drafts:
        for reason in draft.why[:1]:
            yield fact("buy.in-package", what=short_text(draft.spec, say), reason=reason)


def _price_reasons(task: BuyingTask, entry: PricedPieces) -> Iterator[Fact]:
    """What is to be said of the price: packs and breaks, too late, not worth it."""
    draft, price = entry.drafts[0], entry.price
    market = task.markets[draft.index]
    if price.why:
        yield price.why
    if market.most is not None and price.quantity > max(market.most, draft.quantity):
        yield fact("buy.more-than-used")
    if market.why_not:
        yield market.why_not
    elif not entry.bought and price.total_cents is not None and not draft.own:
        yield from _no_gain(task, draft)
    if entry.is_unborne:
        shop = task.board.shop
        yield fact(
            "buy.order-cost",
            supplier=price.supplier,
            order_cents=order_cents(task),
            currency=shop.currency,
        )


def _no_gain(task: BuyingTask, draft: Draft) -> Iterator[Fact]:
    """That a want is not worth the price of what it lacks."""
    shop = task.board.shop
    indexes = {two for wish in draft.wishes for two in wish.indexes}
    wishes = {id(one): one for two in indexes for one in task.board.drafts[two].wishes}
    worth = sum(one.cents for one in wishes.values())
    charges = [_charge(task, index) for index in indexes]
    cost = sum(one for one in charges if one is not None)
    if None not in charges and cost >= worth:
        once = all(wish.is_once for wish in wishes.values() if wish.fresh)
        years = shop.rules.number("buy.most_years") if once else 1.0
        yield fact(
            "buy.no-gain",
            worth_cents=worth * years,
            price_cents=cost * years,
            is_once=once,
            currency=shop.currency,
        )


def _charge(task: BuyingTask, index: int) -> int | None:
    draft = task.board.drafts[index]
    cents = task.markets[index].price(draft.quantity).total_cents
    return None if cents is None else charge_cents(cents, draft, task.board.shop)


def _wanted(entry: PricedPieces, shop: Shop) -> Iterator[Fact]:
    """What was wanted, by the way it would be made without tools."""
    by_way: dict[tuple[str, int, float], list[Wish]] = {}
    for wish in entry.wishes:
        if wish.fresh:
            by_way.setdefault((wish.saving.way, wish.times, wish.claim), []).append(wish)
    shared = any(len(wish.indexes) > 1 for wish in entry.wishes if wish.fresh)
    for (way, times, claim), wishes in by_way.items():
        yield fact(
            "buy.by-way",
            count=sum(one.saving.quantity for one in wishes),
            way=way,
            other_cents=sum(one.saving.other_cents for one in wishes),
            own_cents=sum(one.saving.own_cents for one in wishes),
            is_shared=shared,
            times=times,
            claim=claim,
            currency=shop.currency,
        )


def _paid_back(task: BuyingTask, entry: PricedPieces) -> Iterator[Fact]:
    """After which time a line, or the set of tools that goes together, has paid for itself."""
    years = payback_years(task, entry)
    if years is not None:
        yield fact("buy.paid-back", years=years)


def payback_years(task: BuyingTask, entry: PricedPieces) -> float | None:
    """The price of what goes together over its worth of a year; None for what is used once."""
    draft, cents, worth = entry.drafts[0], entry.price.total_cents, entry.cents
    if entry.package is not None or not draft.lasts:
        return None
    if not draft.own:
        wishes = {id(one): one for one in draft.wishes}.values()
        indexes = sorted({two for wish in wishes for two in wish.indexes})
        prices = [task.markets[two].price(task.needed(two)).total_cents for two in indexes]
        cents = None if None in prices else sum(one for one in prices if one is not None)
        worth = sum(wish.cents for wish in wishes)
    return None if cents is None or not worth else cents / worth


def _break_even(task: BuyingTask, draft: Draft) -> Iterator[Fact]:
    """From which count on the tools of a want have paid for themselves."""
    wish = max((one for one in draft.wishes if one.fresh), key=lambda one: one.cents, default=None)
    if wish is None:
        return
    prices = [task.markets[one].price(1).total_cents for one in wish.indexes]
    cents = sum(price for price in prices if price is not None)
    holes = break_even_holes(cents, wish.saving.each_cents)
    if None not in prices and holes is not None:
        yield fact(
            "buy.paid-by",
            tools_cents=cents,
            each_cents=wish.saving.each_cents,
            count=holes,
            currency=task.board.shop.currency,
        )
