"""A hole to be punched by a punch and a die: what every rule looks at, worked out once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import cast

from crib.features.common.ask import Circumstances, Plate
from crib.features.common.speech import Speech
from crib.features.common.strength import Strength, shear_strength
from crib.trade.metal import clearance, force, punch_strength, shapes
from crib.trade.metal.clearance import ClearanceBands, ClearanceStep, Policy
from crib.trade.metal.hole_method import Ruling, full_size_punching
from crib.trade.metal.shapes import Outline
from crib.trade.shop.shop_rules import Rules

CP = "common practice, no source"
SHOP = "shop rule"


@dataclass(frozen=True)
class PairCase:
    """A hole to be punched: what every rule looks at, worked out once."""

    outline: Outline
    plate: Plate
    rules: Rules
    facts: Circumstances
    bolt_mm: float | None = None

    @cached_property
    def say(self) -> Speech:
        """How to write figures."""
        return Speech(self.rules)

    @cached_property
    def strength(self) -> Strength:
        """The plate's shear strength."""
        return shear_strength(self.plate.material, self.rules, self.facts)

    @cached_property
    def force_n(self) -> float:
        """The punching force with a flat face."""
        perimeter_mm = shapes.perimeter_mm(self.outline)
        return force.punching_force_n(
            perimeter_mm, self.plate.thickness_mm, self.strength.shear_mpa
        )

    @cached_property
    def stress_mpa(self) -> float:
        """The stress in the punch."""
        return punch_strength.punch_stress_mpa(self.force_n, shapes.area_mm2(self.outline))

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
        """What the job's code says of punching this hole to its full size; None without a code."""
        code = self.facts.code or self.rules.text("code.default")
        if not code:
            return None
        given_yield = self.facts.cert_yield_mpa
        return full_size_punching(
            code,
            thickness_mm=self.plate.thickness_mm,
            least_hole_mm=shapes.narrowest_mm(self.outline),
            bolt_mm=self.bolt_mm,
            yield_mpa=self.plate.material.yield_mpa if given_yield is None else given_yield,
            family=self.plate.material.family,
            execution_class=self.facts.execution_class,
            dynamic=self.facts.dynamic,
        )
