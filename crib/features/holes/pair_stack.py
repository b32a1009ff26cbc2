"""A punch and a die as they stand in a station: how high, and how far the one enters the other.

What the station leaves with its ram down is its daylight less its stroke, where both are on record;
else it is taken to be set for new tools of the seat that the two stand in.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from crib.acts import Act, act
from crib.features.common.tooling import Adapter, Seat, Tool, ToolingSet, are_two_sets
from crib.trade.common.verdicts import exceeds
from crib.trade.metal import tool_stack


@dataclass(frozen=True, slots=True)
class LeftHeight:
    """What a station leaves with its ram down; by which seat's new tools, where not measured."""

    height_mm: float
    seat: str = ""
    own_stack_mm: float = 0.0


@dataclass(frozen=True)
class PairStack:
    """The two, by their real lengths as far as those are known."""

    punch: Tool
    die: Tool
    tooling: ToolingSet
    entry_new_mm: float

    @cached_property
    def adapters(self) -> tuple[Adapter, ...]:
        """The adapters that the two sit in."""
        under = (self.tooling.adapters.get(tool.role) for tool in (self.punch, self.die))
        return tuple(adapter for adapter in under if adapter is not None)

    @cached_property
    def must_show(self) -> bool:
        """Whether it must be shown to close: tools of two seats, or in adapters."""
        return self.tooling.mixed or bool(self.adapters)

    @cached_property
    def measured(self) -> bool:
        """Whether the station's daylight and stroke are on record, the one above the other."""
        at = self.tooling.station
        known = at.daylight_mm is not None and at.stroke_mm is not None
        return known and exceeds(at.daylight_mm or 0.0, at.stroke_mm or 0.0)

    @cached_property
    def unknown(self) -> tuple[tuple[str, Act], ...]:
        """The heights that nobody recorded, and how each is."""
        return tuple(self._unknown())

    def _unknown(self) -> Iterator[tuple[str, Act]]:
        for tool in (self.punch, self.die):
            if length_mm(tool) is None:
                side = "height" if tool.role == "die" else "length"
                seats = act("import.change", file="seats.csv")
                how = seats if tool.to_order else act("measure.length", tag=tool.tag)
                yield f"the {side} of {tool.tag or tool.kind}", how
        for adapter in self.adapters:
            if adapter.added_height_mm is None:
                yield f"the height that {adapter.tag} adds", act("import.change", file="kinds.csv")
        if not self.left:
            where = f"the stroke and the daylight of {self.tooling.station.label}"
            yield where, act("import.change", file="stations.csv")

    @cached_property
    def height_mm(self) -> float:
        """How high it stands; asked for only where every part of it is known."""
        return tool_stack.stack_height_mm(
            length_mm(self.punch) or 0.0,
            length_mm(self.die) or 0.0,
            sum(adapter.added_height_mm or 0.0 for adapter in self.adapters),
        )

    @cached_property
    def left(self) -> tuple[LeftHeight, ...]:
        """What the station leaves, for each seat that it may be set for; empty where not known."""
        at = self.tooling.station
        if self.measured and at.daylight_mm and at.stroke_mm:
            return (LeftHeight(tool_stack.shut_height_mm(at.daylight_mm, at.stroke_mm)),)
        over, under = self._stands_in(self.punch), self._stands_in(self.die)
        sets = [(over, over), (under, under)] if are_two_sets(over, under) else [(over, under)]
        left = [self._left_by(*one) for one in sets]
        return tuple(one for one in left if one) if None not in left else ()

    def _stands_in(self, tool: Tool) -> Seat | None:
        """The station's own seat that holds a tool, itself or the adapter under it."""
        adapter = self.tooling.adapters.get(tool.role)
        return tool.seat if adapter is None else adapter.sits_in

    def _left_by(self, over: Seat | None, under: Seat | None) -> LeftHeight | None:
        if over is None or under is None:
            return None
        if over.punch_length_mm is None or under.die_height_mm is None:
            return None
        sizes_mm = (over.punch_length_mm, under.die_height_mm)
        shut_mm = tool_stack.shut_height_of_seat_mm(*sizes_mm, self.entry_new_mm)
        names = " and ".join(dict.fromkeys((over.name, under.name)))
        return LeftHeight(shut_mm, names, tool_stack.stack_height_mm(*sizes_mm))

    @cached_property
    def least_entry_mm(self) -> float:
        """How far the punch enters the die, where the station leaves most."""
        most_mm = max(one.height_mm for one in self.left)
        return tool_stack.entry_mm(self.height_mm, most_mm)

    @cached_property
    def most_entry_mm(self) -> float:
        """How far the punch enters the die, where the station leaves least."""
        least_mm = min(one.height_mm for one in self.left)
        return tool_stack.entry_mm(self.height_mm, least_mm)


def length_mm(tool: Tool) -> float | None:
    """A punch's length or a die's height as it is now; one that nobody measured is of its seat."""
    if tool.length_mm is not None or tool.seat is None:
        return tool.length_mm
    new_mm = tool.seat.die_height_mm if tool.role == "die" else tool.seat.punch_length_mm
    return None if new_mm is None else max(new_mm - tool.ground_mm, 0.0) or None
