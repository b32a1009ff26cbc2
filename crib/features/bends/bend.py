"""A bend over a vee: ``bend 10 x 1/4 at 90``, length by thickness, at the angle it is turned by.

``flange 1`` says how long the shorter leg is: ``bend 24 x 1/4 at 90 flange 1 A36``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any, ClassVar

from crib.features.bends.bend_case import BendCase
from crib.features.bends.bend_checks import LEAST_VEE, judge_bend
from crib.features.bends.bend_orders import bend_workarounds, ideal_vee, vee_order
from crib.features.common.ask import Circumstances, FeatureKind, Need, Plate, Reading, Workaround
from crib.features.common.bar_phrase import (
    read_angle_deg,
    read_sizes,
    read_tail,
    size_word,
    thickness_mm,
)
from crib.features.common.chain_checks import weakest_link
from crib.features.common.findings import Finding
from crib.features.common.one_hit import OneHit
from crib.features.common.phrase import Words
from crib.features.common.piece_checks import judge_one
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.trade.common.verdicts import exceeds
from crib.trade.metal import bending
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.hit_plan import HitPlan
    from crib.features.common.picture import Picture

EXAMPLE = "bend 10 x 1/4 at 90"
WIDEST_MM = 10_000.0


@dataclass(frozen=True)
class Bend(OneHit):
    """A bend of a length, turned by an angle; ``flange_mm`` is the shorter leg."""

    length_mm: float
    plate: Plate
    angle_deg: float
    flange_mm: float | None = None

    feature: ClassVar[str] = "bend"
    work: ClassVar[str] = "brake"
    part_word: ClassVar[str] = "bend"

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        size = size_word(self.length_mm, system)
        thickness = size_word(self.plate.thickness_mm, system, self.plate.gauge)
        flange = "" if self.flange_mm is None else f" flange {size_word(self.flange_mm, system)}"
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

    def case(self, rules: Rules, facts: Circumstances) -> BendCase:
        """The bend as the rules look at it."""
        return _case(self, rules, facts)

    def needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """A vee that is not too narrow for the thickness, nearest to the one by rule."""
        case = self.case(rules, facts)
        least_mm = LEAST_VEE * self.plate.thickness_mm * (1 - 1e-9)
        text = "with a vee for that thickness"
        aim_mm = case.rule_vee_mm
        return (
            Need(
                "brake_tool",
                "special",
                least_mm,
                WIDEST_MM,
                0.0,
                WIDEST_MM,
                aim_mm,
                text,
                profile="vee die",
            ),
        )

    def judge(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> list[Finding]:
        """What the rules say of a vee in a station."""
        return list(judge_bend(self.case(rules, facts), tooling))

    def judge_piece(
        self, tool: Tool, severity_each: float, rules: Rules, facts: Circumstances
    ) -> list[Finding]:
        """Condition, place and the like; a vee has no edge that a bend dulls."""
        del severity_each
        said = judge_one(tool, self.plate.material, 1.0, rules, replace(facts, quantity=1))
        return [finding for finding in said if finding.rule != "edge"]

    def closeness_mm(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> float:
        """How far the vee is from the one by rule."""
        tool = tooling.tool("brake_tool")
        return 0.0 if tool is None else abs(tool.width_mm - self.case(rules, facts).rule_vee_mm)

    def figures(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> dict[str, float]:
        """Force, load, least flange and radius over the vee."""
        case, tool = self.case(rules, facts), tooling.tool("brake_tool")
        vee_mm = case.rule_vee_mm if tool is None else tool.width_mm
        radius_mm = bending.inside_radius_mm(vee_mm)
        force_n, limit_n = case.force_n(vee_mm), weakest_link(tooling)[0]
        made = {"hits": 1.0, "force_kn": force_n / 1000}
        if limit_n is not None and tooling.station.rated_force_n is not None:
            made["rated_kn"] = tooling.station.rated_force_n / 1000
            made["limit_kn"] = limit_n / 1000
            made["load"] = case.share(force_n, limit_n)
        return made | {
            "vee_mm": vee_mm,
            "rule_vee_mm": case.rule_vee_mm,
            "line_kn_m": case.line_n_mm(vee_mm),
            "least_flange_mm": bending.least_flange_mm(vee_mm),
            "inside_radius_mm": radius_mm,
            "bend_allowance_mm": bending.bend_allowance_mm(
                self.angle_deg, radius_mm, self.plate.thickness_mm
            ),
        }

    def ideal(
        self, seat: Seat, role: str, beside: dict[str, Tool], rules: Rules, facts: Circumstances
    ) -> Tool | None:
        """The vee one would order for a seat."""
        del beside
        return ideal_vee(self.case(rules, facts), seat) if role == "brake_tool" else None

    def order_text(
        self, tool: Tool, quantity: int, tooling: ToolingSet, rules: Rules, facts: Circumstances
    ) -> str:
        """The complete order line."""
        return vee_order(self.case(rules, facts), tool, quantity, tooling.station.label)

    def severity_each(
        self, tooling: ToolingSet, role: str, rules: Rules, facts: Circumstances
    ) -> float:
        """A bend dulls nothing."""
        del tooling, role, rules, facts
        return 0.0

    def workarounds(
        self, refused: frozenset[str], rules: Rules, facts: Circumstances
    ) -> list[Workaround]:
        """A longer leg, a wider vee, another brake, or outside."""
        case = self.case(rules, facts)
        leg_mm = case.longer_flange_mm()
        longer = replace(self, flange_mm=leg_mm).phrase(case.say.system)
        return bend_workarounds(case, refused, leg_mm, longer)

    def picture(
        self, tooling: ToolingSet, plan: HitPlan | None, rules: Rules, facts: Circumstances
    ) -> Picture:
        """The vee, the plate in it and the flange."""
        from crib.features.bends.bend_picture import bend_picture

        del plan
        return bend_picture(self.case(rules, facts), tooling)


@lru_cache(maxsize=64)
def _case(bend: Bend, rules: Rules, facts: Circumstances) -> BendCase:
    return BendCase(bend.length_mm, bend.plate, bend.angle_deg, bend.flange_mm, rules, facts)


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


FEATURE = FeatureKind("bend", EXAMPLE, read, "a bend over a vee: length x thickness at an angle")
