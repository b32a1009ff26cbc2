"""A vee cut from an edge: ``vee 2 thru 1/4`` is 2 wide at the edge, ``at 60`` names another angle.

A set cuts any vee of its angle up to its own opening: the gauge sets how far the plate goes in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import cos, radians, sin, tan
from typing import TYPE_CHECKING, Any, ClassVar

from crib.errors import BadQuantity
from crib.features.common.ask import FeatureKind, HitPlan, Need
from crib.features.common.asked_tool import AskedTool
from crib.features.common.case import Circumstances
from crib.features.common.findings import Finding
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import plate_form
from crib.features.common.plate_phrase import Reading, read_plate
from crib.features.common.sizes import size_word
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.edges.set_case import SHOP, SetCase, SetStroke
from crib.features.edges.set_checks import reach_finding
from crib.features.edges.set_features import (
    ANY_MM,
    SetAnswers,
    SetFeature,
    set_need,
    take_inner_radius,
)
from crib.trade.common.verdicts import Verdict
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.picture import Shape

EXAMPLE = "vee 2 thru 1/4 at 90"
RADIUS_EXAMPLE = "vee 2 radius 1/8 thru 1/4 at 90"
USUAL_DEG = 90.0
SAME_DEG = 0.5
_ANGLE = re.compile(r"(\d{1,3}(?:\.\d{1,6})?)(?:°|deg)?")


@dataclass(frozen=True)
class Vee(SetFeature):
    """A vee: its opening at the edge and its included angle."""

    opening_mm: float
    angle_deg: float = USUAL_DEG

    feature: ClassVar[str] = "vee"
    work: ClassVar[str] = "vee_notch"
    shape: ClassVar[str] = "special"

    @property
    def depth_mm(self) -> float:
        """From the edge to the point."""
        return self.opening_mm / 2 / tan(radians(self.angle_deg) / 2)

    @property
    def cut(self) -> SetStroke:
        """The two legs."""
        return SetStroke("vee", self.opening_mm, self.opening_mm / sin(radians(self.angle_deg) / 2))

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way, the angle always said."""
        return f"{super().phrase(system)} at {_degrees(self.angle_deg)}"

    def sizes_phrase(self, system: System) -> str:
        """The opening."""
        return size_word(self.opening_mm, system)

    def sizes_json(self) -> dict[str, Any]:
        """The opening as the size, and the included angle."""
        return {"size_mm": self.opening_mm, "angle_deg": self.angle_deg}

    def answers(self, rules: Rules, facts: Circumstances) -> VeeAnswers:
        """What there is to say of a vee set for it."""
        sizes_mm = (self.opening_mm, self.depth_mm, self.corner_radius_mm)
        case = SetCase(self.plate, rules, facts, self.cut, *sizes_mm)
        return VeeAnswers(self, case)


class VeeAnswers(SetAnswers[Vee]):
    """What there is to say of a vee set."""

    @property
    def need(self) -> Need:
        """A vee set that opens at least as wide; the rules look at its angle."""
        opening_mm = self.ask.opening_mm
        least_mm = opening_mm - self.case.tolerance_mm
        text = "that open wide enough"
        return set_need("vee", self.ask.shape, least_mm, ANY_MM, opening_mm, text)

    def set_findings(self, tool: Tool) -> Iterator[Finding]:
        """The angle must be the set's own, the opening within it."""
        wanted = _degrees(self.ask.angle_deg)
        if tool.angle_deg is None:
            text = f"the set has no angle entered, wanted {wanted}°: enter it"
            yield Finding("angle", "refuse", text, None, self.ask.angle_deg, "deg", SHOP)
        else:
            same = abs(tool.angle_deg - self.ask.angle_deg) < SAME_DEG
            verdict: Verdict = "ok" if same else "refuse"
            text = f"set of {_degrees(tool.angle_deg)}°, wanted {wanted}°"
            yield Finding("angle", verdict, text, tool.angle_deg, self.ask.angle_deg, "deg", SHOP)
        yield reach_finding("size", "opening", tool.width_mm, self.ask.opening_mm, self.case)
        if tool.depth_mm is not None:
            yield reach_finding("depth", "depth", tool.depth_mm, self.ask.depth_mm, self.case)

    def excess_mm(self, tool: Tool) -> float:
        """How much wider the set opens."""
        return abs(tool.width_mm - self.ask.opening_mm)

    def set_to_order(self, seat: Seat) -> Tool:
        """The same, of the angle."""
        return replace(super().set_to_order(seat), angle_deg=self.ask.angle_deg)

    def shapes(self, tooling: ToolingSet, plan: HitPlan | None) -> Iterable[Shape]:
        """The edge, the vee and the set."""
        from crib.features.edges.notch_picture import vee_shapes

        return vee_shapes(self.case, self.ask.angle_deg, tooling)


def _degrees(angle_deg: float) -> str:
    return f"{angle_deg:.6f}".rstrip("0").rstrip(".")


def _read_degrees(text: str) -> float:
    """Read an included angle that is a vee: more than nothing, less than a straight line."""
    written = _ANGLE.fullmatch(text.strip().casefold())
    angle_deg = float(written[1]) if written else 0.0
    if not 0 < angle_deg < 180:
        message = f"angle {text!r} must be degrees, more than 0 and less than 180"
        raise BadQuantity(message)
    return angle_deg


def read(words: Words, reading: Reading) -> Vee:
    """Read ``OPENING thru THICKNESS [MATERIAL] [at DEGREES]``."""
    radius = take_inner_radius(words, reading, RADIUS_EXAMPLE)
    opening_mm = words.take_length_mm(reading.system, "the vee's opening at the edge", EXAMPLE)
    plate = read_plate(words, reading, EXAMPLE)
    angle_deg = USUAL_DEG
    if words.take_if("at"):
        angle_deg = words.take_quantity(_read_degrees, "the vee's included angle", EXAMPLE)
        words.take_if("deg", "degrees", "°")
    made = Vee(plate, opening_mm, angle_deg)
    most_mm = opening_mm / 2 / cos(radians(angle_deg) / 2)
    return replace(made, corner_radius_mm=radius.within(most_mm))


FEATURE = FeatureKind(
    "vee",
    EXAMPLE,
    read,
    "a vee in an edge: its opening, and its angle",
    tools=(AskedTool("set", "vee_notch", ("special",), "vee", ("angle_deg",)),),
    forms=plate_form("vee", shape="special"),
)
