"""The figures of each kind that a purchase rests on, and all that was read for one plan."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from math import ceil

from crib.acts import Said
from crib.desk.buying.late_orders import LateOrder
from crib.features.common.tooling import Seat
from crib.stock.queries.buying import BundleRow, LeadSeen
from crib.stock.queries.demand import KindStock, KindUse, Nameplate, OfferRow, OpenOrder, WantRow
from crib.stock.queries.tool_shelf import ToolShelf
from crib.trade.shop.shop_rules import Rules

GONE_DAYS = 90
MOST_CLEARANCE_MM = 3.2
"""The widest step of the clearance chart: a die opening beyond it serves another punch."""
YEAR_DAYS = 365

_MONTHS = 12
_DUST = 1e-9
_ANY = "\0"
"""Stands for kinds of whatever seat; no seat is called so."""


@dataclass(frozen=True, slots=True)
class Lead:
    """Days to delivery, as seen of the supplier or as quoted, and how they spread."""

    days: int
    mean_days: float
    sd_days: float = 0.0
    deliveries: int = 0


@dataclass(frozen=True, slots=True)
class Nearby:
    """Sound pieces that another site can spare, which are here sooner than new ones."""

    site: str
    count: int
    days: int


@dataclass(frozen=True, slots=True)
class Figures:
    """One kind: what is usable, what is gone, what is on its way, and how it is used.

    ``season`` is what the weeks to come see of the usual use, ``planned`` the weighted strokes of
    the open jobs, ``out_on`` the day on which the last grind is used up, if that is in sight.
    ``planned_share`` is the part of the use that planned jobs made, which those to come make again.
    ``claim`` is the share of the rate seen that the shifts behind it bear out for a year. At one
    site of several ``far`` pieces are sound at the others, some of them ``nearby``.
    """

    kind: KindStock
    usable: int
    spent: tuple[str, ...]
    gone: tuple[tuple[str, str], ...]
    on_order: int
    ordered_on: str
    use: KindUse
    life: float | None
    lead: Lead
    running: bool
    not_lasting: tuple[str, ...] = ()
    season: float = 1.0
    planned: float = 0.0
    out_on: str = ""
    claim: float = 1.0
    planned_share: float = 0.0
    nearby: tuple[Nearby, ...] = ()
    far: int = 0

    @property
    def elsewhere(self) -> int:
        """Pieces that other sites can spare sooner than new ones would come."""
        return sum(one.count for one in self.nearby)

    @property
    def have(self) -> int:
        """Usable pieces, those on order, and those that another site can spare."""
        return self.usable + self.on_order + self.elsewhere

    @property
    def lasting(self) -> int:
        """Usable pieces that will not be spent before a new one could be here."""
        return self.usable - len(self.not_lasting)

    @property
    def lead_days(self) -> int:
        """Days to delivery."""
        return self.lead.days

    @property
    def is_used(self) -> bool:
        """Whether it made strokes in the last year, or open jobs will have it make some."""
        return bool(self.use.strokes_per_day or self.planned)

    @property
    def weighted_per_day(self) -> float:
        """Weighted strokes of a day to come: the usual ones in this season."""
        return self.use.weighted_per_day * self.season

    @property
    def strokes_per_year(self) -> float:
        """Strokes that may be claimed for a year; at least those that are planned."""
        return max(self.use.strokes_per_day * YEAR_DAYS * self.claim, self.planned)

    @property
    def weighted_per_year(self) -> float:
        """Weighted strokes that may be claimed for a year, with what is planned beyond them."""
        usual = self.use.weighted_per_day * YEAR_DAYS * self.claim
        return usual + self.planned_beyond(usual)

    def planned_beyond(self, usual: float) -> float:
        """What is planned beyond the planned part of some usual use, in weighted strokes."""
        return max(0.0, self.planned - usual * self.planned_share)

    @property
    def pieces_per_year(self) -> float:
        """Pieces that a year's work wears out; 0 when none wears."""
        return 0.0 if self.life is None else self.weighted_per_year / self.life

    def most(self, horizon_months: float) -> int | None:
        """The most to have: use and breakages over the horizon and a spare. None if not known."""
        if self.life is None or not self.is_used:
            return None
        years = horizon_months / _MONTHS
        usual = self.use.weighted_per_day * YEAR_DAYS * self.claim * years
        worn = (usual + self.planned_beyond(usual)) / self.life
        lost = sum(condition != "retired" for _tag, condition in self.gone)
        return ceil(worn - _DUST) + ceil(lost * YEAR_DAYS / GONE_DAYS * years) + 1


class KindIndex:
    """The kinds by role, shape and width, so that a look for one size does not read them all."""

    def __init__(self, figures: Iterable[Figures]) -> None:
        self._by_name: dict[tuple[str, str], Figures] = {}
        sized: dict[tuple[str, str, str | None], list[tuple[float, int, Figures]]] = {}
        for number, one in enumerate(figures):
            kind = one.kind
            self._by_name.setdefault((kind.role, kind.name), one)
            if kind.width_mm:
                for seat in (_ANY, kind.seat):
                    key = (kind.role, kind.shape, seat)
                    sized.setdefault(key, []).append((kind.width_mm, number, one))
        self._sized = {key: sorted(some, key=lambda one: one[:2]) for key, some in sized.items()}

    def named(self, role: str, name: str | None) -> Figures | None:
        """The kind of that role and name."""
        return self._by_name.get((role, name or ""))

    def within(
        self, role: str, shape: str, least_mm: float, most_mm: float, seat: str | None = _ANY
    ) -> list[Figures]:
        """The kinds of a role and shape whose width is within limits, in the order of the crib."""
        some = self._sized.get((role, shape, seat), [])
        first = bisect_left(some, least_mm, key=lambda one: one[0])
        last = bisect_right(some, most_mm, key=lambda one: one[0])
        return [one for _width, _number, one in sorted(some[first:last], key=lambda one: one[1])]

    def dies_for(self, punch: KindStock) -> list[Figures]:
        """The dies that serve a punch."""
        if not punch.width_mm:
            return []
        widest = punch.width_mm + MOST_CLEARANCE_MM
        some = self.within("die", punch.shape, punch.width_mm, widest, punch.seat)
        return [one for one in some if serves(one.kind, punch)]

    def punches_for(self, die: KindStock) -> list[Figures]:
        """The punches that a die serves."""
        if not die.width_mm:
            return []
        least = die.width_mm - MOST_CLEARANCE_MM
        some = self.within("punch", die.shape, least, die.width_mm, die.seat)
        return [one for one in some if serves(die, one.kind)]

    def dies_like(self, die: KindStock) -> Iterator[Figures]:
        """The other dies that serve the biggest punch of this one; a smaller die never does."""
        punches = [one.kind for one in self.punches_for(die)]
        biggest = max(punches, key=lambda one: (one.width_mm, one.long_mm or 0.0), default=None)
        for other in self.dies_for(biggest) if biggest else ():
            if other.kind.id != die.id:
                yield other


@dataclass(frozen=True, slots=True)
class Shop:
    """Everything that was read for one plan. ``in_hand`` are the open jobs.

    ``orders`` are those still counted on, ``late`` those to be chased, given up or not.
    """

    rules: Rules
    today: date
    figures: Mapping[int, Figures]
    offers: Mapping[int, list[OfferRow]]
    orders: tuple[OpenOrder, ...]
    wants: tuple[WantRow, ...]
    seats: Mapping[str, Seat]
    nameplates: Mapping[str, list[Nameplate]]
    index: KindIndex
    shelf: ToolShelf
    bundles: tuple[BundleRow, ...] = ()
    seen: Mapping[str, LeadSeen] = field(default_factory=dict)
    in_hand: frozenset[str] = frozenset()
    notes: tuple[Said, ...] = ()
    observed_days: int = YEAR_DAYS
    late: tuple[LateOrder, ...] = ()

    @property
    def currency(self) -> str:
        """What the shop reckons in."""
        return self.rules.text("crib.currency")

    def stand_in(self, one: Figures) -> str:
        """The name of another kind with a sound piece that does the same work, or nothing."""
        others: Iterable[Figures] = ()
        if one.kind.role == "punch":
            others = self._same_size(one)
        elif one.kind.role == "die":
            others = self.index.dies_like(one.kind)
        there = (other.kind.name for other in others if other.usable and other is not one)
        return next(there, "")

    def _same_size(self, one: Figures) -> list[Figures]:
        mine = one.kind
        if not mine.width_mm:
            return []
        off_mm = self.rules.number("size.tolerance_mm") + _DUST
        long_mm = mine.long_mm or mine.width_mm
        return [
            other
            for other in self.index.within(
                mine.role, mine.shape, mine.width_mm - off_mm, mine.width_mm + off_mm
            )
            if abs((other.kind.long_mm or other.kind.width_mm or 0.0) - long_mm) <= off_mm
        ]


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
