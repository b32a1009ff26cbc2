"""A notch wider than the set: hit beside hit, or both ends first and bridges between them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

from crib.features.common.ask import Ask, Hit, HitPlan, Need, SeveralHits
from crib.features.common.bite_checks import bite_findings, hit_words, overlap_finding, web_finding
from crib.features.common.findings import cautions, refusals
from crib.features.common.tooling import Tool
from crib.features.edges.set_case import SetCase
from crib.features.edges.set_features import MOST_HITS, set_need
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal import hits

SIDES = {"full": 2, "chain": 1, "bridge": 0}
"""How many sides of the notch a hit cuts, beside its bottom."""


@dataclass(frozen=True, slots=True)
class NotchHits(SeveralHits):
    """A notch by narrower sets; ``ask_of`` asks for a single hit of a width."""

    case: SetCase
    shape: str
    ask_of: Callable[[float], Ask]

    def needs(self) -> tuple[Need, ...]:
        """Sets narrower than the notch."""
        width_mm = self.case.width_mm
        most_mm, least_mm = width_mm - self.case.tolerance_mm, width_mm / MOST_HITS
        return (set_need("notch", self.shape, least_mm, most_mm, width_mm, "narrower than it"),)

    def plans(self, smaller: Sequence[Tool]) -> Sequence[HitPlan]:
        """One plan for each width of set, the one with the fewest faults and hits first."""
        case, tolerance_mm = self.case, self.case.tolerance_mm
        made: dict[float, HitPlan] = {}
        for tool in smaller:
            known = any(not exceeds(abs(width - tool.width_mm), tolerance_mm) for width in made)
            if known or not exceeds(case.width_mm - tool.width_mm, tolerance_mm):
                continue
            if exceeds(tool.width_mm, 2 * case.rules.number("hit.overlap_mm")):
                made[tool.width_mm] = self._plan(tool.width_mm)
        few = (plan for plan in made.values() if len(plan.hits) <= MOST_HITS)
        return sorted(few, key=_faults)

    def _plan(self, tool_mm: float) -> HitPlan:
        """From end to end, or both ends first where that leaves enough between them."""
        width_mm, number = self.case.width_mm, self.case.rules.number
        overlap_mm = number("hit.overlap_mm")
        along = hits.cover_length(width_mm, tool_mm, overlap_mm)
        plain = self._in_order(tool_mm, along, tuple(range(len(along))))
        web_mm = number("hit.web_share") * self.case.plate.thickness_mm
        if falls_short(width_mm, 2 * tool_mm + web_mm):
            return plain
        bridged = hits.cover_with_bridges(width_mm, tool_mm, overlap_mm)
        if not bridged:
            return plain
        order = hits.bridge_order(len(bridged))
        ends_first = self._in_order(tool_mm, bridged, order, bridges=True)
        return min(ends_first, plain, key=lambda plan: _faults(plan)[:2])

    def _in_order(
        self,
        tool_mm: float,
        along: tuple[float, ...],
        order: tuple[int, ...],
        *,
        bridges: bool = False,
    ) -> HitPlan:
        case = self.case
        bites = hits.bites_along(along, tool_mm, order)
        kinds = hits.kinds_along(along, tool_mm, order)
        made = tuple(
            Hit(number, along[index], case.depth_mm / 2, bite, kind)
            for number, (index, bite, kind) in enumerate(zip(order, bites, kinds, strict=True), 1)
        )
        said = [*bite_findings(made, case.rules)]
        overlap_mm = hits.overlap_along_mm(along, tool_mm)
        if overlap_mm is not None:
            said.append(overlap_finding(overlap_mm, case.rules))
        web_mm = hits.gap_mm(along[::2], tool_mm) if bridges else None
        if web_mm is not None:
            said.append(web_finding(web_mm, case.plate.thickness_mm, case.rules))
        text = self._text(tool_mm, made, along)
        return HitPlan((self.ask_of(tool_mm),), made, tuple(said), text)

    def _text(self, tool_mm: float, made: Sequence[Hit], along: Sequence[float]) -> str:
        """The hits, how far apart, and the edge that each of them cuts."""
        case, say = self.case, self.case.say
        cuts_mm = [hit.bite * tool_mm + SIDES[hit.kind] * case.depth_mm for hit in made]
        forces = [say.force(case.force_over_n(cut_mm)) for cut_mm in cuts_mm]
        bridges = any(hit.kind == "bridge" for hit in made)
        order = "whole hits first, bridges last" if bridges else "one beside the other"
        return (
            f"{hit_words(made)} of a {say.length(tool_mm)} set, {order}, each"
            f" {say.length(along[1] - along[0])} from the next: cuts"
            f" {_in_turn([say.length(cut_mm) for cut_mm in cuts_mm])} of edge"
            f" ({_in_turn(forces)} flat-blade equivalent)"
        )


def _in_turn(texts: Sequence[str]) -> str:
    """``10 in, then 2 x 6 in``: alike ones together."""
    runs = [(text, len(list(alike))) for text, alike in groupby(texts)]
    return ", then ".join(text if count == 1 else f"{count} x {text}" for text, count in runs)


def _faults(plan: HitPlan) -> tuple[int, int, int, float]:
    """Refusals, cautions, number of hits, and the least bite the other way round."""
    least = min((hit.bite for hit in plan.hits), default=1.0)
    return (
        len(refusals(plan.findings)),
        len(cautions(plan.findings)),
        len(plan.hits),
        -least,
    )
