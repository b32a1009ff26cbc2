"""Which of two good answers comes first, and the line that decided.

What is at the own site comes first. The order of the other lines is the trade's: tools of one seat,
no cautions, already mounted, fit for the class of work, enough edge left, size close to the wanted
one, clearance close to the policy, margin at the station, and that also in the strongest and
thickest plate that may come, no adapter, dedicated tools for their own material, nearest place, the
older copy first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from crib.features.common.adverse_checks import ADVERSE
from crib.features.common.ask import HitPlan
from crib.features.common.case import Case
from crib.features.common.findings import Finding, cautions
from crib.features.common.piece_checks import lasts
from crib.features.common.tooling import Tool, ToolingSet

MOST_PICKS = 24
"""More than these nobody reads, nor a program."""
EACH_SET = 3
"""How many copies of one pair in one station are offered."""
LEAST_LOAD, MOST_LOAD = 0.4, 0.8
"""The share of a station's limit that a good pick loads it to."""


@dataclass(frozen=True)
class Candidate:
    """One choice of pieces in a station, with what the rules say and its figures."""

    tooling: ToolingSet
    findings: tuple[Finding, ...]
    figures: dict[str, float] = field(default_factory=dict)
    severities: dict[str, float] = field(default_factory=dict)
    closeness_mm: float = 0.0
    plan: HitPlan | None = None

    @cached_property
    def cautions(self) -> tuple[Finding, ...]:
        """What allows it with a caution."""
        return tuple(cautions(self.findings))

    @cached_property
    def of_set(self) -> tuple[object, ...]:
        """Its designs and its station: what the copies of one pair there have in common."""
        return (self.tooling.station.id, *(tool.design for tool in self.tools))

    @cached_property
    def tools(self) -> tuple[Tool, ...]:
        """The tools, the leading one first."""
        return tuple(self.tooling.tools.values())


Line = tuple[str, Callable[[Candidate, Case], Any]]


def _mounted_elsewhere(pick: Candidate) -> int:
    return sum(tool.station_id != pick.tooling.station.id for tool in pick.tools)


def _work_class(pick: Candidate, case: Case) -> float:
    """Finish work and stainless want the sharpest edge; rough work a part-worn one that lasts."""
    if not pick.tools:
        return 0.0
    lead = pick.tools[0]
    if case.facts.appearance == "finish" or case.plate.material.family == "stainless":
        return round(lead.used, 3)
    if case.facts.appearance == "rough":
        return -round(lead.used, 3) if _lasting(pick, case) and lead.used < 1 else 1.0
    return 0.0


def _lasting(pick: Candidate, case: Case) -> bool:
    return all(
        lasts(tool, pick.severities[role], case.facts.quantity)
        for role, tool in pick.tooling.tools.items()
    )


def _off_margin(pick: Candidate) -> float:
    load = pick.figures.get("load", 1.0)
    return round(max(LEAST_LOAD - load, load - MOST_LOAD, 0.0), 2)


def _off_size(pick: Candidate) -> float:
    """How far a punch that stands in for another, or is reamed after, is from the wanted size."""
    return round(abs(pick.figures.get("off_size_mm", 0.0)), 2)


def _only_nominal(pick: Candidate) -> int:
    """How many limits hold in the plate as it was asked for, and not in the adverse one."""
    return sum(finding.rule in ADVERSE for finding in pick.cautions)


def _dedicated(pick: Candidate, case: Case) -> int:
    return sum(tool.dedicated_to == case.plate.material.family for tool in pick.tools)


def _younger(pick: Candidate) -> tuple[int, str]:
    if not pick.tools:
        return (0, "")
    lead = pick.tools[0]
    return (-lead.strokes_total, lead.bought_on or "9999")


def _from_afar(pick: Candidate) -> tuple[int, int]:
    """From how many other sites its tools must be sent, and how long the last of them takes."""
    far = [tool for tool in pick.tools if tool.site]
    return len({tool.site for tool in far}), max((tool.site_days for tool in far), default=0)


LINES: tuple[Line, ...] = (
    ("what is at the own site", lambda pick, _case: _from_afar(pick)),
    ("punch and die of one seat", lambda pick, _case: pick.tooling.mixed),
    ("no cautions", lambda pick, _case: bool(pick.cautions)),
    ("already mounted there", lambda pick, _case: _mounted_elsewhere(pick)),
    ("edge that suits the class of work", _work_class),
    ("edge lasts the whole job", lambda pick, case: not _lasting(pick, case)),
    ("size closest to the wanted one", lambda pick, _case: _off_size(pick)),
    ("clearance closest to the policy", lambda pick, _case: round(pick.closeness_mm, 2)),
    ("better margin at the station", lambda pick, _case: _off_margin(pick)),
    ("holds in the strongest, thickest plate too", lambda pick, _case: _only_nominal(pick)),
    ("no adapter", lambda pick, _case: len(pick.tooling.adapters)),
    ("kept for this material", lambda pick, case: -_dedicated(pick, case)),
    ("nearest place", lambda pick, _case: sum(tool.walk_order for tool in pick.tools)),
    ("the older copy first", lambda pick, _case: _younger(pick)),
)


def ranked(picks: Sequence[Candidate], case: Case) -> list[Candidate]:
    """The candidates, the best first; equal ones by their tags, so that the order is stable."""

    def key(pick: Candidate) -> tuple[Any, ...]:
        tags = tuple(tool.tag for tool in pick.tools)
        station = pick.tooling.station.label
        return (*(line(pick, case) for _name, line in LINES), station, tags)

    return sorted(picks, key=key)


def few_of_each(picks: Iterable[Candidate]) -> list[Candidate]:
    """The first copies of each pair in each station, and not more than anybody wants to read."""
    seen: Counter[tuple[object, ...]] = Counter()
    kept = []
    for pick in picks:
        seen[pick.of_set] += 1
        if seen[pick.of_set] <= EACH_SET:
            kept.append(pick)
    return kept[:MOST_PICKS]


def deciding_line(first: Candidate, second: Candidate, case: Case) -> str:
    """The first line on which two candidates differ."""
    for name, line in LINES:
        if line(first, case) != line(second, case):
            return name
    return "nothing but its name; the first two are equal"
