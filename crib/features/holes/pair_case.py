"""A hole to be punched by a punch and a die: what every rule looks at, worked out once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import cast

from crib.features.common.case import Case
from crib.features.common.hole_method import HoleMethod
from crib.trade.metal import clearance, force, punch_strength, shapes
from crib.trade.metal.clearance import ClearanceBands, ClearanceStep, Policy
from crib.trade.metal.hole_method import Ruling, full_size_punching, known_codes
from crib.trade.metal.materials import yield_at_mpa
from crib.trade.metal.shapes import Outline

CP = "common practice, no source"
SHOP = "shop rule"


@dataclass(frozen=True)
class PairCase(Case):
    """A hole to be punched: what every rule looks at, worked out once."""

    outline: Outline
    bolt_mm: float | None = None

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
        if not self.code:
            return None
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
    def method(self) -> HoleMethod | None:
        """How the job's code wants the hole made; None without a code."""
        ruling = self.ruling
        if ruling is None:
            return None
        return HoleMethod(
            code=_known(self.code),
            ruling={True: "allowed", False: "not allowed", None: "undecided"}[ruling.allowed],
            chosen=_chosen(ruling, to_ream=self.facts.to_ream),
            instead=ruling.instead,
            text=ruling.text,
            source=ruling.source,
            limit_mm=ruling.limit_mm,
            under_mm=ruling.subpunch_under_mm,
        )


def _known(code: str) -> str:
    """A code's name as it is known, however it was written."""
    plain = {"".join(name.split()).casefold(): name for name in known_codes()}
    return plain.get("".join(code.split()).casefold(), code)


def _chosen(ruling: Ruling, *, to_ream: bool) -> str:
    if to_ream:
        return "punch under size and ream"
    return "punch full size" if ruling.allowed else "none yet"
