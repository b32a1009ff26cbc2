"""The words of a line: what it is, why it is bought, what it is worth, what a package holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from statistics import mean

from crib.desk.buying.choice import Choice, Task, package_offer
from crib.desk.buying.drafts import Draft, Wish
from crib.desk.buying.kind_figures import Shop
from crib.desk.buying.line_groups import Entry
from crib.desk.buying.shelf_needs import on_order_reason
from crib.desk.buying.ways_to_buy import charge_cents, draft_years
from crib.features.common.order_text import order_text, short_text
from crib.features.common.speech import Speech
from crib.features.common.tool_spec import ToolSpec
from crib.trade.money.money import break_even_holes
from crib.trade.money.tool_worth import whole_prices

_MOST_REASONS = 8


@dataclass(frozen=True, slots=True)
class PackagePiece:
    """A kind of a package: how many come, how many are of use, and their share of the price.

    ``prices`` are counts with the price of each [cents]; they add up to the package's price.
    """

    kind: str
    quantity: int
    useful: int
    prices: tuple[tuple[int, int], ...]


def spec_of(entry: Entry, shop: Shop) -> ToolSpec:
    """What is ordered: as many as the price makes it, for these jobs, by that day."""
    draft = entry.drafts[0]
    due = min((one.due_on for one in draft.fresh if one.due_on >= str(shop.today)), default="")
    return replace(
        draft.spec, quantity=entry.price.quantity, job=", ".join(draft.jobs), needed_by=due
    )


def texts_of(entry: Entry, spec: ToolSpec, shop: Shop) -> tuple[str, str]:
    """What a line is in a few words, and what the supplier gets."""
    if entry.package is None:
        say = Speech(shop.rules)
        return short_text(spec, say), order_text(spec, say)
    name = entry.package.name
    parts = ", ".join(f"{one.quantity} x {one.kind}" for one in entry.package.pieces)
    return f"package {name}", f"1 package {name!r} of {entry.package.count} pieces: {parts}"


def reasons_of(task: Task, entry: Entry, rank: int, ranks: Mapping[int, int]) -> Iterator[str]:
    """Why a line is there, the weightiest first."""
    if entry.package is not None:
        yield from _package_reasons(task, entry)
        return
    draft = entry.drafts[0]
    if draft.repeated:
        yield f"wanted in {len(draft.jobs)} jobs within 12 months"
    reasons = draft.why
    yield from reasons[:_MOST_REASONS]
    if len(reasons) > _MOST_REASONS:
        yield f"and {len(reasons) - _MOST_REASONS} more reasons of the kind"
    if draft.on_order:
        yield on_order_reason(draft)
    if ranks[draft.place] != rank:
        yield f"more of line {ranks[draft.place]}, of which not all is bought"
    beside = only_with(entry, ranks)
    if beside:
        ways = [" and ".join(map(str, way)) for way in beside]
        yield f"only with line {' or '.join(ways)}"
    yield from _price_reasons(task, entry)


def only_with(entry: Entry, ranks: Mapping[int, int]) -> tuple[tuple[int, ...], ...]:
    """The lines without which this one would be half a pair, each way by itself; none if useful."""
    draft = entry.drafts[0]
    if entry.package is not None or draft.own:
        return ()
    own = ranks[draft.place]
    ways = {
        tuple(sorted({ranks[two] for two in wish.places - {draft.place}} - {own}))
        for wish in draft.wishes
    }
    return tuple(sorted(ways)) if all(ways) else ()


def figures_of(task: Task, entry: Entry) -> Iterator[str]:
    """The figures behind the worth of a line, and what its price makes in a year."""
    shop = task.board.shop
    yield from _wanted(entry, shop)
    yield from dict.fromkeys(text for worth in entry.worths for text in worth.figures)
    if entry.package is None and entry.price.total_cents:
        draft = entry.drafts[0]
        each = shop.money(entry.charge_cents)
        yield f"its price over {draft_years(draft, shop):.3g} years is {each} a year"
        yield from _break_even(task, draft)


def pieces_of(task: Task, entry: Entry) -> Iterator[PackagePiece]:
    """The kinds of a package with their shares of its price."""
    if entry.package is None:
        return
    shop = task.board.shop
    alone = [_alone_cents(shop, one.kind_id) for one in entry.package.pieces]
    known = [cents for cents in alone if cents]
    usual = round(mean(known)) if known else 0
    counts = [one.quantity for one in entry.package.pieces]
    weights = [(count, cents or usual) for count, cents in zip(counts, alone, strict=True)]
    parts = whole_prices(entry.package.price_cents, weights)
    for one, prices in zip(entry.package.pieces, parts, strict=True):
        useful = min(one.quantity, _needed(task, one.kind_id))
        yield PackagePiece(one.kind, one.quantity, useful, tuple(prices))


def _alone_cents(shop: Shop, kind_id: int) -> int | None:
    """What one of a kind costs by itself, as on its record or else as offered."""
    offered = [one.price_cents for one in shop.offers.get(kind_id, ())]
    return shop.figures[kind_id].kind.price_cents or min(offered, default=None)


def notes_of(task: Task, choice: Choice) -> Iterator[str]:
    """What an open order makes unnecessary, and the packages that are not bought."""
    shop = task.board.shop
    for draft in task.board.drafts:
        if draft.target and not draft.quantity and draft.on_order:
            what = short_text(draft.spec, Speech(shop.rules))
            since = f" since {draft.ordered_on}" if draft.ordered_on else ""
            yield f"{what}: {draft.on_order} on order{since}, nothing more to buy"
    for bundle in shop.bundles:
        if bundle not in choice.packages and package_offer(bundle, task.board):
            useful = sum(min(one.quantity, _needed(task, one.kind_id)) for one in bundle.pieces)
            yield (
                f"package {bundle.name!r} of {bundle.supplier} at"
                f" {shop.money(bundle.price_cents)}: {useful} of {bundle.count} pieces are"
                f" useful{_by_themselves(task, bundle.id)}; not bought"
            )


def _by_themselves(task: Task, bundle_id: int) -> str:
    """What the useful pieces of a package cost bought one by one, where that is known."""
    bundle = next(one for one in task.board.shop.bundles if one.id == bundle_id)
    total = 0
    for one in bundle.pieces:
        place, useful = (
            task.board.place_of(one.kind_id),
            min(one.quantity, _needed(task, one.kind_id)),
        )
        if place is None or not useful:
            continue
        cents = task.markets[place].price(useful).total_cents
        if cents is None:
            return ""
        total += cents
    return f", {task.board.shop.money(total)} by themselves"


def _needed(task: Task, kind_id: int) -> int:
    place = task.board.place_of(kind_id)
    return 0 if place is None else task.board.drafts[place].quantity


def _package_reasons(task: Task, entry: Entry) -> Iterator[str]:
    bundle = entry.package
    if bundle is None:
        return
    yield (
        f"{entry.useful} of {bundle.count} pieces are useful{_by_themselves(task, bundle.id)};"
        " the rest counts for nothing"
    )
    say = Speech(task.board.shop.rules)
    for draft in entry.drafts:
        for reason in draft.why[:1]:
            yield f"{short_text(draft.spec, say)}: {reason}"


def _price_reasons(task: Task, entry: Entry) -> Iterator[str]:
    """What is to be said of the price: packs and breaks, too late, not worth it."""
    draft, price = entry.drafts[0], entry.price
    market = task.markets[draft.place]
    if price.why:
        yield price.why
    if market.most is not None and price.quantity > max(market.most, draft.quantity):
        yield "more than is used: there is no smaller way to buy it"
    if market.why_not:
        yield market.why_not
    elif not entry.bought and price.total_cents is not None and not draft.own:
        yield from _no_gain(task, draft)


def _no_gain(task: Task, draft: Draft) -> Iterator[str]:
    """That a want is not worth the price of what it lacks."""
    shop = task.board.shop
    places = {two for wish in draft.wishes for two in wish.places}
    wishes = {id(one): one for two in places for one in task.board.drafts[two].wishes}
    worth = sum(one.cents for one in wishes.values())
    charges = [_charge(task, place) for place in places]
    cost = sum(one for one in charges if one is not None)
    if None not in charges and cost >= worth:
        yield (
            f"does not pay: {shop.money(worth)} a year, and its price is {shop.money(cost)} a year"
        )


def _charge(task: Task, place: int) -> int | None:
    draft = task.board.drafts[place]
    cents = task.markets[place].price(draft.quantity).total_cents
    return None if cents is None else charge_cents(cents, draft, task.board.shop)


def _wanted(entry: Entry, shop: Shop) -> Iterator[str]:
    """What was wanted, by the way it would be made without tools."""
    by_way: dict[str, list[Wish]] = {}
    for wish in entry.wishes:
        if wish.fresh:
            by_way.setdefault(wish.saving.way, []).append(wish)
    shared = any(len(wish.places) > 1 for wish in entry.wishes if wish.fresh)
    for way, wishes in by_way.items():
        count = sum(one.saving.quantity for one in wishes)
        other = shop.money(sum(one.saving.other_cents for one in wishes))
        own = shop.money(sum(one.saving.own_cents for one in wishes))
        ends = ", shared with what goes with it" if shared else ""
        yield f"{count:,} wanted: {other} by {way}, {own} with tools{ends}"


def _break_even(task: Task, draft: Draft) -> Iterator[str]:
    """From which count on the tools of a want have paid for themselves."""
    wish = max((one for one in draft.wishes if one.fresh), key=lambda one: one.cents, default=None)
    if wish is None:
        return
    prices = [task.markets[one].price(1).total_cents for one in wish.places]
    cents = sum(one for one in prices if one is not None)
    holes = break_even_holes(cents, wish.saving.each_cents)
    if None not in prices and holes is not None:
        each = task.board.shop.money(wish.saving.each_cents)
        paid = task.board.shop.money(cents)
        yield f"{paid} of tools at {each} saved on each are paid by {holes:,}"
