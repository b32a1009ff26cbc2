"""Other copies of a piece, to go on with when its edge gives out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import floor

from crib.desk.plan.phrase_picks import Served
from crib.features.common.ask import Need
from crib.features.common.findings import refusals
from crib.features.common.tooling import Station, Tool
from crib.stock.queries.tool_shelf import ToolShelf

_DUST = 1e-6


@dataclass(frozen=True, slots=True)
class CopyPlace:
    """Where a copy would stand: for which phrase, at which station, over or under which tool."""

    served: Served
    station: Station
    beside: Tool | None

    def takes(self, copy: Tool) -> bool:
        """Whether it closes there with the tool that stays: a copy may be ground shorter."""
        search = self.served.search
        tools = {one.role: one for one in (copy, self.beside) if one is not None}
        tooling = search.tooling(tools, self.station)
        return not refusals(search.answers.judge_together(tooling))


@dataclass
class Copies:
    """The copies that nothing in the plan uses yet, by kind."""

    shelf: ToolShelf
    used: set[str]
    size_tolerance_mm: float
    _by_kind: dict[int, list[Tool]] = field(default_factory=dict)

    def best(self, tool: Tool, place: CopyPlace, weight: float, parts: int) -> Tool | None:
        """The copy to take: of those that last, the one with least left; else the one with most.

        None when no other copy does a single part, and for a blade: it is turned where it is. One
        that is taken is not offered again.
        """
        if tool.role == "blade":
            return None
        fit = [
            copy
            for copy in self._copies(tool, place.served)
            if self._does(copy, tool, place.served, weight) and place.takes(copy)
        ]
        if not fit:
            return None
        lasting = [one for one in fit if _left(one) >= weight * parts - _DUST]
        if lasting:
            chosen = min(lasting, key=lambda one: (_left(one), one.tag))
        else:
            chosen = min(fit, key=lambda one: (-_left(one), one.tag))
        self.used.add(chosen.tag)
        return chosen

    def _copies(self, tool: Tool, served: Served) -> list[Tool]:
        if tool.kind_id not in self._by_kind:
            copies = self.shelf.copies.of(tool.kind_id)
            self._by_kind[tool.kind_id] = served.search.tools(copies)
        return self._by_kind[tool.kind_id]

    def _does(self, one: Tool, tool: Tool, served: Served, weight: float) -> bool:
        """Whether a copy is free, of the same size, kept for this work, and does a part."""
        search = served.search
        return (
            one.tag not in self.used
            and abs(one.width_mm - tool.width_mm) <= self.size_tolerance_mm
            and abs(one.long_mm - tool.long_mm) <= self.size_tolerance_mm
            and _as_wanted(one, tool, search.needs)
            and one.dedicated_to in ("", search.family)
            and floor(_left(one) / weight + _DUST) >= 1
            and not refusals(search.answers.judge_piece(one, weight))
        )


def _as_wanted(one: Tool, tool: Tool, needs: Sequence[Need]) -> bool:
    """Whether a copy is within every need that the piece it relieves is within."""
    same_role = [need for need in needs if need.role == tool.role]
    return all(need.is_met_by(one) for need in same_role if need.is_met_by(tool))


def _left(one: Tool) -> float:
    return one.interval - one.wear
