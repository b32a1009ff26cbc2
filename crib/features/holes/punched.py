"""What every punched feature shares: a hole of one outline, made by a punch and a die in one hit.

A kind of punched feature is a subclass that says how its phrase reads; everything that judges,
orders and works around is here and in the ``pair_*`` files.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import floor
from typing import TYPE_CHECKING, Any, ClassVar, Self

from crib import units
from crib.features.common.ask import Circumstances, Need, Plate, Reading, Workaround
from crib.features.common.chain_checks import weakest_link
from crib.features.common.findings import Finding, refusals
from crib.features.common.hole_method import HoleMethod, hole_method
from crib.features.common.one_hit import OneHit
from crib.features.common.pair_case import PairCase
from crib.features.common.pair_wear import hit_severity, on_role
from crib.features.common.phrase import Words
from crib.features.common.sizes import size_word
from crib.features.common.speech import Speech
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.holes.distance_checks import (
    DistanceCase,
    distance_findings,
    distance_workarounds,
)
from crib.features.holes.distances import NO_DISTANCES, Distances, read_distances
from crib.features.holes.pair_checks import judge_pair, judge_plate
from crib.features.holes.pair_orders import ideal_tool, pair_order_text
from crib.features.holes.pair_workarounds import pair_workarounds
from crib.trade.common.verdicts import falls_short
from crib.trade.metal import clearance, force
from crib.trade.metal.shapes import Outline
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.hit_plan import HitPlan
    from crib.features.common.picture import Picture

MOST_CASES = 64


@dataclass(frozen=True)
class Punched(OneHit):
    """A hole of one outline in a plate."""

    outline: Outline
    plate: Plate
    distances: Distances = field(default=NO_DISTANCES, kw_only=True)

    feature: ClassVar[str] = ""
    work: ClassVar[str] = "punch"

    @property
    def bolt_mm(self) -> float | None:
        """The bolt's diameter, for a hole that a bolt asked for."""
        return None

    def sizes_phrase(self, system: System) -> str:
        """The size part of the phrase: one size, or two with an x."""
        sizes = [self.outline.width_mm]
        if self.outline.shape in ("rectangle", "obround"):
            sizes.append(self.outline.length_mm)
        return " x ".join(size_word(size_mm, system) for size_mm in sizes)

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        tail = self.distances.phrase(system)
        return f"{self.feature} {self.sizes_phrase(system)} {self.plate.phrase(system)}{tail}"

    def with_tail(self, words: Words, reading: Reading) -> Self:
        """The hole with its distances to an edge, the end and the next hole."""
        long = self.outline.shape in ("rectangle", "obround")
        return replace(self, distances=read_distances(words, reading, long=long))

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, SI."""
        made: dict[str, Any] = {
            "feature": self.feature,
            "shape": self.outline.shape,
            "size_mm": self.outline.width_mm,
        }
        if self.outline.shape in ("rectangle", "obround"):
            made["length_mm"] = self.outline.length_mm
        return made | {
            "thickness_mm": self.plate.thickness_mm,
            "material": self.plate.material.name,
            "material_assumed": self.plate.assumed,
            **self.distances.as_json(),
        }

    def case(self, rules: Rules, facts: Circumstances) -> PairCase:
        """The hole as the pair rules look at it."""
        return _case(self.outline, self.plate, rules, facts, self.bolt_mm)

    def needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """A punch of the hole's size, and a die bigger than it within the widest band."""
        case = self.case(rules, facts)
        slack_mm = rules.number("size.tolerance_mm")
        width_mm, long_mm = self.outline.width_mm, self.outline.length_mm
        most_mm = max(
            case.bands.refuse_above_pct * self.plate.thickness_mm / 100,
            case.step.high_mm + slack_mm,
        )
        shape = self.outline.shape
        punch = Need(
            "punch",
            shape,
            width_mm - slack_mm,
            width_mm + slack_mm,
            long_mm - slack_mm,
            long_mm + slack_mm,
            width_mm,
            "of that size",
        )
        die = Need(
            "die",
            shape,
            width_mm - slack_mm,
            width_mm + most_mm + slack_mm,
            long_mm - slack_mm,
            long_mm + most_mm + slack_mm,
            width_mm + case.policy_clearance_mm,
            "a little larger than the punch",
        )
        return (punch, die)

    def plan_needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """Smaller punches, for a slot or a rectangular opening in several hits."""
        from crib.features.holes.opening_hit_plans import needs_for_plans

        del facts
        return needs_for_plans(self.outline, rules)

    def plans(
        self, smaller: Sequence[Tool], rules: Rules, facts: Circumstances
    ) -> Sequence[HitPlan]:
        """The ways to make it in several hits; none where the plate or the code refuses it."""
        from crib.features.holes.opening_hit_plans import plans_for

        case = self.case(rules, facts)
        if not smaller or refusals(judge_plate(case)):
            return ()
        return plans_for(case, smaller, self.part)

    def part(self, outline: Outline) -> Punched:
        """One hit of a plan for this feature: the small tool's own shape in the same plate."""
        return Part(outline, self.plate, self.bolt_mm)

    def picture(
        self, tooling: ToolingSet, plan: HitPlan | None, rules: Rules, facts: Circumstances
    ) -> Picture:
        """The pair with its clearance, or the hits of a plan in their order."""
        if plan is None:
            from crib.features.holes.distance_picture import distance_shapes
            from crib.features.holes.pair_picture import pair_picture

            pair, say = pair_picture(self.case(rules, facts), tooling), Speech(rules)
            beside = distance_shapes(self.outline, self.distances, say)
            return replace(pair, shapes=(*pair.shapes, *beside))
        from crib.features.holes.hit_picture import hit_picture

        return hit_picture(self.case(rules, facts), plan, tooling)

    def judge(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> list[Finding]:
        """What the rules say of a punch and a die in a station."""
        judged = judge_pair(self.case(rules, facts), tooling)
        return [*judged, *self.judge_feature(rules, facts)]

    def distance_case(self) -> DistanceCase:
        """The hole as the rules for distances look at it."""
        return DistanceCase(self.outline, self.plate, self.distances)

    def judge_feature(self, rules: Rules, facts: Circumstances) -> tuple[Finding, ...]:
        """What the tooling and the code say of the hole's distances."""
        return distance_findings(self.distance_case(), rules, facts)

    def method(self, rules: Rules, facts: Circumstances) -> HoleMethod | None:
        """How the job's code wants the hole made."""
        return hole_method(self.case(rules, facts))

    def closeness_mm(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> float:
        """How far the pair's clearance is from the policy's."""
        gap_mm = _gap_mm(tooling)
        return 0.0 if gap_mm is None else abs(gap_mm - self.case(rules, facts).policy_clearance_mm)

    def figures(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> dict[str, float]:
        """Force, load and clearance of a pair; a figure that is not known is left out."""
        case = self.case(rules, facts)
        made = {"hits": 1, "force_kn": case.force_n / 1000}
        limit_n, _weakest = weakest_link(tooling)
        if limit_n is not None and tooling.station.rated_force_n is not None:
            made["rated_kn"] = tooling.station.rated_force_n / 1000
            made["limit_kn"] = limit_n / 1000
            made["load"] = force.load(case.force_n, limit_n)
        gap_mm = _gap_mm(tooling)
        if gap_mm is not None:
            made["clearance_mm"] = gap_mm
            made["policy_clearance_mm"] = case.policy_clearance_mm
        made["punch_stress_mpa"] = case.stress_mpa
        made["stripping_kn"] = (
            force.stripping_force_n(case.force_n, rules.number("strip.fraction")) / 1000
        )
        return made

    def ideal(
        self, seat: Seat, role: str, beside: dict[str, Tool], rules: Rules, facts: Circumstances
    ) -> Tool | None:
        """The punch or die one would order for a seat."""
        return ideal_tool(self.case(rules, facts), seat, role, beside)

    def order_text(
        self, tool: Tool, quantity: int, tooling: ToolingSet, rules: Rules, facts: Circumstances
    ) -> str:
        """The complete order line."""
        return pair_order_text(self.case(rules, facts), tool, quantity, tooling)

    def severity_each(
        self, tooling: ToolingSet, role: str, rules: Rules, facts: Circumstances
    ) -> float:
        """The weight of one hit on the tool in a role."""
        gap_mm = _gap_mm(tooling)
        percent = (
            clearance.percent_of_thickness(gap_mm, self.plate.thickness_mm)
            if gap_mm is not None and gap_mm > 0
            else None
        )
        stress_mpa = self.case(rules, facts).stress_mpa
        weight = hit_severity(
            self.plate, rules, facts, clearance_pct=percent, stress_mpa=stress_mpa
        )
        return on_role(weight.total, role, rules)

    def workarounds(
        self, refused: frozenset[str], rules: Rules, facts: Circumstances
    ) -> list[Workaround]:
        """What to do about the hole without the tooling."""
        return distance_workarounds(refused) or pair_workarounds(
            self.case(rules, facts), refused, self.subpunch_phrase(rules, facts)
        )

    def subpunch_phrase(self, rules: Rules, facts: Circumstances) -> str | None:
        """A round hole as far under size as the code says (1/8 in or 3 mm without one), to ream.

        The next usual punch size below: whole sixteenths of an inch, or half millimetres.
        None where the code does not allow that either, or the smaller punch would be too thin.
        """
        case = self.case(rules, facts)
        system = case.say.system
        under_mm: float | None = 3.0 if system == "mm" else units.mm_from_inches(0.125)
        if case.ruling is not None and not case.ruling.allowed:
            under_mm = case.ruling.subpunch_under_mm
        least = self.plate.material.min_hole_ratio
        if self.outline.shape != "round" or facts.to_ream or under_mm is None or least is None:
            return None
        smaller_mm = _usual_size_mm(self.outline.width_mm - under_mm, system)
        if falls_short(smaller_mm, least * self.plate.thickness_mm):
            return None
        tail = f"{self.plate.phrase(system)}{self.distances.phrase(system)} ream"
        return f"hole {size_word(smaller_mm, system)} {tail}"


@dataclass(frozen=True)
class Part(Punched):
    """One hit of a feature that takes several; what a code says goes by the feature's bolt."""

    of_bolt_mm: float | None = None

    @property
    def feature(self) -> str:  # type: ignore[override]
        """The word of the hole that this hit would make by itself."""
        return {"round": "hole", "obround": "slot"}.get(self.outline.shape, self.outline.shape)

    @property
    def bolt_mm(self) -> float | None:
        """The diameter of the bolt that the whole feature is for."""
        return self.of_bolt_mm


@lru_cache(maxsize=MOST_CASES)
def _case(
    outline: Outline, plate: Plate, rules: Rules, facts: Circumstances, bolt_mm: float | None
) -> PairCase:
    return PairCase(outline, plate, rules, facts, bolt_mm)


def _gap_mm(tooling: ToolingSet) -> float | None:
    punch, die = tooling.tool("punch"), tooling.tool("die")
    if punch is None or die is None:
        return None
    return min(
        clearance.total_clearance_mm(punch.width_mm, die.width_mm),
        clearance.total_clearance_mm(punch.long_mm, die.long_mm),
    )


def _usual_size_mm(most_mm: float, system: System) -> float:
    """The greatest half millimetre or sixteenth of an inch that is not above a size."""
    if system == "mm":
        return floor(2 * most_mm + 1e-6) / 2
    return units.mm_from_inches(floor(16 * units.inches_from_mm(most_mm) + 1e-6) / 16)
