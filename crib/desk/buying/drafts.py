"""Lines in the making: one for each kind, or each tool that is not a kind yet, reasons joined."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from crib.acts import Fact
from crib.desk.buying.kind_figures import Figures, Shop
from crib.desk.buying.worth import JobSaving
from crib.features.common.tool_match import does_for, is_listed, limits_of, width_range_mm
from crib.features.common.tool_spec import ToolSpec
from crib.stock.queries.demand import KindStock, OpenOrder, WantRow, labels_for
from crib.stock.queries.kind_specs import KindSpec

REPEATED_JOBS = 3
_MOST_STATIONS = 2
Serves = Callable[[ToolSpec], bool]
"""Whether a tool serves what somebody asked for, by the rules of the ask."""


@dataclass(slots=True, eq=False)
class Wish:
    """A want on the board: what serving it is worth a year, and the indexes of all it lacks.

    ``others`` are other sets of tools that would serve it as well. ``times`` is how often a size
    of it was wanted anew, ``claim`` how much of its saving that bears out for each year: a want
    that did not come back saves once, spread over the years of a tool that lasts.
    """

    want: WantRow
    fresh: bool
    saving: JobSaving
    reason: Fact
    indexes: frozenset[int]
    others: tuple[frozenset[int], ...] = ()
    times: int = 1
    claim: float = 1.0

    @property
    def is_once(self) -> bool:
        """Whether its saving counts once and not every year."""
        return self.times == 1

    @property
    def ways(self) -> tuple[frozenset[int], ...]:
        """Every set of tools that would serve it."""
        return (self.indexes, *self.others)

    @property
    def cents(self) -> int:
        """What serving it is worth a year; a want of long ago is worth nothing."""
        return round(self.saving.cents * self.claim) if self.fresh else 0


@dataclass(slots=True, eq=False)
class Draft:
    """A line as it grows. ``target`` is the stock to have.

    ``own`` says that it is bought for its own sake; else only with all that one of its wishes
    lacks. ``lot`` is how many of it one want needs at once.
    """

    index: int
    spec: ToolSpec
    figures: Figures | None
    loose: tuple[OpenOrder, ...] = ()
    target: int = 0
    reasons: list[Fact] = field(default_factory=list)
    wishes: list[Wish] = field(default_factory=list)
    own: bool = False
    lot: int = 1

    @property
    def on_order(self) -> int:
        """Pieces on their way, whether the order names the kind or only spells it out."""
        return sum(one.quantity for one in self.loose) + (
            self.figures.on_order if self.figures else 0
        )

    @property
    def have(self) -> int:
        """Usable pieces, those on their way, and those that another site can spare."""
        there = self.figures.usable + self.figures.elsewhere if self.figures else 0
        return self.on_order + there

    @property
    def ordered_on(self) -> str:
        """The day of the oldest order that counts."""
        days = [one.ordered_on for one in self.loose]
        days += [self.figures.ordered_on] if self.figures else []
        return min((day for day in days if day), default="")

    @property
    def quantity(self) -> int:
        """How many to buy."""
        return max(0, self.target - self.have)

    @property
    def fresh(self) -> list[WantRow]:
        """The wants of the last year."""
        return [wish.want for wish in self.wishes if wish.fresh]

    @property
    def lasts(self) -> bool:
        """Whether it is kept for years: wanted again and again, or for the shelf's own sake."""
        return self.own or any(wish.fresh and not wish.is_once for wish in self.wishes)

    @property
    def wanted_a_year(self) -> float:
        """Features that are wanted every year."""
        fresh = (wish for wish in self.wishes if wish.fresh and not wish.is_once)
        return sum(wish.want.quantity * wish.claim for wish in fresh)

    @property
    def jobs(self) -> tuple[str, ...]:
        """The jobs that asked for it within a year."""
        return tuple(sorted({one.job for one in self.fresh if one.job}))

    @property
    def repeated(self) -> bool:
        """Whether so many jobs asked that there will be more."""
        return len(self.jobs) >= REPEATED_JOBS

    def ordered_for(self, in_hand: frozenset[str]) -> bool:
        """Whether an order in hand asks for it: an open job."""
        return any(one.job in in_hand for one in self.fresh if one.job)

    @property
    def why(self) -> list[Fact]:
        """The reasons, each once: the wants, then those of the shelf."""
        return list(dict.fromkeys([*(wish.reason for wish in self.wishes), *self.reasons]))

    def raise_to(self, target: int, reason: Fact) -> None:
        """Want a stock for its own sake, with the reason why."""
        self.target = max(self.target, target)
        self.reasons.append(reason)
        self.own = True


class Board:
    """All drafts of one plan."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.drafts: list[Draft] = []
        self._by_kind: dict[int, int] = {}
        self._bare: dict[tuple[str, str, str], list[Draft]] = {}
        self._specified = [order for order in shop.orders if order.spec]
        self._loose = [one for one in self._specified if one.kind_id is None]
        self._limits = limits_of(shop.rules)

    def index_of(self, kind_id: int) -> int | None:
        """The index of a kind's draft, if there is one."""
        return self._by_kind.get(kind_id)

    def of_kind(self, figures: Figures) -> Draft:
        """The draft of a kind."""
        index = self._by_kind.get(figures.kind.id)
        if index is None:
            index = self._by_kind[figures.kind.id] = len(self.drafts)
            spec = self._kind_spec(figures)
            loose = self._on_order_as(spec, lambda made: is_listed(made, spec), self._loose)
            self.drafts.append(Draft(index, spec, figures, loose))
        return self.drafts[index]

    def of_tool(self, spec: ToolSpec, kind_name: str | None, serves: Serves) -> Draft:
        """The draft of a tool: its kind's, that of a tool that does as well, or a new one.

        What is there or on its way must serve the ask as well; a line in the making is widened.
        """
        figures = self._kind_of(spec, kind_name, serves)
        if figures is not None:
            return self.of_kind(figures)
        bare = self._bare.setdefault((spec.role, spec.profile, spec.seat_name), [])
        for draft in bare:
            there = draft.have and not serves(draft.spec)
            if does_for(draft.spec, spec, self._limits) and not there:
                draft.spec = _with_list(draft.spec, spec)
                return draft
        coming = self._on_order_as(spec, serves, self._specified)
        bare.append(Draft(len(self.drafts), spec, None, coming))
        self.drafts.append(bare[-1])
        return bare[-1]

    def kinds_of_size(self, wanted: ToolSpec, widths_mm: tuple[float, float]) -> list[KindSpec]:
        """The kinds of a role and shape whose width is within limits [mm]."""
        near = self.shop.index.within(wanted.role, wanted.shape, *widths_mm)
        return [KindSpec(one.kind.id, one.kind.name, one.kind.spec) for one in near]

    def wish(self, wish: Wish) -> None:
        """A want that is served when all that one of its ways lacks is bought."""
        for index in {index for way in wish.ways for index in way}:
            self.drafts[index].wishes.append(wish)

    def settle(self, wish: Wish, way: frozenset[int]) -> None:
        """A want is served by one of its ways; the tools of the others are not wanted for it."""
        if way != wish.indexes:
            wish.reason = wish.reason.but(with_other_tools=True)
        wish.indexes, wish.others = way, ()

    def clear(self) -> None:
        """Take off the board what no want is left for."""
        for draft in self.drafts:
            draft.wishes = [wish for wish in draft.wishes if draft.index in wish.indexes]
            if not draft.own and not draft.wishes:
                draft.target = 0

    def seated(self, spec: ToolSpec) -> ToolSpec:
        """A specification with its seat as declared today, and the stations that accept it."""
        seat = self.shop.seats.get(spec.seat_name)
        return replace(
            spec,
            seat_numbers=seat.numbers(spec.role, spec.profile) if seat else (),
            for_station=self._stations(spec),
        )

    def _stations(self, spec: ToolSpec) -> str:
        """The first stations for a tool; its seat's numbers stand in the line anyway."""
        labels = labels_for(self.shop.nameplates, spec)
        more = len(labels) - _MOST_STATIONS
        others = f" and {more} more" if more > 0 else ""
        return " and ".join(labels[:_MOST_STATIONS]) + others

    def _kind_spec(self, figures: Figures) -> ToolSpec:
        kind, punch = figures.kind, self._punch_for(figures.kind)
        own_name = kind.role not in ("punch", "die") or kind.shape == "special"
        return replace(
            self.seated(kind.spec),
            punch_width_mm=punch.width_mm if punch else None,
            punch_long_mm=punch.long_mm if punch else None,
            for_thickness_mm=figures.use.most_thickness_mm,
            for_material=figures.use.material,
            note=f"as our {kind.name!r}" if own_name else "",
        )

    def _punch_for(self, die: KindStock) -> KindStock | None:
        """The biggest of our punches that goes into a die."""
        fitting = [one.kind for one in self.shop.index.punches_for(die)]
        return max(fitting, key=lambda one: one.width_mm or 0.0, default=None)

    def _kind_of(self, spec: ToolSpec, name: str | None, serves: Serves) -> Figures | None:
        """The kind of that name where it still does, else the first kind that does."""
        named = self.shop.index.named(spec.role, name)
        if spec.width_mm is None:
            return named
        widths_mm = width_range_mm(spec, self._limits)
        near = self.shop.index.within(spec.role, spec.shape, *widths_mm, spec.seat_name or None)
        doing = (one for one in (named, *near) if one and self._does(one.kind, spec))
        return next((one for one in doing if serves(one.kind.spec)), None)

    def _does(self, kind: KindStock, spec: ToolSpec) -> bool:
        return does_for(kind.spec, spec, self._limits)

    def _on_order_as(
        self, spec: ToolSpec, serves: Serves, orders: Sequence[OpenOrder]
    ) -> tuple[OpenOrder, ...]:
        """Those of some open orders that are of a tool that does."""
        return tuple(
            order
            for order in orders
            if order.spec and does_for(order.spec, spec, self._limits) and serves(order.spec)
        )


def _with_list(spec: ToolSpec, other: ToolSpec) -> ToolSpec:
    """A specification that must be proven for what another one must be proven for as well."""
    more = tuple(point for point in other.envelope if point not in spec.envelope)
    return replace(spec, envelope=(*spec.envelope, *more))
