"""A rectangular notch in an edge: ``notch 2 x 3 thru 1/4``, width along the edge by depth.

A notch wider than the set is made in several hits; one deeper than the set is not made by it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from crib.features.common.ask import FeatureKind, HitPlan, Need, SeveralHits
from crib.features.common.asked_tool import AskedTool
from crib.features.common.case import Circumstances
from crib.features.common.findings import Finding
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import plate_form
from crib.features.common.plate_phrase import Reading, read_plate
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.edges.notch_hits import NotchHits
from crib.features.edges.set_case import SHOP, SetStroke
from crib.features.edges.set_checks import corner_finding, reach_finding
from crib.features.edges.set_features import (
    SetAnswers,
    SquareSetFeature,
    set_need,
    take_inner_radius,
)
from crib.trade.common.verdicts import exceeds
from crib.trade.shop.shop_rules import Rules

if TYPE_CHECKING:
    from crib.features.common.picture import Shape

EXAMPLE = "notch 2 x 3 thru 1/4"
RADIUS_EXAMPLE = "notch 2 x 3 radius 1/4 thru 1/4"


@dataclass(frozen=True)
class Notch(SquareSetFeature):
    """A notch with square corners, open at the edge."""

    feature: ClassVar[str] = "notch"
    work: ClassVar[str] = "notch"

    @property
    def cut(self) -> SetStroke:
        """The bottom and both sides in one hit."""
        return SetStroke("notch", self.width_mm, self.width_mm + 2 * self.depth_mm)

    def narrower(self, width_mm: float) -> Notch:
        """A notch as deep, of another width: one hit of a set that is so wide."""
        return replace(self, width_mm=width_mm)

    def answers(self, rules: Rules, facts: Circumstances) -> NotchAnswers:
        """What there is to say of a notch set for it."""
        case = self.case(rules, facts)
        return NotchAnswers(self, case)


class NotchAnswers(SetAnswers[Notch]):
    """What there is to say of a notch set."""

    @property
    def feature_findings(self) -> tuple[Finding, ...]:
        """Its inner corners should be curved."""
        return (corner_finding(self.case),)

    @property
    def need(self) -> Need:
        """A set of the notch's width: the gauge sets the depth, not the width."""
        width_mm, slack_mm = self.case.width_mm, self.case.tolerance_mm
        least_mm, most_mm = width_mm - slack_mm, width_mm + slack_mm
        return set_need("notch", self.ask.shape, least_mm, most_mm, width_mm, "of that width")

    @property
    def several_hits(self) -> SeveralHits:
        """How sets narrower than the notch make it."""
        if self.case.corner_radius_mm:
            return SeveralHits()
        return NotchHits(self.case, self.ask.shape, self.ask.narrower)

    def set_findings(self, tool: Tool) -> Iterator[Finding]:
        """The width must be the notch's own, the depth at least its depth."""
        say, tolerance_mm = self.case.say, self.case.tolerance_mm
        off_mm = self.excess_mm(tool)
        text = f"set {say.length(tool.width_mm)} wide"
        if exceeds(off_mm, tolerance_mm):
            text += f", wanted {say.length(self.case.width_mm)}"
            yield Finding("size", "refuse", text, off_mm, tolerance_mm, "mm", SHOP)
        else:
            yield Finding("size", "ok", text, off_mm, tolerance_mm, "mm", SHOP)
        yield reach_finding("depth", "depth", tool.depth_mm, self.case.depth_mm, self.case)

    def excess_mm(self, tool: Tool) -> float:
        """How far its width is from the notch's."""
        return abs(tool.width_mm - self.case.width_mm)

    def shapes(self, tooling: ToolingSet, plan: HitPlan | None) -> Iterable[Shape]:
        """The edge, the notch, and the set hit by hit."""
        from crib.features.edges.notch_picture import notch_shapes

        return notch_shapes(self.case, tooling, plan)


def read(words: Words, reading: Reading) -> Notch:
    """Read ``WIDTH x DEPTH thru THICKNESS [MATERIAL]``."""
    radius = take_inner_radius(words, reading, RADIUS_EXAMPLE)
    width_mm = words.take_length_mm(reading.system, "the notch's width along the edge", EXAMPLE)
    words.take_if("wide")
    words.expect("x", EXAMPLE)
    depth_mm = words.take_length_mm(reading.system, "the notch's depth into the plate", EXAMPLE)
    words.take_if("deep")
    radius_mm = radius.within(min(width_mm / 2, depth_mm))
    plate = read_plate(words, reading, EXAMPLE)
    return Notch(plate, width_mm, depth_mm, corner_radius_mm=radius_mm)


FEATURE = FeatureKind(
    "notch",
    EXAMPLE,
    read,
    "a notch in an edge: width along it x depth",
    tools=(AskedTool("set", "notch", ("rectangle",), "notch", ("depth_mm",)),),
    forms=plate_form("notch", "{width} x {depth}", "rectangle"),
)
