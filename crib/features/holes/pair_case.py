"""A hole to be punched by a punch and a die: what every rule looks at, worked out once."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace
from functools import cached_property
from math import floor
from typing import cast

from crib import units
from crib.features.common.case import Case
from crib.features.common.pair_wear import hit_severity
from crib.features.common.sizes import natural_system
from crib.features.common.tolerances import Tolerance
from crib.features.common.tooling import Tool
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal import clearance, force, punch_strength, shapes
from crib.trade.metal.clearance import ClearanceBands, ClearanceStep, Policy
from crib.trade.metal.hole_method import Ruling, full_size_punching
from crib.trade.metal.materials import yield_at_mpa
from crib.trade.metal.shapes import Outline
from crib.units import System

CP = "common practice, no source"
SHOP = "shop rule"
SIXTY_FOURTH_MM = units.mm_from_inches(1 / 64)
TENTH_MM = 0.1


@dataclass(frozen=True, slots=True)
class UnderSize:
    """The sizes that a hole may be punched with when it is reamed [mm]; the aim is what one orders.

    A punch below the least would leave more than is reamed.
    """

    punch_aim_mm: float
    punch_least_mm: float
    punch_most_mm: float
    die_most_mm: float


@dataclass(frozen=True)
class PairCase(Case):
    """A hole to be punched: what every rule looks at, worked out once.

    ``outline`` is the finished hole, ``tolerance`` how far it may be off. ``struck`` is what a
    punch really cuts that is not of that size: one within the tolerance, or one to ream after.
    """

    outline: Outline
    bolt_mm: float | None = None
    to_ream: bool = False
    tolerance: Tolerance | None = None
    struck: Outline | None = None

    @property
    def punched(self) -> Outline:
        """What is cut: the punch's own outline, or the one that would be asked of it."""
        if self.struck is not None or self.under_size is None:
            return self.struck or self.outline
        aim_mm = self.under_size.punch_aim_mm
        return Outline("round", aim_mm, aim_mm)

    def struck_by(self, punch: Tool | None) -> PairCase:
        """The case with the outline that a punch cuts, if it may stand in for the wanted one.

        What differs by no more than the shop calls the same size is the wanted one.
        """
        if punch is None or not self.may_strike(punch) or self._is_wanted(punch.outline):
            return self
        return self._with(punch.outline)

    def may_strike(self, punch: Tool) -> bool:
        """Whether a punch is of the wanted shape, and of a size that may stand in for it."""
        sizes = zip(self.least_mm, _sizes(punch), self.most_mm, strict=True)
        return punch.shape == self.outline.shape and not any(
            falls_short(size, least) or exceeds(size, most) for least, size, most in sizes
        )

    @cached_property
    def least_mm(self) -> tuple[float, float]:
        """The least width and length of a punch that may stand in for the wanted one."""
        limits, under_mm = self.under_size, self.allowed_mm[1]
        if limits is not None:
            return limits.punch_least_mm, limits.punch_least_mm
        return self.outline.width_mm - under_mm, self.outline.length_mm - under_mm

    @cached_property
    def most_mm(self) -> tuple[float, float]:
        """The greatest width and length of a punch that may stand in for the wanted one."""
        limits, over_mm = self.under_size, self.allowed_mm[0]
        if limits is not None:
            return limits.punch_most_mm, limits.punch_most_mm
        return self.outline.width_mm + over_mm, self.outline.length_mm + over_mm

    @cached_property
    def allowed_mm(self) -> tuple[float, float]:
        """How far over and under its size the hole may be."""
        slack_mm, allowed = self.rules.number("size.tolerance_mm"), self.tolerance
        if allowed is None:
            return slack_mm, slack_mm
        sides = allowed.plus_mm, allowed.minus_mm
        return sides if allowed.stated else (max(sides[0], slack_mm), max(sides[1], slack_mm))

    @property
    def lightest(self) -> PairCase:
        """The case with the least punch that may be taken: no other needs less force."""
        return self._of_size(self.least_mm)

    @property
    def stoutest(self) -> PairCase:
        """The case with the greatest punch that may be taken: no other bears more."""
        return self._of_size(self.most_mm)

    def off_mm(self, outline: Outline) -> float:
        """How far an outline is from the wanted one, over or under, on the side that is worse."""
        sides = (
            outline.width_mm - self.outline.width_mm,
            outline.length_mm - self.outline.length_mm,
        )
        return max(sides, key=abs)

    def _is_wanted(self, outline: Outline) -> bool:
        """Whether an outline is the very one that would be punched, as exactly as the shop asks."""
        slack_mm, wanted = self.rules.number("size.tolerance_mm"), self.punched
        off_mm = max(
            abs(outline.width_mm - wanted.width_mm), abs(outline.length_mm - wanted.length_mm)
        )
        return not exceeds(off_mm, slack_mm)

    def _of_size(self, sizes_mm: tuple[float, float]) -> PairCase:
        width_mm, long_mm = (max(size, TENTH_MM) for size in sizes_mm)
        corner_mm = min(self.outline.corner_mm, width_mm / 2)
        outline = Outline(self.outline.shape, width_mm, long_mm, corner_mm)
        return self if self._is_wanted(outline) else self._with(outline)

    def _with(self, struck: Outline) -> PairCase:
        if struck not in self._struck:
            self._struck[struck] = replace(self, struck=struck)
        return self._struck[struck]

    @cached_property
    def _struck(self) -> dict[Outline, PairCase]:
        return {}

    @cached_property
    def well(self) -> set[Hashable]:
        """Lengths of pairs that close, of which nothing is to be said."""
        return set()

    def weight_of_hit(self, gap_mm: float | None) -> float:
        """How much a full hit with a clearance wears the punch [weighted strokes]."""
        return self.once(_weight_of_hit, gap_mm)

    @cached_property
    def force_n(self) -> float:
        """The punching force with a flat face."""
        perimeter_mm = shapes.perimeter_mm(self.punched)
        return force.punching_force_n(
            perimeter_mm, self.plate.thickness_mm, self.strength.shear_mpa
        )

    @cached_property
    def stress_mpa(self) -> float:
        """The stress in the punch."""
        return punch_strength.punch_stress_mpa(self.force_n, shapes.area_mm2(self.punched))

    @cached_property
    def adverse_force_n(self) -> float | None:
        """The punching force in the adverse plate; None without one."""
        plate = self.adverse
        if plate is None:
            return None
        perimeter_mm = shapes.perimeter_mm(self.punched)
        return force.punching_force_n(perimeter_mm, plate.thickness_mm, plate.shear_mpa)

    @cached_property
    def adverse_stress_mpa(self) -> float | None:
        """The stress in the punch in the adverse plate; None without one."""
        if self.adverse_force_n is None:
            return None
        return punch_strength.punch_stress_mpa(self.adverse_force_n, shapes.area_mm2(self.punched))

    @cached_property
    def step(self) -> ClearanceStep:
        """The chart's clearance for this thickness."""
        return clearance.chart_step(self.plate.thickness_mm, self.say.chart)

    @cached_property
    def policy(self) -> Policy:
        """Clean hole for finish work, else what the shop set."""
        chosen = self.rules.text("clearance.policy")
        return "clean_hole" if self.facts.appearance == "finish" else cast(Policy, chosen)

    @cached_property
    def policy_clearance_mm(self) -> float:
        """The clearance the policy aims at."""
        return clearance.policy_clearance_mm(
            self.policy,
            self.plate.thickness_mm,
            self.plate.material.tool_life_clearance_pct,
            self.say.chart,
        )

    @cached_property
    def ordered_clearance_mm(self) -> float:
        """The clearance to order: the policy's, on the step in which such dies are made."""
        made = natural_system(self.outline.width_mm, self.say.system)
        clean_hole = self.policy == "clean_hole"
        if clean_hole and made == self.say.system:
            return self.step.middle_mm
        wanted_mm = self.step.middle_mm if clean_hole else self.policy_clearance_mm
        pitch_mm = TENTH_MM if made == "mm" else SIXTY_FOURTH_MM
        return max(pitch_mm, round(wanted_mm / pitch_mm) * pitch_mm)

    @cached_property
    def bands(self) -> ClearanceBands:
        """The shop's warning bands."""
        number = self.rules.number
        return ClearanceBands(
            refuse_below_pct=number("clearance.refuse_below_pct"),
            tight_below_pct=number("clearance.tight_below_pct"),
            wide_above_pct=number("clearance.wide_above_pct"),
            refuse_above_pct=number("clearance.refuse_above_pct"),
        )

    @cached_property
    def ruling(self) -> Ruling | None:
        """What the job's code says of this hole; of dynamic work and reaming also without one."""
        if not (self.code or self.facts.dynamic or self.to_ream):
            return None
        return self.ruled

    @cached_property
    def ruled(self) -> Ruling:
        """What the job's code says of this hole, or common practice where it names none."""
        given_mpa, plate = self.facts.cert_yield_mpa, self.plate
        table_mpa = yield_at_mpa(plate.material, plate.thickness_mm)
        return full_size_punching(
            self.code,
            thickness_mm=plate.thickness_mm,
            least_hole_mm=shapes.narrowest_mm(self.outline),
            bolt_mm=self.bolt_mm,
            yield_mpa=table_mpa if given_mpa is None else given_mpa,
            family=plate.material.family,
            execution_class=self.facts.execution_class,
            dynamic=self.facts.dynamic,
        )

    @cached_property
    def under_size(self) -> UnderSize | None:
        """What a hole that is reamed is punched with; None where it is not, or must not be."""
        if not self.to_ream or self.ruled.subpunch is None or self.outline.shape != "round":
            return None
        return under_size(self)


def _weight_of_hit(case: PairCase, gap_mm: float | None) -> float:
    percent = None
    if gap_mm is not None and gap_mm > 0:
        percent = clearance.percent_of_thickness(gap_mm, case.plate.thickness_mm)
    return hit_severity(case, clearance_pct=percent, stress_mpa=case.stress_mpa).total


def _sizes(punch: Tool) -> tuple[float, float]:
    return punch.width_mm, punch.long_mm


def under_size(case: PairCase) -> UnderSize | None:
    """The sizes to punch a hole with that is reamed to its size; None where none is left.

    The reamer must take away what the punch and the wider die left on both faces.
    """
    sub, number = case.ruled.subpunch, case.rules.number
    if sub is None:
        return None
    most_mm = case.outline.width_mm - number("ream.least_mm")
    die_mm = min(most_mm, sub.most_mm) if sub.measured == "die" else most_mm
    punch_mm = min(most_mm, sub.most_mm)
    aim_mm = usual_size_mm(min(punch_mm, die_mm - case.ordered_clearance_mm), case.say.system)
    least_mm = min(aim_mm, case.outline.width_mm - number("ream.most_mm"))
    return UnderSize(aim_mm, least_mm, punch_mm, die_mm) if aim_mm > 0 else None


def usual_size_mm(most_mm: float, system: System) -> float:
    """The greatest half millimetre or sixteenth of an inch that is not above a size."""
    if system == "mm":
        return floor(2 * most_mm + 1e-6) / 2
    return units.mm_from_inches(floor(16 * units.inches_from_mm(most_mm) + 1e-6) / 16)
