"""A rectangular notch in an edge: ``notch 2 x 3 thru 1/4``, width along the edge by depth.

A notch wider than the set is made in several hits; one deeper than the set is not made by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TYPE_CHECKING, Any, ClassVar

from crib.features.common.ask import Circumstances, FeatureKind, Need, Reading, read_plate
from crib.features.common.bite_checks import bite_findings, hit_words, overlap_finding, web_finding
from crib.features.common.findings import Finding, cautions, refusals
from crib.features.common.hit_plan import Hit, HitPlan
from crib.features.common.phrase import Words
from crib.features.common.sizes import size_word
from crib.features.common.speech import Speech
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.edges.set_checks import SHOP, Cut, corner_finding, cut_force_n, reach_finding
from crib.features.edges.set_features import MOST_HITS, SetFeature, set_need
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal import hits
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.picture import Picture

EXAMPLE = "notch 2 x 3 thru 1/4"
SIDES = {"full": 2, "chain": 1, "bridge": 0}
"""How many sides of the notch a hit cuts, beside its bottom."""


@dataclass(frozen=True)
class Notch(SetFeature):
    """A notch with square corners, open at the edge."""

    width_mm: float
    depth_mm: float

    feature: ClassVar[str] = "notch"
    work: ClassVar[str] = "notch"

    @property
    def cut(self) -> Cut:
        """The bottom and both sides in one hit."""
        return Cut("notch", self.width_mm, self.width_mm + 2 * self.depth_mm)

    def sizes_phrase(self, system: System) -> str:
        """Width along the edge x depth."""
        return f"{size_word(self.width_mm, system)} x {size_word(self.depth_mm, system)}"

    def sizes_json(self) -> dict[str, Any]:
        """Width along the edge as the size, and the depth."""
        return {"size_mm": self.width_mm, "depth_mm": self.depth_mm}

    def judge_feature(self, rules: Rules, facts: Circumstances) -> tuple[Finding, ...]:
        """Its inner corners should be curved."""
        return (corner_finding(facts, rules),)

    def need(self, rules: Rules) -> Need:
        """A set of the notch's width: the gauge sets the depth, not the width."""
        slack_mm = rules.number("size.tolerance_mm")
        least_mm, most_mm = self.width_mm - slack_mm, self.width_mm + slack_mm
        return set_need("notch", self.shape, least_mm, most_mm, self.width_mm, "of that width")

    def plan_needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """Sets narrower than the notch."""
        del facts
        most_mm = self.width_mm - rules.number("size.tolerance_mm")
        least_mm = self.width_mm / MOST_HITS
        return (
            set_need("notch", self.shape, least_mm, most_mm, self.width_mm, "narrower than it"),
        )

    def set_findings(self, tool: Tool, rules: Rules) -> Iterator[Finding]:
        """The width must be the notch's own, the depth at least its depth."""
        say = Speech(rules)
        tolerance_mm = rules.number("size.tolerance_mm")
        off_mm = abs(tool.width_mm - self.width_mm)
        text = f"set {say.length(tool.width_mm)} wide"
        if exceeds(off_mm, tolerance_mm):
            text += f", wanted {say.length(self.width_mm)}"
            yield Finding("size", "refuse", text, off_mm, tolerance_mm, "mm", SHOP)
        else:
            yield Finding("size", "ok", text, off_mm, tolerance_mm, "mm", SHOP)
        yield reach_finding("depth", "depth", tool.depth_mm, self.depth_mm, rules)

    def excess_mm(self, tool: Tool) -> float:
        """How far its width is from the notch's."""
        return abs(tool.width_mm - self.width_mm)

    def set_to_order(self, seat: Seat) -> Tool:
        """A set of the notch's width and depth."""
        return Tool(
            role="set",
            shape=self.shape,
            width_mm=self.width_mm,
            long_mm=self.width_mm,
            seat=seat,
            kind="notch set to order",
            to_order=True,
            profile="notch",
            depth_mm=self.depth_mm,
        )

    def order_sizes(self, tool: Tool, say: Speech) -> str:
        """Width along the edge, and the least depth."""
        deep = say.length(tool.depth_mm or self.depth_mm)
        return f"rectangular, {say.length(tool.width_mm)} along the edge, at least {deep} deep"

    def plans(
        self, smaller: Sequence[Tool], rules: Rules, facts: Circumstances
    ) -> Sequence[HitPlan]:
        """One plan for each width of set, the one with the fewest faults and hits first."""
        tolerance_mm = rules.number("size.tolerance_mm")
        made: dict[float, HitPlan] = {}
        for tool in smaller:
            known = any(not exceeds(abs(width - tool.width_mm), tolerance_mm) for width in made)
            if known or not exceeds(self.width_mm - tool.width_mm, tolerance_mm):
                continue
            if exceeds(tool.width_mm, 2 * rules.number("hit.overlap_mm")):
                made[tool.width_mm] = self._plan(tool.width_mm, rules, facts)
        few = (plan for plan in made.values() if len(plan.hits) <= MOST_HITS)
        return sorted(few, key=_faults)

    def _plan(self, tool_mm: float, rules: Rules, facts: Circumstances) -> HitPlan:
        """From end to end, or both ends first where that leaves enough between them."""
        overlap_mm = rules.number("hit.overlap_mm")
        along = hits.cover_length(self.width_mm, tool_mm, overlap_mm)
        plain = self._in_order(tool_mm, along, tuple(range(len(along))), rules, facts)
        web_mm = rules.number("hit.web_share") * self.plate.thickness_mm
        if falls_short(self.width_mm, 2 * tool_mm + web_mm):
            return plain
        bridged = hits.cover_with_bridges(self.width_mm, tool_mm, overlap_mm)
        if not bridged:
            return plain
        order = hits.bridge_order(len(bridged))
        ends_first = self._in_order(tool_mm, bridged, order, rules, facts, bridges=True)
        return min(ends_first, plain, key=lambda plan: _faults(plan)[:2])

    def _in_order(
        self,
        tool_mm: float,
        along: tuple[float, ...],
        order: tuple[int, ...],
        rules: Rules,
        facts: Circumstances,
        *,
        bridges: bool = False,
    ) -> HitPlan:
        bites = hits.bites_along(along, tool_mm, order)
        kinds = hits.kinds_along(along, tool_mm, order)
        made = tuple(
            Hit(number, along[index], self.depth_mm / 2, bite, kind)
            for number, (index, bite, kind) in enumerate(zip(order, bites, kinds, strict=True), 1)
        )
        found = [*bite_findings(made, rules)]
        overlap_mm = hits.overlap_along_mm(along, tool_mm)
        if overlap_mm is not None:
            found.append(overlap_finding(overlap_mm, rules))
        web_mm = hits.gap_mm(along[::2], tool_mm) if bridges else None
        if web_mm is not None:
            found.append(web_finding(web_mm, self.plate.thickness_mm, rules))
        one = replace(self, width_mm=tool_mm)
        text = self._text(tool_mm, made, along, rules, facts)
        return HitPlan((one,), made, tuple(found), text)

    def _text(
        self,
        tool_mm: float,
        made: Sequence[Hit],
        along: Sequence[float],
        rules: Rules,
        facts: Circumstances,
    ) -> str:
        """The hits, how far apart, and the edge that each of them cuts."""
        say = Speech(rules)
        cuts_mm = [hit.bite * tool_mm + SIDES[hit.kind] * self.depth_mm for hit in made]
        forces = [say.force(cut_force_n(cut_mm, self.plate, rules, facts)) for cut_mm in cuts_mm]
        bridges = any(hit.kind == "bridge" for hit in made)
        order = "whole hits first, bridges last" if bridges else "one beside the other"
        return (
            f"{hit_words(made)} of a {say.length(tool_mm)} set, {order}, each"
            f" {say.length(along[1] - along[0])} from the next: cuts"
            f" {_in_turn([say.length(cut_mm) for cut_mm in cuts_mm])} of edge"
            f" ({_in_turn(forces)} flat-blade equivalent)"
        )

    def picture(
        self, tooling: ToolingSet, plan: HitPlan | None, rules: Rules, facts: Circumstances
    ) -> Picture:
        """The edge, the notch, and the set hit by hit."""
        from crib.features.edges.notch_picture import notch_picture

        return notch_picture(self, tooling, plan, rules, facts)


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


def read(words: Words, reading: Reading) -> Notch:
    """Read ``WIDTH x DEPTH thru THICKNESS [MATERIAL]``."""
    width_mm = words.take_length_mm(reading.system, "the notch's width along the edge", EXAMPLE)
    words.take_if("wide")
    words.expect("x", EXAMPLE)
    depth_mm = words.take_length_mm(reading.system, "the notch's depth into the plate", EXAMPLE)
    words.take_if("deep")
    return Notch(read_plate(words, reading, EXAMPLE), width_mm, depth_mm)


FEATURE = FeatureKind("notch", EXAMPLE, read, "a notch in an edge: width along it x depth")
