"""Which of two good answers comes first, and the line that decided.

The order of the lines is the trade's: no cautions, already mounted, fit for the class of work,
enough edge left, clearance close to the policy, margin at the station, no adapter, dedicated
tools for their own material, nearest place, the older copy first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from crib.features.common.ask import Ask, Circumstances
from crib.features.common.findings import Finding, cautions
from crib.features.common.hit_plan import HitPlan
from crib.features.common.piece_checks import lasts
from crib.features.common.tooling import Tool, ToolingSet

LEAST_LOAD, MOST_LOAD = 0.4, 0.8
"""The share of a station's limit that a good pick loads it to."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One choice of pieces in a station, with what the rules say and its figures."""

    tooling: ToolingSet
    findings: tuple[Finding, ...]
    figures: dict[str, float] = field(default_factory=dict)
    severities: dict[str, float] = field(default_factory=dict)
    closeness_mm: float = 0.0
    plan: HitPlan | None = None

    @property
    def tools(self) -> tuple[Tool, ...]:
        """The tools, the leading one first."""
        return tuple(self.tooling.tools.values())


Line = tuple[str, Callable[[Candidate, Ask, Circumstances], Any]]


def _cautions(one: Candidate, ask: Ask, facts: Circumstances) -> bool:
    del ask, facts
    return bool(cautions(one.findings))


def _not_mounted(one: Candidate, ask: Ask, facts: Circumstances) -> int:
    del ask, facts
    return sum(tool.station_id != one.tooling.station.id for tool in one.tools)


def _work_class(one: Candidate, ask: Ask, facts: Circumstances) -> float:
    """Finish work and stainless want the sharpest edge; rough work a part-worn one that lasts."""
    if not one.tools:
        return 0.0
    lead = one.tools[0]
    if facts.appearance == "finish" or ask.plate.material.family == "stainless":
        return round(lead.used, 3)
    if facts.appearance == "rough":
        return -round(lead.used, 3) if _lasting(one, facts) and lead.used < 1 else 1.0
    return 0.0


def _lasting(one: Candidate, facts: Circumstances) -> bool:
    return all(
        lasts(tool, one.severities[role], facts.quantity)
        for role, tool in one.tooling.tools.items()
    )


def _not_lasting(one: Candidate, ask: Ask, facts: Circumstances) -> bool:
    del ask
    return not _lasting(one, facts)


def _closeness(one: Candidate, ask: Ask, facts: Circumstances) -> float:
    del ask, facts
    return round(one.closeness_mm, 2)


def _margin(one: Candidate, ask: Ask, facts: Circumstances) -> float:
    del ask, facts
    load = one.figures.get("load", 1.0)
    return round(max(LEAST_LOAD - load, load - MOST_LOAD, 0.0), 2)


def _adapters(one: Candidate, ask: Ask, facts: Circumstances) -> int:
    del ask, facts
    return len(one.tooling.adapters)


def _not_dedicated(one: Candidate, ask: Ask, facts: Circumstances) -> int:
    del facts
    return -sum(tool.dedicated_to == ask.plate.material.family for tool in one.tools)


def _walk(one: Candidate, ask: Ask, facts: Circumstances) -> int:
    del ask, facts
    return sum(tool.walk_order for tool in one.tools)


def _younger(one: Candidate, ask: Ask, facts: Circumstances) -> tuple[int, str]:
    del ask, facts
    if not one.tools:
        return (0, "")
    lead = one.tools[0]
    return (-lead.strokes_total, lead.bought_on or "9999")


LINES: tuple[Line, ...] = (
    ("no cautions", _cautions),
    ("already mounted there", _not_mounted),
    ("edge that suits the class of work", _work_class),
    ("edge lasts the whole job", _not_lasting),
    ("clearance closest to the policy", _closeness),
    ("better margin at the station", _margin),
    ("no adapter", _adapters),
    ("kept for this material", _not_dedicated),
    ("nearest place", _walk),
    ("the older copy first", _younger),
)


def ranked(found: Sequence[Candidate], ask: Ask, facts: Circumstances) -> list[Candidate]:
    """The candidates, the best first; equal ones by their tags, so that the order is stable."""

    def key(one: Candidate) -> tuple[Any, ...]:
        tags = tuple(tool.tag for tool in one.tools)
        station = one.tooling.station.label
        return (*(line(one, ask, facts) for _name, line in LINES), station, tags)

    return sorted(found, key=key)


def deciding_line(first: Candidate, second: Candidate, ask: Ask, facts: Circumstances) -> str:
    """The first line on which two candidates differ."""
    for name, line in LINES:
        if line(first, ask, facts) != line(second, ask, facts):
            return name
    return "nothing but its name; the first two are equal"
