"""What the shelf itself asks for, and the brake on overstock.

Gone and spent pieces, least counts, single points of failure, dies for the punches, reorder points.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from math import ceil, floor

from crib.desk.buying.drafts import Board, Draft
from crib.desk.buying.kind_figures import Figures, Shop
from crib.desk.buying.stock_levels import levels_of, order_quantity
from crib.trade.money.money import months_of_use

_MOST_TAGS = 4
_ONE_AND_A_SPARE = 2.0
_DAYS_A_MONTH = 365 / 12
Ask = tuple[int, str]
"""A stock to have, and the reason for it."""


def add_needs(board: Board) -> None:
    """Put on the board every kind of which there is less than there should be."""
    for figures in list(board.shop.figures.values()):
        for target, reason in _asks(figures, board.shop):
            if target > figures.usable:
                board.of_kind(figures).raise_to(target, reason)
    for figures in list(board.shop.figures.values()):
        if figures.kind.role == "punch" and figures.running and figures.have:
            _dies_for(board, figures)


def brake(board: Board) -> None:
    """Hold every line to what the shop uses within its horizon, and say so.

    The shop's own least count is kept whatever it is, with a word when it is more than that.
    """
    months = board.shop.rules.number("buy.horizon_months")
    for draft in board.drafts:
        most = None if draft.figures is None else draft.figures.most(months)
        if draft.figures is None or most is None or draft.target <= most or not draft.quantity:
            continue
        words = f"{months:g} months' use and a spare make {most}"
        kept = max(most, draft.figures.kind.least_count, draft.have + bool(draft.wishes))
        if kept < draft.target:
            draft.reasons.append(f"held back {draft.target - kept}: {words}")
            draft.target = kept
        elif kept == draft.figures.kind.least_count:
            draft.reasons.append(f"more than is used: {words}; is the least count right?")


def _asks(one: Figures, shop: Shop) -> Iterator[Ask]:
    yield from _gone(one)
    yield from _least_count(one)
    yield from _single(one, shop)
    yield from _reorder(one, shop)
    yield from _runs_out(one, shop)


def _gone(one: Figures) -> Iterator[Ask]:
    """Spent, broken, lost and lately retired pieces, when no sound one is left."""
    if one.usable:
        return
    if one.spent:
        yield 1, f"{_listed(one.spent)} past the last grind, no sound one left{_beside(one)}"
    if one.gone:
        tags = [f"{tag} {condition}" for tag, condition in one.gone]
        yield 1, f"{_listed(tags)} within 90 days, no sound one left{_beside(one)}"


def _least_count(one: Figures) -> Iterator[Ask]:
    least = one.kind.least_count
    if one.usable < least:
        spent = f", {len(one.spent)} past the last grind" if one.spent else ""
        yield least, f"{one.usable} sound, the shop keeps at least {least}{spent}{_beside(one)}"


def _single(one: Figures, shop: Shop) -> Iterator[Ask]:
    """One sound piece of what is used every week; another kind may stand in for a while."""
    if one.usable != 1 or not one.running:
        return
    per_day = one.use.strokes_per_day
    missed = round(per_day * one.lead_days)
    other = shop.stand_in(one)
    meanwhile = f"; {other} can stand in" if other else ""
    yield (
        2,
        f"single point of failure: one sound piece, used {one.use.uses_per_week:.1f} times a week;"
        f" {per_day:.0f} strokes a day x {one.lead_days} days to deliver = {missed:,} without it"
        f"{meanwhile}",
    )


def _reorder(one: Figures, shop: Shop) -> Iterator[Ask]:
    """The stock is at its reorder point, for more than the spare of a single point of failure."""
    levels = levels_of(one, shop)
    if levels is None or one.life is None:
        return
    point, lasting = levels.point, one.lasting
    only_the_spare = one.usable == lasting == 1 and one.running and point < _ONE_AND_A_SPARE
    if lasting + one.on_order > point or only_the_spare:
        return
    least = floor(point) + 1 + len(one.not_lasting)
    size = order_quantity(one, shop, shop.offers.get(one.kind.id, ()))
    most = one.most(shop.rules.number("buy.horizon_months"))
    target = max(least, min(one.have + size, most)) if size and most else least
    yield target, _reorder_reason(one, point, target - least)


def _reorder_reason(one: Figures, point: float, beyond: int) -> str:
    life = one.life or 1.0
    ends = f"; {_listed(one.not_lasting)} will be spent by then" if one.not_lasting else ""
    season = f" x {one.season:.2f} for the season" if round(one.season, 2) != 1 else ""
    planned = f" + {one.planned / life:.2f} for the open jobs" if one.planned else ""
    cheaper = f"; {beyond} more make an order that costs least" if beyond else ""
    return (
        f"at the reorder point {point:.2f}: {one.use.weighted_per_day:.0f} weighted strokes a day"
        f"{season} / {life:,.0f} in a life x {one.lead_days} days{planned}"
        f"{' + a spare' if one.running else ''}{ends}{cheaper}{_beside(one)}"
    )


def _runs_out(one: Figures, shop: Shop) -> Iterator[Ask]:
    """The last grind of all pieces is used up before a new piece could be here."""
    if not one.out_on or not one.usable or one.on_order:
        return
    out = date.fromisoformat(one.out_on)
    order_by = out - timedelta(days=one.lead_days)
    if order_by <= shop.today:
        late = "; that is too late by now" if order_by < shop.today else ""
        yield (
            one.usable + 1,
            f"runs out of grinds on {one.out_on}: order by {order_by}{late}{_beside(one)}",
        )


def _dies_for(board: Board, punch: Figures) -> None:
    """One die for every so many punches of a size that is running."""
    each = board.shop.rules.number("buy.punches_per_die")
    dies = board.shop.index.dies_for(punch.kind)
    there = sum(one.have for one in dies)
    needed = ceil(punch.have / each - 1e-9)
    if not dies or there >= needed:
        return
    chosen = max(dies, key=lambda one: (one.use.strokes_per_day, -(one.kind.width_mm or 0.0)))
    words = f"{there} sound or on order for {punch.have} punches of {punch.kind.name!r}"
    reason = f"{words}: one die for every {each:g}"
    board.of_kind(chosen).raise_to(chosen.have + needed - there, reason)


def months_held(one: Figures, pieces: int) -> float | None:
    """How many months of use some pieces of a kind hold."""
    if one.life is None:
        return None
    return months_of_use(pieces, one.life, one.use.weighted_per_day * _DAYS_A_MONTH)


def on_order_reason(draft: Draft) -> str:
    """What is on its way, when anything is."""
    if not draft.on_order:
        return ""
    since = f" since {draft.ordered_on}" if draft.ordered_on else ""
    return f"{draft.on_order} on order{since}, taken off"


def _listed(tags: tuple[str, ...] | list[str]) -> str:
    shown = ", ".join(tags[:_MOST_TAGS])
    return shown if len(tags) <= _MOST_TAGS else f"{shown} and {len(tags) - _MOST_TAGS} more"


def _beside(one: Figures) -> str:
    """What to think of before buying: a piece to be looked at may do, an idle kind may go."""
    held = f"; {one.kind.held} to be looked at first" if one.kind.held else ""
    idle = not one.use.strokes_per_day and one.life is not None
    return held + (f"; no strokes in {one.use.observed_days} days" if idle else "")
