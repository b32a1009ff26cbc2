"""What the shelf itself asks for, and the brake on overstock.

Gone and spent pieces, least counts, single points of failure, dies for the punches, reorder points.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from math import ceil, floor

from crib.acts import Fact, Said, fact, saying
from crib.desk.buying.drafts import Board
from crib.desk.buying.kind_figures import Figures, Shop
from crib.desk.buying.line_names import is_more_of
from crib.desk.buying.stock_levels import levels_of, order_quantity
from crib.trade.money.money import months_of_use

_ONE_AND_A_SPARE = 2.0
_DAYS_A_MONTH = 365 / 12
Ask = tuple[int, Fact]
"""A stock to have, and the reason for it."""


def add_needs(board: Board) -> list[Said]:
    """Put on the board every kind of which there is less than there should be.

    Returns what is to be said of what is gone and not bought again.
    """
    for figures in list(board.shop.figures.values()):
        for target, reason in _asks(figures, board.shop):
            if target > figures.usable:
                board.of_kind(figures).raise_to(target, reason)
    for figures in list(board.shop.figures.values()):
        if figures.kind.role == "punch" and figures.running and figures.have:
            _dies_for(board, figures)
    every = board.shop.figures.values()
    return [saying(said) for one in every if (said := _let_go(one, board)) is not None]


def brake(board: Board) -> None:
    """Hold every line to what the shop uses within its horizon, and say so.

    The shop's own least count is kept whatever it is, with a word when it is more than that.
    """
    months = board.shop.rules.number("buy.horizon_months")
    for draft in board.drafts:
        most = None if draft.figures is None else draft.figures.most(months)
        if draft.figures is None or most is None or draft.target <= most or not draft.quantity:
            continue
        kept = max(most, draft.figures.kind.least_count, draft.have + bool(draft.wishes))
        if kept < draft.target:
            back = draft.target - kept
            draft.reasons.append(fact("buy.held-back", count=back, months=months, most=most))
            draft.target = kept
        elif kept == draft.figures.kind.least_count:
            draft.reasons.append(fact("buy.least-over-use", months=months, most=most))


def add_again(board: Board, names: Sequence[str]) -> None:
    """Put on the board one more of what is on order, where its line is named and nothing lacks."""
    for order in board.shop.orders:
        figures = board.shop.figures.get(order.kind_id) if order.kind_id else None
        if not any(is_more_of(order, name) for name in names):
            continue
        if figures is not None:
            draft = board.of_kind(figures)
        elif order.spec is not None:
            draft = board.of_tool(order.spec, None, lambda spec: True)
        else:
            continue
        if not draft.quantity:
            draft.raise_to(draft.have + 1, fact("buy.asked-again"))


def _asks(one: Figures, shop: Shop) -> Iterator[Ask]:
    yield from _gone(one, shop)
    yield from _least_count(one)
    yield from _single(one, shop)
    yield from _reorder(one, shop)
    yield from _runs_out(one, shop)


def _gone(one: Figures, shop: Shop) -> Iterator[Ask]:
    """Spent, broken, lost and lately retired pieces, when no sound one is left.

    What is not used, and for which another kind stands in, is not bought again.
    """
    if one.usable or _replaced_by(one, shop):
        return
    beside = {**_beside(one), "stand_in": shop.stand_in(one)}
    if one.spent:
        yield 1, fact("buy.past-grind", tags=tuple(one.spent), **beside)
    if one.gone:
        yield 1, fact("buy.gone", tags=tuple(one.gone), **beside)


def _replaced_by(one: Figures, shop: Shop) -> str:
    """The kind that stands in for one whose pieces are gone and that nobody uses, or nothing."""
    return "" if one.is_used or one.life is None else shop.stand_in(one)


def _let_go(one: Figures, board: Board) -> Fact | None:
    """A kind that is gone and not bought again, with what stands in for it."""
    other = "" if one.usable else _replaced_by(one, board.shop)
    tags = tuple(tag for tag, _condition in one.gone) + one.spent
    if not other or not tags or board.index_of(one.kind.id) is not None:
        return None
    days = one.use.observed_days
    return fact("buy.let-go", kind=one.kind.name, tags=tags, idle_days=days, stand_in=other)


def _least_count(one: Figures) -> Iterator[Ask]:
    least = one.kind.least_count - one.far
    if one.usable < least:
        spent, beside = len(one.spent), _beside(one)
        kept = fact("buy.least-count", usable=one.usable, least=least, spent=spent, **beside)
        yield least, kept


def _single(one: Figures, shop: Shop) -> Iterator[Ask]:
    """One sound piece of what is used every week; another kind may stand in for a while."""
    if one.usable != 1 or not one.running:
        return
    per_day = one.use.strokes_per_day
    yield (
        2,
        fact(
            "buy.single",
            uses_per_week=one.use.uses_per_week,
            strokes_per_day=per_day,
            lead_days=one.lead_days,
            missed=round(per_day * one.lead_days),
            stand_in=shop.stand_in(one),
        ),
    )


def _reorder(one: Figures, shop: Shop) -> Iterator[Ask]:
    """The stock is at its reorder point, for more than the spare of a single point of failure."""
    levels = levels_of(one, shop)
    if levels is None or one.life is None:
        return
    point, lasting = levels.point, one.lasting
    only_the_spare = one.usable == lasting == 1 and one.running and point < _ONE_AND_A_SPARE
    if lasting + one.on_order + one.elsewhere > point or only_the_spare:
        return
    least = floor(point) + 1 + len(one.not_lasting)
    size = order_quantity(one, shop, shop.offers.get(one.kind.id, ()))
    most = one.most(shop.rules.number("buy.horizon_months"))
    target = max(least, min(one.have + size, most)) if size and most else least
    yield target, _reorder_reason(one, point, target - least)


def _reorder_reason(one: Figures, point: float, beyond: int) -> Fact:
    life = one.life or 1.0
    return fact(
        "buy.reorder",
        point=point,
        stock=max(0, one.lasting + one.on_order),
        weighted_per_day=one.use.weighted_per_day,
        season=one.season,
        life=life,
        lead_days=one.lead_days,
        planned_lives=one.planned_beyond(one.weighted_per_day * one.lead_days) / life,
        with_spare=one.running,
        not_lasting=tuple(one.not_lasting),
        beyond=beyond,
        **_beside(one),
    )


def _runs_out(one: Figures, shop: Shop) -> Iterator[Ask]:
    """The last grind of all pieces is used up before a new piece could be here."""
    if not one.out_on or not one.usable or one.on_order:
        return
    out = date.fromisoformat(one.out_on)
    order_by = out - timedelta(days=one.lead_days)
    if order_by <= shop.today:
        late = order_by < shop.today
        days = {"out_on": one.out_on, "order_by": str(order_by)}
        ends = fact("buy.runs-out", **days, is_late=late, **_beside(one))
        yield one.usable + 1, ends


def _dies_for(board: Board, punch: Figures) -> None:
    """One die for every so many punches of a size that is running."""
    each = board.shop.rules.number("buy.punches_per_die")
    dies = board.shop.index.dies_for(punch.kind)
    there = sum(one.have for one in dies)
    needed = ceil(punch.have / each - 1e-9)
    if not dies or there >= needed:
        return
    chosen = max(dies, key=lambda one: (one.use.strokes_per_day, -(one.kind.width_mm or 0.0)))
    name, have = punch.kind.name, punch.have
    reason = fact("buy.few-dies", there=there, punches=have, kind=name, each=each)
    board.of_kind(chosen).raise_to(chosen.have + needed - there, reason)


def months_held(one: Figures, pieces: int) -> float | None:
    """How many months of use some pieces of a kind hold."""
    if one.life is None:
        return None
    return months_of_use(pieces, one.life, one.use.weighted_per_day * _DAYS_A_MONTH)


def _beside(one: Figures) -> dict[str, int]:
    """What to think of before buying: a piece to be looked at may do, an idle kind may go."""
    days = 0 if one.is_used or one.life is None else one.use.observed_days
    return {"to_look_at": one.kind.held, "idle_days": days}
