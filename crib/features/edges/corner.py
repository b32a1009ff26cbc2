"""A corner cut off a plate: ``corner 3 x 3 thru 1/4``, along one edge by along the other.

A corner is cut from two edges, so a set cuts any size up to its own. A larger one is made in
several hits, each of them a corner again: the outer one first, the inner one last.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from crib.features.common.ask import FeatureKind, HitPlan, Need, SeveralHits
from crib.features.common.asked_tool import AskedTool
from crib.features.common.case import Circumstances
from crib.features.common.findings import Finding
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import plate_form
from crib.features.common.plate_phrase import Reading, read_plate
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.edges.corner_hits import CornerHits, HeldWay, by_text, ways_of
from crib.features.edges.set_case import CP, SHOP, SetStroke
from crib.features.edges.set_checks import corner_finding
from crib.features.edges.set_features import (
    ANY_MM,
    SetAnswers,
    SquareSetFeature,
    set_need,
    take_inner_radius,
)
from crib.trade.common.verdicts import Verdict, exceeds
from crib.trade.shop.shop_rules import Rules

if TYPE_CHECKING:
    from crib.features.common.picture import Shape

EXAMPLE = "corner 3 x 3 thru 1/4"
RADIUS_EXAMPLE = "corner 3 x 3 radius 1/2 thru 1/4"


@dataclass(frozen=True)
class Corner(SquareSetFeature):
    """A corner cut square."""

    feature: ClassVar[str] = "corner"
    work: ClassVar[str] = "corner_notch"

    @property
    def cut(self) -> SetStroke:
        """Both inner sides; a list goes by the longer one."""
        longer_mm = max(self.width_mm, self.depth_mm)
        return SetStroke("corner", longer_mm, self.width_mm + self.depth_mm)

    def within(self, way: HeldWay) -> CornerHit:
        """The part of it that a set, held one way, cuts in one hit."""
        width_mm, depth_mm = min(self.width_mm, way.width_mm), min(self.depth_mm, way.depth_mm)
        return CornerHit(self.plate, width_mm, depth_mm, way)

    def answers(self, rules: Rules, facts: Circumstances) -> CornerAnswers:
        """What there is to say of a corner set for it."""
        case = self.case(rules, facts)
        return CornerAnswers(self, case)


@dataclass(frozen=True)
class CornerHit(Corner):
    """One hit of a corner that takes several, laid out for the very set that makes it."""

    laid_for: HeldWay

    def answers(self, rules: Rules, facts: Circumstances) -> CornerHitAnswers:
        """What there is to say of a corner set for it."""
        case = self.case(rules, facts)
        return CornerHitAnswers(self, case)


class CornerAnswers(SetAnswers[Corner]):
    """What there is to say of a corner set."""

    @property
    def feature_findings(self) -> tuple[Finding, ...]:
        """Its inner corner should be curved."""
        return (corner_finding(self.case),)

    @property
    def need(self) -> Need:
        """A set that is large enough one way round or the other."""
        least_mm = min(self.case.width_mm, self.case.depth_mm) - self.case.tolerance_mm
        width_mm = self.case.width_mm
        return set_need("corner", self.ask.shape, least_mm, ANY_MM, width_mm, "large enough")

    @property
    def several_hits(self) -> SeveralHits:
        """How smaller sets make it."""
        if self.case.corner_radius_mm:
            return SeveralHits()
        return CornerHits(self.case, self.ask.shape, self.ask.within)

    def set_findings(self, tool: Tool) -> Iterator[Finding]:
        """Both sizes must reach, one way round or the other."""
        case, say = self.case, self.case.say
        if tool.depth_mm is None:
            text = "the set has no depth entered: measure it and enter it"
            yield Finding("size", "refuse", text, None, case.depth_mm, "mm", "measured by the shop")
            return
        way = self._best_way(tool)
        short_mm = self._short_mm(way)
        verdict: Verdict = "refuse" if exceeds(short_mm, case.tolerance_mm) else "ok"
        text = f"{by_text(case.width_mm, case.depth_mm, say)}, the set takes"
        text += f" {by_text(way.width_mm, way.depth_mm, say)}"
        text += " with the plate face down" if way.turned else ""
        yield Finding("size", verdict, text, short_mm, case.tolerance_mm, "mm", CP)

    def _best_way(self, tool: Tool) -> HeldWay:
        return min(ways_of(tool), key=self._short_mm)

    def _short_mm(self, way: HeldWay) -> float:
        case = self.case
        return max(case.width_mm - way.width_mm, case.depth_mm - way.depth_mm, 0.0)

    def excess_mm(self, tool: Tool) -> float:
        """How much larger the set is on its two sides together."""
        own_mm = tool.width_mm + (tool.depth_mm or 0.0)
        return max(0.0, own_mm - self.case.width_mm - self.case.depth_mm)

    def shapes(self, tooling: ToolingSet, plan: HitPlan | None) -> Iterable[Shape]:
        """The plate's corner, what is cut from it, and the set hit by hit."""
        from crib.features.edges.notch_picture import corner_shapes

        hit = plan.asks[0] if plan else self.ask
        one_hit = hit if isinstance(hit, Corner) else self.ask
        reach_mm = (one_hit.width_mm, one_hit.depth_mm)
        tool = tooling.tool("set")
        held_mm = reach_mm if tool is None else self._held_mm(tool, plan) or reach_mm
        return corner_shapes(self.case, plan, reach_mm, held_mm)

    def _held_mm(self, tool: Tool, plan: HitPlan | None) -> tuple[float, float] | None:
        """The set's two sizes, as it is held."""
        if tool.depth_mm is None:
            return None
        turned = plan.hits[0].turned if plan else self._best_way(tool).turned
        sizes = (tool.width_mm, tool.depth_mm)
        return sizes[::-1] if turned else sizes


class CornerHitAnswers(CornerAnswers):
    """What there is to say of a set for one hit of several.

    A larger set makes the same hits only as long as nobody takes them at one stroke or out of their
    order, and no list was asked about that stroke: no other size stands in for the one laid for.
    """

    ask: CornerHit

    @property
    def need(self) -> Need:
        """A set of the size that the hits are laid out for."""
        laid, slack_mm = self.ask.laid_for, self.case.tolerance_mm
        least_mm, most_mm = sorted((laid.width_mm, laid.depth_mm))
        sides_mm = (least_mm - slack_mm, most_mm + slack_mm)
        return set_need("corner", self.ask.shape, *sides_mm, laid.width_mm, "of that size")

    def set_findings(self, tool: Tool) -> Iterator[Finding]:
        """Both sizes must be those that the hits are laid out for."""
        laid, say, slack_mm = self.ask.laid_for, self.case.say, self.case.tolerance_mm
        off_mm = min(map(self._off_mm, ways_of(tool)), default=0.0)
        if not exceeds(off_mm, slack_mm):
            yield from super().set_findings(tool)
            return
        text = f"the hits are laid out for a set of {by_text(laid.width_mm, laid.depth_mm, say)}"
        yield Finding("size", "refuse", text, off_mm, slack_mm, "mm", SHOP)

    def _off_mm(self, way: HeldWay) -> float:
        laid = self.ask.laid_for
        return max(abs(way.width_mm - laid.width_mm), abs(way.depth_mm - laid.depth_mm))


def read(words: Words, reading: Reading) -> Corner:
    """Read ``SIZE x SIZE thru THICKNESS [MATERIAL]``."""
    radius = take_inner_radius(words, reading, RADIUS_EXAMPLE)
    width_mm = words.take_length_mm(reading.system, "the corner's size along one edge", EXAMPLE)
    words.expect("x", EXAMPLE)
    depth_mm = words.take_length_mm(reading.system, "its size along the other edge", EXAMPLE)
    radius_mm = radius.within(min(width_mm, depth_mm))
    plate = read_plate(words, reading, EXAMPLE)
    return Corner(plate, width_mm, depth_mm, corner_radius_mm=radius_mm)


FEATURE = FeatureKind(
    "corner",
    EXAMPLE,
    read,
    "a corner off a plate: along its two edges",
    tools=(AskedTool("set", "corner_notch", ("rectangle",), "corner", ("depth_mm",)),),
    forms=plate_form("corner", "{width} x {depth}", "rectangle"),
)
