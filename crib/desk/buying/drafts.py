"""Lines in the making: one for each kind, or each tool that is not a kind yet, reasons joined."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from crib.desk.buying.kind_figures import Figures, Shop
from crib.desk.buying.worth import JobSaving
from crib.features.common.order_text import OrderSpec, size_text, word_for
from crib.stock.queries.demand import KindStock, OpenOrder, WantRow

REPEATED_JOBS = 3
_MOST_STATIONS = 2


@dataclass(slots=True, eq=False)
class Wish:
    """A want on the board: what serving it is worth a year, and the places of all it lacks.

    ``others`` are other sets of tools that would serve it as well.
    """

    want: WantRow
    fresh: bool
    saving: JobSaving
    reason: str
    places: frozenset[int]
    others: tuple[frozenset[int], ...] = ()

    @property
    def ways(self) -> tuple[frozenset[int], ...]:
        """Every set of tools that would serve it."""
        return (self.places, *self.others)

    @property
    def cents(self) -> int:
        """What serving it is worth a year; a want of long ago is worth nothing."""
        return self.saving.cents if self.fresh else 0


@dataclass(slots=True, eq=False)
class Draft:
    """A line as it grows. ``target`` is the stock to have.

    ``own`` says that it is bought for its own sake; else only with all that one of its wishes
    lacks. ``lot`` is how many of it one want needs at once.
    """

    place: int
    spec: OrderSpec
    figures: Figures | None
    loose: tuple[OpenOrder, ...] = ()
    target: int = 0
    reasons: list[str] = field(default_factory=list)
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
        """Usable pieces and those on their way."""
        return self.on_order + (self.figures.usable if self.figures else 0)

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
        return [one.want for one in self.wishes if one.fresh]

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
    def why(self) -> list[str]:
        """The reasons, each once: the wants, then those of the shelf."""
        return list(dict.fromkeys([*(one.reason for one in self.wishes), *self.reasons]))

    def raise_to(self, target: int, reason: str) -> None:
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
        self._loose = [one for one in shop.orders if one.kind_id is None]

    def place_of(self, kind_id: int) -> int | None:
        """The place of a kind's draft, if there is one."""
        return self._by_kind.get(kind_id)

    def of_kind(self, figures: Figures) -> Draft:
        """The draft of a kind."""
        place = self._by_kind.get(figures.kind.id)
        if place is None:
            place = self._by_kind[figures.kind.id] = len(self.drafts)
            spec = self._kind_spec(figures)
            self.drafts.append(Draft(place, spec, figures, self._on_order_as(spec)))
        return self.drafts[place]

    def of_tool(self, spec: OrderSpec, kind_name: str | None) -> Draft:
        """The draft of a tool: its kind's, that of the same tool, or a new one."""
        figures = self._kind_of(spec, kind_name)
        if figures is not None:
            return self.of_kind(figures)
        key = (spec.role, spec.shape, spec.seat_name)
        bare = self._bare.setdefault(key, [])
        for draft in bare:
            if self._same_size(draft.spec.width_mm, draft.spec.long_mm, spec):
                return draft
        bare.append(Draft(len(self.drafts), spec, None, self._on_order_as(spec)))
        self.drafts.append(bare[-1])
        return bare[-1]

    def wish(self, wish: Wish) -> None:
        """A want that is served when all that one of its ways lacks is bought."""
        for place in {place for way in wish.ways for place in way}:
            self.drafts[place].wishes.append(wish)

    def settle(self, wish: Wish, way: frozenset[int]) -> None:
        """A want is served by one of its ways; the tools of the others are not wanted for it."""
        if way != wish.places:
            wish.reason = f"{wish.reason}; with other tools than were asked for"
        wish.places, wish.others = way, ()

    def clear(self) -> None:
        """Take off the board what no want is left for."""
        for draft in self.drafts:
            draft.wishes = [one for one in draft.wishes if draft.place in one.places]
            if not draft.own and not draft.wishes:
                draft.target = 0

    def spec_for(self, role: str, shape: str, seat_name: str) -> OrderSpec:
        """The start of a spec: the seat with its numbers, and the stations that accept it."""
        seat = self.shop.seats.get(seat_name)
        return OrderSpec(
            role=role,
            quantity=1,
            shape=shape,
            width_mm=None,
            seat_name=seat_name,
            seat_numbers=seat.numbers(role) if seat and role in ("punch", "die") else (),
            for_station=self._stations(seat_name),
        )

    def _stations(self, seat_name: str) -> str:
        """The first stations of a seat; the seat's numbers stand in the line anyway."""
        labels = self.shop.nameplates.get(seat_name, [])
        more = len(labels) - _MOST_STATIONS
        others = f" and {more} more" if more > 0 else ""
        return " and ".join(labels[:_MOST_STATIONS]) + others

    def _kind_spec(self, figures: Figures) -> OrderSpec:
        kind = figures.kind
        spec = self.spec_for(kind.role, kind.shape, kind.seat or "")
        punch = self._punch_for(kind)
        seat = self.shop.seats.get(kind.seat or "")
        usual_mm = seat.punch_length_mm if seat and kind.role == "punch" else None
        own_name = kind.role not in ("punch", "die") or kind.shape == "special"
        edges = f", {kind.edges} edges" if kind.edges > 1 else ""
        return replace(
            spec,
            width_mm=kind.width_mm,
            long_mm=kind.long_mm,
            punch_width_mm=punch.width_mm if punch else None,
            punch_long_mm=punch.long_mm if punch else None,
            key_angles=tuple(int(angle) for angle in re.findall("[0-9]+", kind.key_angles)),
            face=kind.face,
            length_mm=kind.length_mm or usual_mm,
            for_thickness_mm=figures.use.most_thickness_mm,
            for_material=figures.use.material,
            dedicated_to=kind.dedicated_to,
            note=f"as our {kind.name!r}{edges}" if own_name else "",
        )

    def _punch_for(self, die: KindStock) -> KindStock | None:
        """The biggest of our punches that goes into a die."""
        fitting = [one.kind for one in self.shop.index.punches_for(die)]
        return max(fitting, key=lambda one: one.width_mm or 0.0, default=None)

    def _kind_of(self, spec: OrderSpec, name: str | None) -> Figures | None:
        """The kind of that name, else the first kind that is the same tool."""
        named = self.shop.index.named(spec.role, name)
        if named is not None or spec.width_mm is None:
            return named
        off_mm = self._tolerance_mm()
        near = self.shop.index.within(
            spec.role, spec.shape, spec.width_mm - off_mm, spec.width_mm + off_mm
        )
        return next((one for one in near if self._is_same_kind(one.kind, spec)), None)

    def _is_same_kind(self, kind: KindStock, spec: OrderSpec) -> bool:
        wanted = (spec.role, spec.shape, spec.seat_name)
        return (kind.role, kind.shape, kind.seat or "") == wanted and self._same_size(
            kind.width_mm, kind.long_mm, spec
        )

    def _same_size(self, width_mm: float | None, long_mm: float | None, spec: OrderSpec) -> bool:
        if width_mm is None or spec.width_mm is None:
            return False
        tolerance_mm = self._tolerance_mm()
        off_mm = abs((long_mm or width_mm) - (spec.long_mm or spec.width_mm))
        return abs(width_mm - spec.width_mm) <= tolerance_mm and off_mm <= tolerance_mm

    def _tolerance_mm(self) -> float:
        return self.shop.rules.number("size.tolerance_mm") + 1e-9

    def _on_order_as(self, spec: OrderSpec) -> tuple[OpenOrder, ...]:
        """The open orders that name no kind and spell out this tool."""
        if spec.width_mm is None or not spec.seat_name:
            return ()
        size = size_text(spec.width_mm, spec.long_mm, self.shop.rules.system)
        words = (
            rf"\b({re.escape(word_for(spec.role))}|{re.escape(word_for(spec.role, 2))})\b",
            rf"\b{re.escape(spec.shape)}\b",
            rf"(?<![0-9/.-])(?<!x ){re.escape(size)}\b(?! x)",
            rf"\bseat {re.escape(spec.seat_name)}(?![\w-])",
        )
        return tuple(
            one
            for one in self._loose
            if all(re.search(word, re.sub(r"\([^)]*\)", "", one.text)) for word in words)
        )
