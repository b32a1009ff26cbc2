"""A bend over a vee: ``bend 10 x 1/4 at 90``, length by thickness, at the angle it is turned by.

``flange 1`` says how long the shorter leg is: ``bend 24 x 1/4 at 90 flange 1 A36``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar

from crib.features.bends.bend_case import BendCase
from crib.features.bends.bend_checks import LEAST_VEE, judge_bend
from crib.features.bends.bend_orders import bend_workarounds, ideal_vee
from crib.features.common.ask import Answers, FeatureKind, HitPlan, Need, Workaround
from crib.features.common.asked_tool import AskedTool
from crib.features.common.bar_phrase import (
    read_angle_deg,
    read_sizes,
    read_tail,
    size_or_gauge,
    thickness_mm,
)
from crib.features.common.case import Circumstances, Plate
from crib.features.common.chain_checks import rating_figures
from crib.features.common.findings import Finding
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import PhraseForm
from crib.features.common.piece_checks import piece_findings
from crib.features.common.plate_phrase import Reading
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.trade.common.verdicts import exceeds
from crib.trade.metal import bending
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.picture import Picture

EXAMPLE = "bend 10 x 1/4 at 90"
WIDEST_MM = 10_000.0


@dataclass(frozen=True)
class Bend:
    """A bend of a length, turned by an angle; ``flange_mm`` is the shorter leg."""

    length_mm: float
    plate: Plate
    angle_deg: float
    flange_mm: float | None = None

    feature: ClassVar[str] = "bend"
    work: ClassVar[str] = "brake"

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        size = size_or_gauge(self.length_mm, system)
        thickness = size_or_gauge(self.plate.thickness_mm, system, self.plate.gauge)
        flange = (
            "" if self.flange_mm is None else f" flange {size_or_gauge(self.flange_mm, system)}"
        )
        material = self.plate.material.name
        return f"bend {size} x {thickness} at {self.angle_deg:g}{flange} {material}"

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, SI."""
        return {
            "feature": self.feature,
            "shape": "vee die",
            "length_mm": self.length_mm,
            "angle_deg": self.angle_deg,
            "flange_mm": self.flange_mm,
            "thickness_mm": self.plate.thickness_mm,
            "material": self.plate.material.name,
            "material_assumed": self.plate.assumed,
        }

    def answers(self, rules: Rules, facts: Circumstances) -> BendAnswers:
        """What there is to say of a vee for it."""
        case = BendCase(self.plate, rules, facts, self.length_mm, self.angle_deg, self.flange_mm)
        return BendAnswers(self, case)


class BendAnswers(Answers[Bend, BendCase]):
    """What there is to say of a vee for a bend; a bend dulls nothing."""

    part_word: ClassVar[str] = "bend"
    strokes: ClassVar[int] = 0

    def needs(self) -> tuple[Need, ...]:
        """A vee that is not too narrow for the thickness, nearest to the one by rule."""
        return (
            Need(
                "brake_tool",
                "special",
                LEAST_VEE * self.case.plate.thickness_mm * (1 - 1e-9),
                WIDEST_MM,
                0.0,
                WIDEST_MM,
                self.case.rule_vee_mm,
                "with a vee for that thickness",
                profile="vee die",
            ),
        )

    def judge(self, tooling: ToolingSet) -> list[Finding]:
        """What the rules say of a vee in a station."""
        return list(judge_bend(self.case, tooling))

    def judge_piece(self, tool: Tool, severity_each: float) -> list[Finding]:
        """Condition, place and the like; a vee has no edge that a bend dulls."""
        once = replace(self.case, facts=replace(self.case.facts, quantity=1))
        said = piece_findings(tool, 1.0, once)
        return [finding for finding in said if finding.rule != "edge"]

    def closeness_mm(self, tooling: ToolingSet) -> float:
        """How far the vee is from the one by rule."""
        tool = tooling.tool("brake_tool")
        return 0.0 if tool is None else abs(tool.width_mm - self.case.rule_vee_mm)

    def figures(self, tooling: ToolingSet) -> dict[str, float]:
        """Force, load, least flange and radius over the vee."""
        case, tool = self.case, tooling.tool("brake_tool")
        vee_mm = case.rule_vee_mm if tool is None else tool.width_mm
        radius_mm = bending.inside_radius_mm(vee_mm)
        force_n = case.force_n(vee_mm)
        return {
            "hits": 1.0,
            "force_kn": force_n / 1000,
            **rating_figures(tooling, force_n),
            "vee_mm": vee_mm,
            "rule_vee_mm": case.rule_vee_mm,
            "line_kn_m": case.line_n_mm(vee_mm),
            "least_flange_mm": bending.least_flange_mm(vee_mm),
            "inside_radius_mm": radius_mm,
            "bend_allowance_mm": bending.bend_allowance_mm(
                case.angle_deg, radius_mm, case.plate.thickness_mm
            ),
        }

    def ideal(self, seat: Seat, role: str, beside: Mapping[str, Tool]) -> Tool | None:
        """The vee one would order for a seat."""
        return ideal_vee(self.case, seat) if role == "brake_tool" else None

    def workarounds(self, refused: frozenset[str]) -> list[Workaround]:
        """A longer leg, a wider vee, another brake, or outside."""
        leg_mm = self.case.longer_flange_mm()
        longer = replace(self.ask, flange_mm=leg_mm).phrase(self.case.say.system)
        return bend_workarounds(self.case, refused, leg_mm, longer)

    def picture(self, tooling: ToolingSet, plan: HitPlan | None) -> Picture:
        """The vee, the plate in it and the flange."""
        from crib.features.bends.bend_picture import bend_picture

        return bend_picture(self.case, tooling)


def read(words: Words, reading: Reading) -> Bend:
    """Read ``LENGTH x THICKNESS at ANGLE [flange LENGTH] [MATERIAL]``.

    Raises:
        BadPhrase: pointing at the size, angle or material that cannot be read.
    """
    names = ("the bend's length", "the thickness")
    sizes = read_sizes(words, reading, names, EXAMPLE, least=2)
    what = "the angle it is turned by"
    named = {
        "at": lambda: read_angle_deg(words, what, EXAMPLE, 0.1, 180.0),
        "flange": lambda: words.take_length_mm(reading.system, "the flange", EXAMPLE),
    }
    tail = read_tail(words, reading, EXAMPLE, named)
    thick_mm = thickness_mm(words, sizes[1], tail.material.gauge_system, EXAMPLE)
    if exceeds(thick_mm, sizes[0].mm):
        message = "the bend is shorter than the plate is thick: its length comes first"
        raise words.wrong(sizes[0].start, sizes[1].end, message, EXAMPLE)
    if "at" not in tail.named:
        words.expect("at", EXAMPLE)
    plate = Plate(thick_mm, tail.material, tail.assumed, sizes[1].gauge)
    return Bend(sizes[0].mm, plate, tail.named["at"], tail.named.get("flange"))


FEATURE = FeatureKind(
    "bend",
    EXAMPLE,
    read,
    "a bend over a vee: length x thickness at an angle",
    tools=(AskedTool("brake_tool", "brake", ("special",), "vee die", ("work_length_mm",)),),
    forms=(PhraseForm("bend", "bend {bend_long} x {thickness} at {angle} {material}"),),
)
