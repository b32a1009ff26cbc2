"""What one ask sees of the shelf: stations that do its work, groups of pieces for its needs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import overload

from crib.desk.common.tool_cards import tool_of
from crib.features.common.ask import Answers, Ask, Need
from crib.features.common.case import Case
from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import Adapter, Seat, Station, Tool, ToolingSet
from crib.stock.queries.candidates import KindRow
from crib.stock.queries.kind_specs import KindSpec, SizeAsk
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.tool_shelf import ToolShelf
from crib.stock.queries.tooling_terms import KindAsk, NeedAsk, Wanted

MOST_AHEAD = 200
"""Kinds of a need of which the pieces are read before anybody wants them."""
_FIRST = 12
"""Kinds of a role beside the leading one of which the pieces are read first.

When they are not enough those of half as many are read, and so on.
"""

Group = Sequence[Tool]
KindsOfSize = Callable[[ToolSpec, tuple[float, float]], Sequence[KindSpec]]
"""The kinds of a role and shape whose width is within limits [mm]."""


@dataclass
class ShelfView:
    """The shelf for one ask.

    ``named`` are pieces that a person named, by role: that role has those and no others.
    ``every_measured`` looks at every measured piece, not only at those that could come first.
    Who has all kinds in hand gives them as ``kinds_at_hand``, so that they are not read again.
    """

    shelf: ToolShelf
    answers: Answers[Ask, Case]
    stations: list[Station] = field(init=False)
    named: dict[str, list[Tool]] = field(init=False, default_factory=dict)
    every_measured: bool = True
    kinds_at_hand: KindsOfSize | None = None
    _wanted: dict[str, Wanted] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        """Look which stations do the work."""
        self.stations = self.shelf.stations(self.ask.work)

    @property
    def ask(self) -> Ask:
        """What is asked for."""
        return self.answers.ask

    @property
    def case(self) -> Case:
        """The plate, the shop's rules and the job's circumstances."""
        return self.answers.case

    @cached_property
    def needs(self) -> tuple[Need, ...]:
        """The roles that the ask needs, the leading one first."""
        return self.answers.needs()

    @property
    def seats(self) -> Mapping[str, Seat]:
        """Every seat, by its name."""
        return self.shelf.seats

    @property
    def adapters(self) -> tuple[Adapter, ...]:
        """The adapters at hand for the material that is worked."""
        return self.shelf.adapters(self.family)

    @property
    def family(self) -> str:
        """The family of the material that is worked."""
        return self.case.plate.material.family

    def wanted(self, role: str) -> Wanted:
        """What pieces of a role should be like, the wear of the whole job included."""
        if role not in self._wanted:
            self._wanted[role] = self._worked_out(role)
        return self._wanted[role]

    def _worked_out(self, role: str) -> Wanted:
        each, quantity, number = 0.0, self.case.facts.quantity, self.case.rules.number
        if quantity > 1 and self.stations:
            each = self.answers.severity_each(ToolingSet({}, self.stations[0]), role)
        return Wanted(
            number("wear.interval_strokes"), each * quantity, number("grind.most_total_mm")
        )

    def reachable_seats(self) -> set[str]:
        """Seats that some station accepts, itself or through an adapter at hand."""
        direct = {seat for station in self.stations for seat in station.seats}
        return direct | {adapter.presents for adapter in self.adapters if adapter.fits in direct}

    def tools(self, cards: Iterable[PieceCard]) -> list[Tool]:
        """Cards as the rules see them."""
        return [
            tool_of(
                *(card, self.seats, self.case.rules, self.shelf.envelope(card.kind_id)),
                self.shelf.far(card.site_id),
            )
            for card in cards
        ]

    def kinds_of_size(self, wanted: ToolSpec, widths_mm: tuple[float, float]) -> Sequence[KindSpec]:
        """The kinds of a role and shape whose width is within limits [mm]."""
        if self.kinds_at_hand is not None:
            return self.kinds_at_hand(wanted, widths_mm)
        return self.shelf.sized.of(SizeAsk(wanted.role, wanted.shape, *widths_mm))

    @cached_property
    def mounted(self) -> dict[int, Tool]:
        """What the ask wants mounted at the station itself, by station; of two the worse."""
        need = self.answers.mounted_need
        if need is None:
            return {}
        tools = self.tools(self.shelf.standing(*need))
        worst_last = sorted(tools, key=lambda tool: (tool.condition != "sound", tool.used))
        return {tool.station_id: tool for tool in worst_last if tool.station_id is not None}

    def groups(self, need: Need) -> Iterator[Group]:
        """Pieces alike in design, in the order in which they could come first.

        Measured pieces are grouped by their measure, the others by their kind, read when wanted.
        A role for which a person named pieces has those and no others.
        """
        if need.role in self.named:
            yield from ([tool] for tool in self.named[need.role])
            return
        asked, reachable = self.asked(need), self.reachable_seats()
        measured: dict[tuple[object, ...], list[Tool]] = {}
        for tool in self.tools(self.shelf.measured(asked, every=self.every_measured)):
            if tool.seat and tool.seat.name in reachable:
                measured.setdefault(tool.design, []).append(tool)
        mounted: dict[int, list[PieceCard]] = {}
        for card in self.shelf.mounted(asked):
            mounted.setdefault(card.kind_id, []).append(card)
        sources: list[tuple[tuple[bool, float], KindRow | Group]] = [
            (_turn(any(tool.station_id for tool in group), need, group[0].width_mm), group)
            for group in measured.values()
        ]
        sources += [
            (_turn(kind.id in mounted, need, kind.width_mm), kind) for kind in self._kinds(need)
        ]
        in_turn = [source for _turn, source in sorted(sources, key=lambda turn: turn[0])]
        for place, source in enumerate(in_turn):
            if not isinstance(source, KindRow):
                yield source
                continue
            asked_of = self.asked_of(source.id, need.role)
            if not self.shelf.usable.knows(asked_of):
                self._read_block(need, in_turn[place : place + max(place, _FIRST) // 2])
            cards = [*self.shelf.usable.of(asked_of), *mounted.get(source.id, ())]
            if cards:
                yield Alike(self, list({card.tag: card for card in cards}.values()))

    def _read_block(self, need: Need, in_turn: Sequence[KindRow | Group]) -> None:
        """Read the pieces of the kinds that come next."""
        kinds = [source for source in in_turn if isinstance(source, KindRow)]
        self.shelf.usable.ahead(self.asked_of(kind.id, need.role) for kind in kinds)

    def asked(self, need: Need) -> NeedAsk:
        """What is asked of the shelf for a need."""
        return NeedAsk(need, self.family, self.wanted(need.role))

    def asked_of(self, kind_id: int, role: str) -> KindAsk:
        """What is asked of the shelf for a kind in a role."""
        return KindAsk(kind_id, self.family, self.wanted(role))

    def kinds_ahead(self, need: Need, most: int = MOST_AHEAD) -> list[KindAsk]:
        """The first kinds of a need of which pieces may be wanted."""
        mounted = {card.kind_id for card in self.shelf.mounted(self.asked(need))}
        kinds = sorted(
            self._kinds(need), key=lambda kind: _turn(kind.id in mounted, need, kind.width_mm)
        )
        return [self.asked_of(kind.id, need.role) for kind in kinds[:most]]

    def _kinds(self, need: Need) -> list[KindRow]:
        reachable = self.reachable_seats()
        return [kind for kind in self.shelf.kinds.of(need) if kind.seat in reachable]


class Alike(Sequence[Tool]):
    """Pieces of one design, each made of its card when it is looked at: one is often enough."""

    def __init__(self, view: ShelfView, cards: Sequence[PieceCard]) -> None:
        self._view, self._cards = view, cards
        self._tools: dict[int, Tool] = {}

    def __len__(self) -> int:
        return len(self._cards)

    @overload
    def __getitem__(self, at: int) -> Tool: ...
    @overload
    def __getitem__(self, at: slice) -> list[Tool]: ...
    def __getitem__(self, at: int | slice) -> Tool | list[Tool]:
        """A piece of them, or some."""
        if isinstance(at, slice):
            return [self[one] for one in range(len(self))[at]]
        if at not in self._tools:
            self._tools[at] = self._view.tools([self._cards[at]])[0]
        return self._tools[at]


def read_needs(view: ShelfView) -> None:
    """Read what the groups of an ask's needs are made of.

    The leading role is wanted whole; of the others the first kinds are most often enough.
    """
    lead, *others = view.needs
    view.shelf.kinds.ahead(view.needs)
    first = [*view.kinds_ahead(lead), *(k for n in others for k in view.kinds_ahead(n, _FIRST))]
    view.shelf.measured_ahead((view.asked(need), view.every_measured) for need in view.needs)
    view.shelf.usable.ahead(first)


def read_ahead(needs: Sequence[tuple[ShelfView, Need]], most: int = MOST_AHEAD) -> None:
    """Read what the groups of some needs are made of, for all views of one shelf at once.

    Of each need the pieces of so many kinds at most; the others are read where they are wanted.
    """
    if not needs:
        return
    shelf = needs[0][0].shelf
    shelf.kinds.ahead(need for _view, need in needs)
    shelf.measured_ahead((view.asked(need), view.every_measured) for view, need in needs)
    shelf.usable.ahead(kind for view, need in needs for kind in view.kinds_ahead(need, most))


def _turn(mounted: bool, need: Need, width_mm: float) -> tuple[bool, float]:
    return not mounted, round(abs(width_mm - need.aim_width_mm), 2)
