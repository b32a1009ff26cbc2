"""What came nearest when nothing serves, and how many pieces were left after each step."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from crib.desk.answer.rank import Candidate
from crib.desk.answer.search import Search
from crib.features.common.ask import Need
from crib.features.common.findings import refusals
from crib.features.common.order_sizes import word_for
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool
from crib.stock.queries.near_pieces import MOST_NEAREST
from crib.stock.queries.tooling_terms import NeedAsk

MOST_MISSES = 3


@dataclass(frozen=True, slots=True)
class FunnelStep:
    """How many pieces are left after a step, and the figure at which the rest failed."""

    role: str
    step: str
    left: int
    failed: str = ""

    def as_json(self) -> dict[str, Any]:
        """The step for programs."""
        return {"role": self.role, "step": self.step, "left": self.left, "failed": self.failed}


def all_misses(search: Search) -> list[Candidate]:
    """Every near choice with what refuses it, the nearest first."""
    near_ahead([search])
    per_role = [_near(search, need) for need in search.needs]
    roles = [need.role for need in search.needs]
    found = [
        search.judged(dict(zip(roles, tools, strict=True)), station)
        for tools in product(*per_role)
        for station in search.stations
    ]
    if not found:
        found = list(_one_role(search, per_role))
    return sorted(
        (one for one in found if refusals(one.findings)), key=lambda one: _distance(search, one)
    )


def misses_to_show(misses: Sequence[Candidate]) -> list[Candidate]:
    """The few nearest misses; one that fails for all that a nearer one fails for says nothing."""
    shown: list[tuple[set[str], Candidate]] = []
    for miss in misses:
        why = {finding.rule for finding in refusals(miss.findings)}
        if not any(less <= why for less, _nearer in shown):
            shown.append((why, miss))
    return [one for _why, one in shown[:MOST_MISSES]]


def funnel(search: Search, misses: Sequence[Candidate]) -> list[FunnelStep]:
    """How many pieces of each role were left after each step, and where the rest failed."""
    steps: list[FunnelStep] = []
    for need in search.needs:
        steps += _steps_of(search, need, search.case.say)
    passing = _passing(search, misses)
    roles = " and ".join(need.role for need in search.needs) or "station"
    steps.append(FunnelStep(roles, "that every rule passes", 0, passing))
    return steps


def _near(search: Search, need: Need) -> list[Tool]:
    """Pieces of the role that fit or nearly fit, whatever their seat, place or condition."""
    cards = search.shelf.near.of(_asked(search, need))
    if not cards:
        cards = search.shelf.nearest.of(need).few(MOST_NEAREST)
    return search.tools(cards)


def near_ahead(searches: Sequence[Search]) -> None:
    """Read what near misses and the funnels of some searches of one shelf are made of."""
    asked = [_asked(search, need) for search in searches for need in search.needs]
    if asked:
        shelf = searches[0].shelf
        shelf.near.ahead(asked)
        shelf.nearest.ahead(one.need for one in asked)
        shelf.steps.ahead(asked)


def _asked(search: Search, need: Need) -> NeedAsk:
    return NeedAsk(need, search.family)


def _one_role(search: Search, per_role: Sequence[Sequence[Tool]]) -> Iterator[Candidate]:
    """When a role has no piece at all: the others alone, and the role that is missing."""
    for tool in (tool for tools in per_role for tool in tools):
        for station in search.stations:
            yield search.judged_without({tool.role: tool}, station)


def _distance(search: Search, one: Candidate) -> tuple[Any, ...]:
    against = refusals(one.findings)
    aims = {need.role: need.aim_width_mm for need in search.needs}
    off_mm = sum(abs(tool.width_mm - aims[tool.role]) for tool in one.tools if tool.role in aims)
    return (
        sum(finding.final for finding in against),
        len(against),
        round(off_mm, 3),
        one.tooling.station.label,
        tuple(tool.tag for tool in one.tools),
    )


def _steps_of(search: Search, need: Need, say: Speech) -> list[FunnelStep]:
    counted = search.shelf.steps.of(_asked(search, need))
    labels = {
        "role": (f"{word_for(need.role, 2)} in the crib", counted.role),
        "shape": (f"of them {_sort(need)}", counted.shape),
        "width": (
            "of that width" if need.shape in ("rectangle", "obround") else need.text,
            counted.width,
        ),
        "size": ("of that length", counted.size),
        "at hand": ("sound and at hand", counted.at_hand),
    }
    one_size = need.shape not in ("rectangle", "obround")
    steps: list[FunnelStep] = []
    for step, (label, left) in labels.items():
        if step == "size" and one_size:
            continue
        failed = "" if left else _why_none(search, need, step, say)
        steps.append(FunnelStep(need.role, label, left, failed))
        if not left:
            break
    return steps


def _sort(need: Need) -> str:
    """Shape and purpose in words; the shape of what is special says nothing."""
    shape = "" if need.shape == "special" and need.profile else need.shape
    return f"{shape} {need.profile}".strip()


def _why_none(search: Search, need: Need, step: str, say: Speech) -> str:
    """The figure that failed: the nearest size there is."""
    if step == "role":
        return f"no {word_for(need.role)} at all"
    if step == "shape":
        return f"no {_sort(need)} {word_for(need.role)}"
    if step == "at hand":
        return "broken, locked, lost, away, or kept for another material"
    tools = search.tools(search.shelf.nearest.of(need).few(1))
    if not tools:
        return "none sound near it"
    sizes = [tool.long_mm if step == "size" else tool.width_mm for tool in tools]
    wanted_mm = (
        (need.least_long_mm + need.most_long_mm) / 2 if step == "size" else need.aim_width_mm
    )
    nearest_mm = min(sizes, key=lambda size_mm: abs(size_mm - wanted_mm))
    return f"wanted {say.size(wanted_mm)}, nearest {say.size(nearest_mm)}"


def _passing(search: Search, misses: Sequence[Candidate]) -> str:
    """The reason the nearest whole set fails."""
    for miss in misses:
        if len(miss.tools) >= len(search.needs):
            return "; ".join(finding.text for finding in refusals(miss.findings)[:2])
    return ""
