"""When each piece is due and each kind runs out, by the usual pace and the planned jobs.

Days are never counted for a tool that is not used: without strokes lately and without a planned
run there is no date.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from crib.acts import act, saying
from crib.desk.common.piece_wear import EDGED, piece_wear
from crib.desk.common.reminder_levels import interval_of
from crib.desk.edges.forecast_dates import (
    MOST_WEEKS,
    USUAL_WEEKS,
    Forecast,
    ForecastRequest,
    KindForecast,
    PieceForecast,
)
from crib.desk.edges.forecast_file import write_forecast
from crib.desk.edges.forecast_pace import ExpectedUse, Outlook, outlook
from crib.errors import BadValue
from crib.features.common.piece_checks import level_limits
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, pieces_of_kinds
from crib.trade.life.forecast import day_reached, strokes_in_hand
from crib.trade.shop.shop_rules import Rules

USABLE = ("sound", "inspect")


def forecast(
    session: Session,
    request: ForecastRequest,
    now: datetime | None = None,
    *,
    rules: Rules | None = None,
) -> Forecast:
    """The dates of the weeks to come, written as a calendar file as well when one is asked for.

    Raises:
        BadValue: for weeks outside their limits, or a file of another ending.
        Missing: when there is no folder for the file.
        Refused: when the file is there and is no calendar that crib wrote.
    """
    if not 1 <= request.weeks <= MOST_WEEKS:
        message = f"weeks={request.weeks} must be 1 to {MOST_WEEKS}"
        weeks, every = act("say.weeks", weeks=USUAL_WEEKS), act("say.all")
        raise BadValue(message, way_out=saying("say ", weeks, "; every date: ", every))
    moment = (now or datetime.now(UTC)).astimezone()
    rules = rules or shop_rules(session)
    found = _made(session, rules, request, moment.date())
    if request.ics is None:
        return found
    write_forecast(found, request.ics, rules.text("crib.name"), moment)
    return replace(found, file=str(request.ics))


def _made(session: Session, rules: Rules, request: ForecastRequest, today: date) -> Forecast:
    until = today + timedelta(days=7 * request.weeks - 1)
    ahead = outlook(session, rules, today)
    cards = _cards(session, ahead.kinds)
    pieces = sorted(
        _pieces(cards, ahead, rules), key=lambda piece: (piece.due_on, -piece.used, piece.tag)
    )
    kinds = sorted(_kinds(cards, ahead, rules), key=lambda kind: (kind.out_on, kind.kind))
    last = until.isoformat()
    shown = [piece for piece in pieces if request.everything or piece.due_on <= last]
    return Forecast(
        today=today.isoformat(),
        until=last,
        closed=tuple(day for day in ahead.closed if day <= last),
        look_back_weeks=ahead.look_back_weeks,
        pieces=tuple(shown),
        kinds=tuple(kind for kind in kinds if request.everything or kind.order_by <= last),
        later=len(pieces) - len(shown),
        notes=tuple(ahead.notes),
    )


def _cards(session: Session, kind_ids: Iterable[int]) -> list[PieceCard]:
    """The usable pieces with an edge, of the kinds that are used or planned for."""
    cards = pieces_of_kinds(session, kind_ids)
    return [card for card in cards if card.condition in USABLE and card.role in EDGED]


def _pieces(cards: Sequence[PieceCard], ahead: Outlook, rules: Rules) -> Iterable[PieceForecast]:
    """The pieces that get a date within the days looked ahead."""
    for card in cards:
        use = ahead.of_piece.get(card.id)
        found = _piece(card, use, ahead, rules) if use is not None else None
        if found is not None and found.due_on:
            yield found


def _piece(card: PieceCard, use: ExpectedUse, ahead: Outlook, rules: Rules) -> PieceForecast:
    interval, limits = interval_of(card, rules), level_limits(rules)
    shares = (limits.plan, limits.after_job, limits.before_job)
    plan_on, after_job_on, due_on = (
        _day(use, share * interval, card.wear, ahead) for share in shares
    )
    return PieceForecast(
        tag=card.tag,
        kind=card.kind_name,
        role=card.role,
        place=card.place or "",
        condition=card.condition,
        used=card.wear / interval,
        wear=card.wear,
        interval=interval,
        per_work_day=round(use.per_day, 3),
        planned=round(sum(one.weighted for one in use.planned), 3),
        planned_per_work_day=round(use.planned_per_day, 3),
        plan_on=plan_on,
        after_job_on=after_job_on,
        due_on=due_on,
        do=_what_to_do(card, rules),
    )


def _what_to_do(card: PieceCard, rules: Rules) -> str:
    stands = piece_wear(card, rules)
    if stands.edges_left:
        return "turn it"
    do = "grind it" if stands.grinds_left else "replace it"
    return f"inspect it; {do}" if card.condition == "inspect" else do


def _kinds(cards: Sequence[PieceCard], ahead: Outlook, rules: Rules) -> Iterable[KindForecast]:
    """The kinds of which the last grind is used up within the days looked ahead."""
    by_kind: dict[int, list[PieceCard]] = {}
    for card in cards:
        by_kind.setdefault(card.kind_id, []).append(card)
    for kind_id, own in by_kind.items():
        found = _kind(own, ahead.kinds[kind_id], ahead, rules)
        if found.out_on:
            yield found


def _kind(
    cards: Sequence[PieceCard], use: ExpectedUse, ahead: Outlook, rules: Rules
) -> KindForecast:
    first = cards[0]
    sound = [card for card in cards if card.condition == "sound"]
    in_hand = sum(_in_hand(card, rules) for card in sound)
    usual = int(rules.number("buy.lead_days_default"))
    lead_days = usual if first.lead_days is None else first.lead_days
    out_on = _day(use, in_hand, 0.0, ahead)
    order_by = date.fromisoformat(out_on) - timedelta(days=lead_days) if out_on else None
    return KindForecast(
        kind=first.kind_name,
        role=first.role,
        pieces=len(sound),
        in_hand=round(in_hand, 3),
        per_work_day=round(use.per_day, 3),
        planned=round(sum(one.weighted for one in use.planned), 3),
        planned_per_work_day=round(use.planned_per_day, 3),
        out_on=out_on,
        lead_days=lead_days,
        order_by=order_by.isoformat() if order_by else "",
    )


def _in_hand(card: PieceCard, rules: Rules) -> float:
    stands = piece_wear(card, rules)
    renewals = stands.edges_left + (stands.grinds_left or 0)
    return strokes_in_hand(card.wear, interval_of(card, rules), renewals)


def _day(use: ExpectedUse, limit: float, wear: float, ahead: Outlook) -> str:
    """The day as text; empty when it is beyond the days looked ahead."""
    days = ahead.days[1:] if use.done_today and ahead.works_today else ahead.days
    # Parts of one sum: never more than the whole by a rounding.
    planned_per_day = min(use.planned_per_day, use.per_day)
    found = day_reached(limit, wear, use.per_day, use.planned, days, planned_per_day)
    return "" if found is None else date.fromordinal(found).isoformat()
