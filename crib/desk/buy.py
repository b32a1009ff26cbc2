"""What to buy next and why: complete order lines, what each is worth, and what fits a budget."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import cast

from crib.desk.buy_choice import Costed, Group, decide
from crib.desk.buy_drafts import Board, Draft
from crib.desk.buy_figures import Figures, Shop, is_called, read_shop
from crib.desk.buy_needs import add_needs, brake, months_held, on_order_reason
from crib.desk.buy_prices import cheapest
from crib.desk.buy_wants import add_wants
from crib.desk.buy_worth import worth_of_stock, worth_of_wishes
from crib.errors import BadValue, UnknownName
from crib.features.order_text import OrderSpec, order_gaps, order_text, short_text
from crib.stock.session import Session
from crib.units import System, format_money

_MOST_REASONS = 8
_MOST_EXPLAINED = 12


@dataclass(frozen=True, slots=True)
class BuyLine:
    """One line. ``text`` is what the supplier gets; ``gaps`` what he would still phone about.

    ``kind`` is the name of the crib's own kind, or None for a tool that is not one yet;
    ``bought_with`` are the ranks of the lines that its wants lack beside it.
    """

    rank: int
    role: str
    quantity: int
    kind: str | None
    what: str
    text: str
    reasons: tuple[str, ...]
    unit_price_cents: int | None
    price_cents: int | None
    lead_days: int | None
    supplier: str
    value_cents_per_year: int
    figures: tuple[str, ...]
    gaps: tuple[str, ...]
    bought_with: tuple[int, ...]
    within_budget: bool
    spec: OrderSpec


@dataclass(frozen=True, slots=True)
class OnOrder:
    """Something on its way."""

    kind: str | None
    text: str
    quantity: int
    supplier: str
    ordered_on: str
    needed_by: str


@dataclass(frozen=True, slots=True)
class BuyPlan:
    """What to buy. Without a budget every line with a price is within it."""

    lines: tuple[BuyLine, ...]
    budget_cents: int | None
    spent_cents: int
    value_cents_per_year: int
    currency: str
    on_order: tuple[OnOrder, ...]
    notes: tuple[str, ...]


def plan_buying(
    session: Session,
    budget_cents: int | None = None,
    *,
    why: str = "",
    now: datetime | None = None,
) -> BuyPlan:
    """What to buy next, within a budget if there is one. Reads only.

    With ``why`` only the lines of the kinds so called, and the figures of each.

    Raises:
        BadValue: for a budget below nothing.
        UnknownName: when ``why`` names no kind and no line.
    """
    if budget_cents is not None and budget_cents < 0:
        message = f"budget={budget_cents} cents must be >= 0"
        raise BadValue(message)
    today = (now or datetime.now(UTC)).astimezone().date()
    shop = read_shop(session, today, also=why)
    board = Board(shop)
    notes = add_wants(session, board)
    add_needs(board)
    brake(board)
    plan = _plan(board, budget_cents, [*notes, *_covered(board)])
    return _explained(plan, shop, why) if why.strip() else plan


def _plan(board: Board, budget_cents: int | None, notes: list[str]) -> BuyPlan:
    shop = board.shop
    costed = [_costed(draft, shop) for draft in board.drafts if draft.quantity]
    lines = tuple(_ranked(decide(costed, budget_cents), shop))
    inside = [one for one in lines if one.within_budget]
    return BuyPlan(
        lines,
        budget_cents,
        sum(one.price_cents or 0 for one in inside),
        sum(one.value_cents_per_year for one in inside),
        shop.rules.text("crib.currency"),
        tuple(
            OnOrder(one.kind, one.text, one.quantity, one.supplier, one.ordered_on, one.needed_by)
            for one in shop.orders
        ),
        (*notes, *_unpriced(lines)),
    )


def _costed(draft: Draft, shop: Shop) -> Costed:
    """A draft with its price and its worth, its line for as many as the price makes it."""
    figures = draft.figures
    offers = shop.offers.get(figures.kind.id, []) if figures else []
    most = figures.most(_horizon(shop)) if figures else None
    room = None if most is None else most - draft.have
    price = cheapest(figures.kind if figures else None, offers, draft.quantity, room)
    if price.why:
        draft.reasons.append(price.why)
    if room is not None and price.quantity > max(room, draft.quantity):
        draft.reasons.append("more than is used: there is no smaller way to buy it")
    due = min((one.due_on for one in draft.fresh if one.due_on >= str(shop.today)), default="")
    draft.spec = replace(
        draft.spec, quantity=price.quantity, job=", ".join(draft.jobs), needed_by=due
    )
    return Costed(draft, price, worth_of_stock(figures, shop))


def _ranked(groups: Sequence[Group], shop: Shop) -> Iterator[BuyLine]:
    """The lines in order, each told the ranks of those that its wants need beside it."""
    ordered = [one.place for group in groups for one in group.lines]
    ranks = {place: rank for rank, place in enumerate(ordered, 1)}
    for group in groups:
        for one, cents in zip(group.lines, group.cents, strict=True):
            yield _line(one, cents, ranks, shop, within=group.bought)


def _line(
    costed: Costed, cents: int, ranks: Mapping[int, int], shop: Shop, *, within: bool
) -> BuyLine:
    draft, price, system = costed.draft, costed.price, _system(shop)
    beside = {two for wish in draft.wishes for two in wish.places} - {draft.place}
    return BuyLine(
        rank=ranks[draft.place],
        role=draft.spec.role,
        quantity=price.quantity,
        kind=draft.figures.kind.name if draft.figures else None,
        what=short_text(draft.spec, system),
        text=order_text(draft.spec, system),
        reasons=tuple(_reasons(draft, ranks)),
        unit_price_cents=price.unit_cents,
        price_cents=price.total_cents,
        lead_days=price.lead_days,
        supplier=price.supplier,
        value_cents_per_year=cents,
        figures=(*worth_of_wishes(draft, shop), *costed.alone.figures),
        gaps=order_gaps(draft.spec),
        bought_with=tuple(sorted(ranks[place] for place in beside)),
        within_budget=within,
        spec=draft.spec,
    )


def _reasons(draft: Draft, ranks: Mapping[int, int]) -> Iterator[str]:
    if draft.repeated:
        yield f"wanted in {len(draft.jobs)} jobs within 12 months"
    reasons = list(dict.fromkeys(draft.reasons))
    yield from reasons[:_MOST_REASONS]
    if len(reasons) > _MOST_REASONS:
        yield f"and {len(reasons) - _MOST_REASONS} more reasons of the kind"
    if draft.on_order:
        yield on_order_reason(draft)
    if not draft.own:
        yield from _only_with(draft, ranks)


def _only_with(draft: Draft, ranks: Mapping[int, int]) -> Iterator[str]:
    """The lines without which this one would be half a pair."""
    sets = {tuple(sorted(ranks[two] for two in one.places - {draft.place})) for one in draft.wishes}
    if all(sets):
        ways = [" and ".join(str(rank) for rank in one) for one in sorted(sets)]
        yield f"only with line {' or '.join(ways)}"


def _covered(board: Board) -> Iterator[str]:
    """The lines that an open order makes unnecessary."""
    for draft in board.drafts:
        if draft.target and not draft.quantity and draft.on_order:
            what = short_text(draft.spec, _system(board.shop))
            since = f" since {draft.ordered_on}" if draft.ordered_on else ""
            yield f"{what}: {draft.on_order} on order{since}, nothing more to buy"


def _unpriced(lines: Sequence[BuyLine]) -> Iterator[str]:
    unknown = sum(one.price_cents is None for one in lines)
    if unknown:
        words = "1 line has" if unknown == 1 else f"{unknown} lines have"
        yield f"{words} no known price: ask; not in the sum"


def _explained(plan: BuyPlan, shop: Shop, why: str) -> BuyPlan:
    """Only what is so called, with the figures of each kind."""
    kinds = [one for one in shop.figures.values() if is_called(one.kind, why)]
    names = {one.kind.name for one in kinds}
    wanted = " ".join(why.split()).casefold()
    lines = [one for one in plan.lines if one.kind in names or wanted in one.what.casefold()]
    if not lines and not kinds:
        message = f"no kind is called {why.strip()[:40]!r}"
        raise UnknownName(message, way_out="`crib stock` lists the kinds; a part of a name will do")
    notes = [text for one in kinds[:_MOST_EXPLAINED] for text in _facts(one, shop)]
    more = len(kinds) - _MOST_EXPLAINED
    if more > 0:
        notes.append(f"and {more} more kinds so called: say more of the name")
    coming = tuple(one for one in plan.on_order if one.kind in names)
    return replace(plan, lines=tuple(lines), notes=tuple(notes), on_order=coming)


def _facts(one: Figures, shop: Shop) -> Iterator[str]:
    name, use = one.kind.name, one.use
    price = format_money(one.kind.price_cents or 0, shop.rules.text("crib.currency"))
    yield (
        f"{name}: {one.usable} sound, {len(one.spent)} past the last grind,"
        f" {one.kind.held} to be looked at, {len(one.gone)} gone within 90 days,"
        f" {one.on_order} on order, least count {one.kind.least_count}"
    )
    if not use.strokes_per_day:
        yield f"{name}: no strokes were read for it in the last {use.observed_days} days"
    else:
        yield (
            f"{name}: {use.strokes:,} strokes in {use.observed_days} days,"
            f" used {use.uses_per_week:.1f} times a week; delivery {one.lead_days} days"
        )
    point, months = one.reorder(), months_held(one, one.have)
    if point is not None and months is not None:
        yield (
            f"{name}: reorder point {point:.2f}, {one.have} with those on order hold"
            f" {months:,.0f} months' use, at most {one.most(_horizon(shop))} to have"
        )
    if one.kind.price_cents is not None:
        yield f"{name}: {price} each on its own record"


def _horizon(shop: Shop) -> float:
    return shop.rules.number("buy.horizon_months")


def _system(shop: Shop) -> System:
    return cast(System, shop.rules.text("crib.unit"))
