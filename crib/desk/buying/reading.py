"""Reading the crib as buying sees it: stock and use of each kind, and what lies ahead."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from statistics import mean

from crib.acts import Said
from crib.desk.answer.lookup import Lookup
from crib.desk.buying.asked_again import ask_again
from crib.desk.buying.kind_figures import (
    GONE_DAYS,
    Figures,
    KindIndex,
    Lead,
    Nearby,
    Shop,
    is_called,
)
from crib.desk.buying.late_orders import late_orders
from crib.desk.buying.unplanned_asks import planned_asks
from crib.desk.common.piece_wear import EDGED, edges_in_life, piece_wear
from crib.desk.edges.forecast import forecast
from crib.desk.edges.forecast_dates import ForecastRequest, KindForecast
from crib.stock.book.settings import shop_rules
from crib.stock.book.sites import days_between
from crib.stock.engine.session import Session
from crib.stock.queries.buying import (
    LeadSeen,
    bundles,
    jobs_in_hand,
    lead_times_seen,
    weighted_by_month,
)
from crib.stock.queries.demand import (
    KindStock,
    KindUse,
    OfferRow,
    OpenOrder,
    gone_since,
    kinds_with_stock,
    nameplates_by_seat,
    observed_days,
    offers_by_kind,
    open_orders,
    open_wants,
    recent_use,
    sound_elsewhere,
)
from crib.stock.queries.newest_strokes import first_shift
from crib.stock.queries.pieces import PieceCard, pieces_of_kinds, too_short_pieces
from crib.stock.queries.strokes import worn_pieces
from crib.trade.life.seasons import MONTHS, season_factor
from crib.trade.money.evidence import YEAR_DAYS, claim_a_year
from crib.trade.shop.shop_rules import Rules

_RECENT_DAYS = 28
_THIN = 2
_LIFE_SHARE = 0.2
_YEAR_MONTHS = 12
_MONTH_DAYS = 31


@dataclass(frozen=True, slots=True)
class _Read:
    """What was read of all kinds at once, before each is put together."""

    rules: Rules
    spent: Mapping[int, list[str]]
    gone: Mapping[int, list[tuple[str, str]]]
    orders: Mapping[int, list[OpenOrder]]
    offers: Mapping[int, list[OfferRow]]
    seen: Mapping[str, LeadSeen]
    ahead: Mapping[str, KindForecast]
    unused: KindUse


def read_shop(session: Session, today: date, also: str = "") -> Shop:
    """Read the crib as buying sees it; use is read of every kind in whose name ``also`` is."""
    rules = shop_rules(session)
    seen = lead_times_seen(session)
    every_order = open_orders(session)
    late = tuple(late_orders(every_order, seen, rules, today))
    given_up = {id(one.order) for one in late if one.given_up}
    orders = tuple(one for one in every_order if id(one) not in given_up)
    ahead, notes = _ahead(session, rules, today)
    read = _read(session, rules, today, orders, seen, ahead)
    nearby = _Elsewhere(session, rules)
    every = [nearby.beside(_figures(one, read)) for one in kinds_with_stock(session)]
    figures = _used(session, every, rules, today, also)
    lookup = Lookup(session, rules)
    wants, served = ask_again(lookup, open_wants(session))
    planned, more = planned_asks(lookup, today)
    return Shop(
        rules,
        today,
        {figure.kind.id: figure for figure in figures},
        read.offers,
        orders,
        (*wants, *planned),
        lookup.shelf.seats,
        nameplates_by_seat(session),
        KindIndex(figures),
        lookup.shelf,
        tuple(bundles(session)),
        read.seen,
        jobs_in_hand(session),
        (*notes, *served, *more),
        read.unused.observed_days,
        late,
    )


class _Elsewhere:
    """What the other sites of a company have and can spare, and how many days away they are."""

    def __init__(self, session: Session, rules: Rules) -> None:
        self._here, self._at = session.site, session.at
        if self._here is not None:
            self._sound, self._days = sound_elsewhere(session), days_between(session, rules)

    def beside(self, one: Figures) -> Figures:
        """A kind with what comes from another site sooner than bought; each keeps one."""
        if self._here is None or self._at is None:
            return one
        found, there = list[Nearby](), self._sound.get(one.kind.id, [])
        for site_id, count in there:
            days = self._days.between(self._here, site_id)
            if count > 1 and days < max(one.lead_days, 1):
                found.append(Nearby(self._at.names[site_id], count - 1, days))
        nearby = tuple(sorted(found, key=lambda near: near.days))
        return replace(one, nearby=nearby, far=sum(count for _site, count in there))


def _read(
    session: Session,
    rules: Rules,
    today: date,
    orders: Iterable[OpenOrder],
    seen: Mapping[str, LeadSeen],
    ahead: Mapping[str, KindForecast],
) -> _Read:
    return _Read(
        rules,
        _spent_tags(session, rules),
        gone_since(session, today - timedelta(days=GONE_DAYS)),
        _by_kind(orders),
        offers_by_kind(session),
        seen,
        ahead,
        KindUse(observed_days=observed_days(session, today)),
    )


def _by_kind(orders: Iterable[OpenOrder]) -> dict[int, list[OpenOrder]]:
    found: dict[int, list[OpenOrder]] = {}
    for order in orders:
        if order.kind_id is not None:
            found.setdefault(order.kind_id, []).append(order)
    return found


def _ahead(
    session: Session, rules: Rules, today: date
) -> tuple[dict[str, KindForecast], tuple[Said, ...]]:
    """The kinds whose last grind will be used up, by name, and what is to be said of the jobs."""
    noon = datetime.combine(today, time(12)).astimezone()
    found = forecast(session, ForecastRequest(everything=True), noon, rules=rules)
    return {kind.kind: kind for kind in found.kinds}, found.notes


def _spent_tags(session: Session, rules: Rules) -> dict[int, list[str]]:
    """Sound pieces past their last grind, or shorter than they may be, by kind."""
    interval = rules.number("wear.interval_strokes")
    short = too_short_pieces(session, rules.number("grind.most_total_mm"))
    worn = worn_pieces(session, rules.number("wear.plan"), interval)
    worn = [
        card
        for card in worn
        if card.condition == "sound" and piece_wear(card, rules).state == "spent"
    ]
    found: dict[int, set[str]] = {}
    for card in (*short, *worn):
        if card.role in EDGED and session.site in (None, card.site_id):
            found.setdefault(card.kind_id, set()).add(card.tag)
    return {kind_id: sorted(tags) for kind_id, tags in found.items()}


def _figures(kind: KindStock, read: _Read) -> Figures:
    tags = tuple(read.spent.get(kind.id, ()))
    mine = read.orders.get(kind.id, [])
    coming = read.ahead.get(kind.name)
    return Figures(
        kind=kind,
        usable=kind.sound - len(tags),
        spent=tags,
        gone=tuple(read.gone.get(kind.id, ())),
        on_order=sum(one.quantity for one in mine),
        ordered_on=mine[0].ordered_on if mine else "",
        use=read.unused,
        life=_life(kind, read.rules),
        lead=_lead(kind, read),
        running=False,
        planned=coming.planned if coming else 0.0,
        out_on=coming.out_on if coming else "",
        planned_share=_planned_share(coming),
    )


def _planned_share(coming: KindForecast | None) -> float:
    """The part of a kind's usual pace that planned jobs made."""
    if coming is None or not coming.per_work_day:
        return 0.0
    return min(1.0, coming.planned_per_work_day / coming.per_work_day)


def _life(kind: KindStock, rules: Rules) -> float | None:
    """Weighted strokes of a piece from new to spent; None for what has no edge."""
    if kind.role not in EDGED:
        return None
    usual = rules.number("wear.interval_strokes")
    interval = kind.learned_strokes or kind.interval_strokes or usual
    return float(interval) * edges_in_life(kind, rules)


def _lead(kind: KindStock, read: _Read) -> Lead:
    """The shortest lead time of its offers, as seen of the supplier where he delivered before."""
    quoted = [(one.supplier, one.lead_days) for one in read.offers.get(kind.id, ())]
    quoted = quoted or [(kind.supplier, kind.lead_days)]
    known = [_lead_of(read.seen.get(supplier), days) for supplier, days in quoted]
    default = round(read.rules.number("buy.lead_days_default"))
    own = default if kind.lead_days is None else kind.lead_days
    return min((one for one in known if one), key=lambda one: one.days, default=Lead(own, own))


def _lead_of(seen: LeadSeen | None, quoted_days: int | None) -> Lead | None:
    if seen is not None:
        return Lead(seen.days, seen.mean_days, seen.sd_days, seen.deliveries)
    return None if quoted_days is None else Lead(quoted_days, quoted_days)


def _used(
    session: Session, every: Sequence[Figures], rules: Rules, today: date, also: str
) -> list[Figures]:
    """The kinds with their use, where it can matter."""
    asked = [one for one in every if _may_need(one) or (also and is_called(one.kind, also))]
    use = recent_use(session, [one.kind.id for one in asked], today)
    weekly = rules.number("buy.spare_uses_per_week")
    running = [one for one in asked if _runs(use.get(one.kind.id), weekly)]
    seasons = _seasons(session, running, today)
    recent = (today - timedelta(days=_RECENT_DAYS)).isoformat()
    read = {one.kind.id for one in asked}
    found = []
    for one in every:
        own = use.get(one.kind.id)
        if own is not None:
            made = replace(one, use=own, running=_runs(own, weekly), claim=_claim(own, rules))
            found.append(replace(made, season=seasons.get(one.kind.id, 1.0)))
        else:
            found.append(one if one.kind.id in read else _busy(one, recent))
    return _lasting(session, found, rules, use)


def _runs(use: KindUse | None, weekly: float) -> bool:
    return use is not None and use.uses_per_week >= weekly


def _claim(use: KindUse, rules: Rules) -> float:
    """The share of a rate that may be claimed for a year by the shifts that stand behind it."""
    number, days = rules.number, use.observed_days
    claimed = claim_a_year(
        max(use.shifts, 1),
        days,
        number("buy.rate_shifts"),
        number("buy.rate_days"),
        number("buy.most_years"),
    )
    return claimed * days / YEAR_DAYS


def _may_need(one: Figures) -> bool:
    """Whether use can matter: little stock, a piece gone, or enough strokes to empty the shelf.

    A stock is run down within its delivery time only if the kind's pieces have made about that
    many lives of strokes; weights above 1 are allowed for.
    """
    if one.planned or one.out_on:
        return True
    if not one.kind.strokes_total:
        return False
    if one.have <= max(_THIN, one.kind.least_count) or one.spent or one.gone:
        return True
    life = one.life or 0.0
    return one.kind.strokes_total >= (one.have - 1) * life * _LIFE_SHARE


def _busy(one: Figures, recent: str) -> Figures:
    """A well-stocked kind, whose use was not read, counts as running when it was used of late."""
    busy = one.kind.strokes_total > 0 and one.kind.latest_on >= recent
    return replace(one, running=True) if busy else one


def _lasting(
    session: Session, every: Sequence[Figures], rules: Rules, used: Container[int]
) -> list[Figures]:
    """The kinds with those of their few pieces that will be spent before a new one could come."""
    few = {
        one.kind.id
        for one in every
        if one.kind.id in used and one.usable <= _THIN and one.life is not None
    }
    cards: dict[int, list[PieceCard]] = {}
    for card in pieces_of_kinds(session, few):
        if session.site in (None, card.site_id):
            cards.setdefault(card.kind_id, []).append(card)
    return [
        replace(one, not_lasting=tuple(_short(one, cards.get(one.kind.id, ()), rules)))
        if one.kind.id in few
        else one
        for one in every
    ]


def _short(one: Figures, cards: Iterable[PieceCard], rules: Rules) -> list[str]:
    """The tags of the sound pieces with less left than is worn while a new one is waited for."""
    needed = one.weighted_per_day * one.lead_days
    return sorted(
        card.tag
        for card in cards
        if card.condition == "sound"
        and card.tag not in one.spent
        and _remaining(card, rules) <= needed
    )


def _remaining(card: PieceCard, rules: Rules) -> float:
    """Weighted strokes that a piece has left: this edge, its other edges and its grinds."""
    stands = piece_wear(card, rules)
    more = (stands.grinds_left or 0) + stands.edges_left
    return max(0.0, stands.interval - card.wear) + more * stands.interval


def _seasons(session: Session, running: Sequence[Figures], today: date) -> dict[int, float]:
    """What the lead time of each kind sees of its usual use; nothing before two years are there."""
    months = _whole_months(today)
    first = first_shift(session)
    if not first or first[:7] >= months[0]:
        return {}
    begin, end = date.fromisoformat(f"{months[0]}-01"), today.replace(day=1)
    by_kind = weighted_by_month(session, [one.kind.id for one in running], begin, end)
    found = {}
    for one in running:
        if (own := by_kind.get(one.kind.id)) is not None:
            ahead = range((today + timedelta(days=one.lead_days) - end).days // _MONTH_DAYS + 1)
            strokes = [own.get(month, 0.0) for month in months]
            found[one.kind.id] = mean(season_factor(strokes, month) for month in ahead)
    return found


def _whole_months(today: date) -> list[str]:
    """The last two years' months, such as 2026-03, the oldest first."""
    last = today.year * _YEAR_MONTHS + today.month - 2
    numbers = range(last - MONTHS + 1, last + 1)
    return [f"{one // _YEAR_MONTHS:04d}-{one % _YEAR_MONTHS + 1:02d}" for one in numbers]
