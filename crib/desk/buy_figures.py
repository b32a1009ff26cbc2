"""The figures of each kind that a purchase rests on: stock, use, life, reorder point, brake."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil, floor

from crib.desk.standing import EDGED, standing
from crib.features.tooling import Seat
from crib.stock.candidates import seats_by_name
from crib.stock.demand import (
    KindStock,
    KindUse,
    OfferRow,
    OpenOrder,
    WantRow,
    gone_since,
    kinds_with_stock,
    nameplates_by_seat,
    observed_days,
    offers_by_kind,
    open_orders,
    open_wants,
    recent_use,
)
from crib.stock.pieces import PieceCard, select_cards
from crib.stock.session import Session
from crib.stock.settings import shop_rules
from crib.stock.strokes import worn_pieces
from crib.trade.money import hole_saving_cents, reorder_point
from crib.trade.rules import Rules

GONE_DAYS = 90
MOST_CLEARANCE_MM = 3.2
"""The widest step of the clearance chart: a die opening beyond it serves another punch."""

_RECENT_DAYS = 28
_YEAR_DAYS = 365
_MONTHS = 12
_THIN = 2
_LIFE_SHARE = 0.2


@dataclass(frozen=True, slots=True)
class Figures:
    """One kind: what is usable, what is gone, what is on its way, and how it is used."""

    kind: KindStock
    usable: int
    spent: tuple[str, ...]
    gone: tuple[tuple[str, str], ...]
    on_order: int
    ordered_on: str
    use: KindUse
    life: float | None
    lead_days: int
    running: bool
    not_lasting: tuple[str, ...] = ()

    @property
    def have(self) -> int:
        """Usable pieces and those on order."""
        return self.usable + self.on_order

    def reorder(self) -> float | None:
        """The stock at which to order again; None for what does not wear or is not used."""
        if self.life is None or not self.use.strokes_per_day:
            return None
        safety = 1.0 if self.running else 0.0
        return reorder_point(self.use.weighted_per_day, self.life, self.lead_days, safety)

    def most(self, horizon_months: float) -> int | None:
        """The most to have: use and breakages over the horizon and a spare. None if not known."""
        if self.life is None or not self.use.strokes_per_day:
            return None
        years = horizon_months / _MONTHS
        worn = self.use.weighted_per_day * _YEAR_DAYS * years / self.life
        lost = sum(condition != "retired" for _tag, condition in self.gone)
        return ceil(worn - 1e-9) + ceil(lost * _YEAR_DAYS / GONE_DAYS * years) + 1


@dataclass(frozen=True, slots=True)
class Shop:
    """Everything that was read for one plan."""

    rules: Rules
    today: date
    figures: Mapping[int, Figures]
    offers: Mapping[int, list[OfferRow]]
    orders: tuple[OpenOrder, ...]
    wants: tuple[WantRow, ...]
    seats: Mapping[str, Seat]
    nameplates: Mapping[str, list[str]]

    def saving_cents(self) -> float:
        """What punching saves on a hole against drilling it."""
        number = self.rules.number
        return max(
            0.0,
            hole_saving_cents(
                number("buy.drill_minutes"),
                number("buy.punch_minutes"),
                round(number("buy.rate_per_hour_cents")),
            ),
        )

    def stand_in(self, one: Figures) -> str:
        """The name of another kind with a sound piece that does the same work, or nothing."""
        every = [other for other in self.figures.values() if other.usable and other is not one]
        if one.kind.role == "punch":
            return next((each.kind.name for each in every if self._same_size(one, each)), "")
        punches = [each.kind for each in every if serves(one.kind, each.kind)]
        return next(
            (
                each.kind.name
                for each in every
                if any(serves(each.kind, punch) for punch in punches)
            ),
            "",
        )

    def _same_size(self, one: Figures, other: Figures) -> bool:
        mine, its = one.kind, other.kind
        if (
            (mine.role, mine.shape) != (its.role, its.shape)
            or not mine.width_mm
            or not its.width_mm
        ):
            return False
        tolerance_mm = self.rules.number("size.tolerance_mm") + 1e-9
        off_mm = abs((mine.long_mm or mine.width_mm) - (its.long_mm or its.width_mm))
        return abs(mine.width_mm - its.width_mm) <= tolerance_mm and off_mm <= tolerance_mm


def read_shop(session: Session, today: date, also: str = "") -> Shop:
    """Read the crib as buying sees it; use is read of every kind in whose name ``also`` is."""
    rules = shop_rules(session)
    kinds = kinds_with_stock(session)
    orders = tuple(open_orders(session))
    wants = tuple(open_wants(session))
    offers = offers_by_kind(session)
    spent = _spent_tags(session, rules)
    gone = gone_since(session, today - timedelta(days=GONE_DAYS))
    by_kind: dict[int, list[OpenOrder]] = {}
    for order in orders:
        if order.kind_id is not None:
            by_kind.setdefault(order.kind_id, []).append(order)
    unused = KindUse(observed_days=observed_days(session, today))
    drafts = [_figures(one, rules, spent, gone, by_kind, offers, unused) for one in kinds]
    asked = [one for one in drafts if _may_need(one) or (also and is_called(one.kind, also))]
    use = recent_use(session, [one.kind.id for one in asked], today)
    ready = [_with_use(session, one, use.get(one.kind.id), rules) for one in drafts]
    recent = (today - timedelta(days=_RECENT_DAYS)).isoformat()
    read = {one.kind.id for one in asked}
    ready = [one if one.kind.id in read else _busy(one, recent) for one in ready]
    return Shop(
        rules,
        today,
        {one.kind.id: one for one in ready},
        offers,
        orders,
        wants,
        seats_by_name(session),
        nameplates_by_seat(session),
    )


def is_called(kind: KindStock, text: str) -> bool:
    """Whether a kind's name holds a text, whatever the case and blanks."""
    return " ".join(text.split()).casefold() in kind.name.casefold()


def serves(die: KindStock, punch: KindStock) -> bool:
    """Whether a die is of a punch's shape and seat, and a chart's step bigger at most."""
    if (die.role, punch.role) != ("die", "punch"):
        return False
    if die.shape != punch.shape or die.seat != punch.seat or not die.width_mm or not punch.width_mm:
        return False
    across_mm = die.width_mm - punch.width_mm
    along_mm = (die.long_mm or die.width_mm) - (punch.long_mm or punch.width_mm)
    return 0 < across_mm <= MOST_CLEARANCE_MM and 0 < along_mm <= MOST_CLEARANCE_MM


def _spent_tags(session: Session, rules: Rules) -> dict[int, list[str]]:
    """Sound pieces past their last grind, or shorter than they may be, by kind."""
    interval = rules.number("wear.interval_strokes")
    short = select_cards(
        session,
        "piece.condition = 'sound' AND piece.length_mm < coalesce(kind.least_length_mm,"
        " kind.length_mm - coalesce(kind.regrind_mm, ?)) - 1e-6",
        (rules.number("grind.most_total_mm"),),
    )
    worn = worn_pieces(session, rules.number("wear.plan"), interval, "piece.condition = 'sound'")
    worn = [one for one in worn if standing(one, rules).state == "spent"]
    found: dict[int, set[str]] = {}
    for card in (*short, *worn):
        if card.role in EDGED:
            found.setdefault(card.kind_id, set()).add(card.tag)
    return {kind_id: sorted(tags) for kind_id, tags in found.items()}


def _figures(
    kind: KindStock,
    rules: Rules,
    spent: Mapping[int, list[str]],
    gone: Mapping[int, list[tuple[str, str]]],
    orders: Mapping[int, list[OpenOrder]],
    offers: Mapping[int, list[OfferRow]],
    unused: KindUse,
) -> Figures:
    tags = tuple(spent.get(kind.id, ()))
    mine = orders.get(kind.id, [])
    return Figures(
        kind=kind,
        usable=kind.sound - len(tags),
        spent=tags,
        gone=tuple(gone.get(kind.id, ())),
        on_order=sum(one.quantity for one in mine),
        ordered_on=mine[0].ordered_on if mine else "",
        use=unused,
        life=_life(kind, rules),
        lead_days=_lead_days(kind, offers.get(kind.id, []), rules),
        running=False,
    )


def _life(kind: KindStock, rules: Rules) -> float | None:
    """Weighted strokes of a piece from new to spent; None for what has no edge."""
    if kind.role not in EDGED:
        return None
    usual = rules.number("wear.interval_strokes")
    interval = kind.learned_strokes or kind.interval_strokes or usual
    least_mm, new_mm = kind.least_length_mm, kind.length_mm
    if kind.regrind_mm is not None:
        allowance_mm = kind.regrind_mm
    elif least_mm is not None and new_mm is not None:
        allowance_mm = max(new_mm - least_mm, 0.0)
    else:
        allowance_mm = rules.number("grind.most_total_mm")
    grinds = floor(allowance_mm / rules.number("grind.typical_mm") + 1e-6)
    return float(interval) * (grinds + kind.edges)


def _lead_days(kind: KindStock, offers: list[OfferRow], rules: Rules) -> int:
    known = [one.lead_days for one in offers if one.lead_days is not None]
    if known:
        return min(known)
    default = round(rules.number("buy.lead_days_default"))
    return default if kind.lead_days is None else kind.lead_days


def _may_need(one: Figures) -> bool:
    """Whether use can matter: little stock, a piece gone, or enough strokes to empty the shelf.

    A stock is run down within its delivery time only if the kind's pieces have made about that
    many lives of strokes; weights above 1 are allowed for.
    """
    if not one.kind.strokes_total:
        return False
    if one.have <= max(_THIN, one.kind.least_count) or one.spent or one.gone:
        return True
    life = one.life or 0.0
    return one.kind.strokes_total >= (one.have - 1) * life * _LIFE_SHARE


def _with_use(session: Session, one: Figures, use: KindUse | None, rules: Rules) -> Figures:
    if use is None:
        return one
    running = use.uses_per_week >= rules.number("buy.spare_uses_per_week")
    made = replace(one, use=use, running=running)
    return made if one.usable > _THIN or one.life is None else _lasting(session, made, rules)


def _busy(one: Figures, recent: str) -> Figures:
    """A well-stocked kind, whose use was not read, counts as running when it was used of late."""
    busy = one.kind.strokes_total > 0 and one.kind.latest_on >= recent
    return replace(one, running=True) if busy else one


def _lasting(session: Session, one: Figures, rules: Rules) -> Figures:
    """Which of a kind's few pieces will be spent before a new one could be here."""
    needed = one.use.weighted_per_day * one.lead_days
    cards = select_cards(session, "piece.kind_id = ? AND piece.condition = 'sound'", (one.kind.id,))
    short = [
        card.tag
        for card in cards
        if card.tag not in one.spent and _remaining(card, rules) <= needed
    ]
    return replace(one, not_lasting=tuple(sorted(short)))


def _remaining(card: PieceCard, rules: Rules) -> float:
    """Weighted strokes that a piece has left: this edge, its other edges and its grinds."""
    stands = standing(card, rules)
    more = (stands.grinds_left or 0) + stands.edges_left
    return max(0.0, stands.interval - card.wear) + more * stands.interval
