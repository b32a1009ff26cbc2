"""A bend to be made over a vee: what every rule looks at, worked out once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import ceil, floor
from typing import Literal

from crib.acts import act, saying
from crib.errors import Missing
from crib.features.common.case import Case
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal import bending
from crib.trade.metal.bend_radii import LeastRadius, least_bend_radius
from crib.units import inches_from_mm, mm_from_inches

CP = "common practice, no source"
USUAL_VEES_MM = (6, 8, 10, 12, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 320)
"""The openings that metric vees are usually made in."""
MOST_OVER_RULE = 1.05
"""A usual size a little over the rule is as good: 50 mm where the rule says 48."""

Form = Literal["575 form", "1.42 form"]


@dataclass(frozen=True)
class BendCase(Case):
    """A bend's length, plate and angle; the flange is the shorter leg, when it was given."""

    length_mm: float
    angle_deg: float
    flange_mm: float | None

    @property
    def form(self) -> Form:
        """Which of the charts' forms the crib goes by; they differ by an eighth."""
        return "1.42 form" if self.say.system == "mm" else "575 form"

    @cached_property
    def tensile_mpa(self) -> float:
        """The tensile strength to reckon with: the certificate's, else the material's least.

        Stainless hardens as it bends, so that it counts for no less than charts take it for.
        """
        material, given_mpa = self.plate.material, self.facts.cert_tensile_mpa
        tensile_mpa = material.tensile_mpa if given_mpa is None else given_mpa
        if tensile_mpa is None:
            message = f"{material.name} has no tensile strength to reckon a bend with"
            example = act("say.cert-tensile", stress="70ksi")
            raise Missing(message, way_out=saying("give the certificate's: ", example))
        if material.family == "stainless":
            factor = bending.bend_factor(material.family, tensile_mpa)
            return factor * bending.CHART_TENSILE_MPA
        return tensile_mpa

    @cached_property
    def basis(self) -> str:
        """Form and strength that the force was reckoned with, in words."""
        source = "" if self.facts.cert_tensile_mpa is None else " by certificate"
        return f"{self.form}, tensile {self.say.stress(self.tensile_mpa)}{source}"

    def force_n(self, vee_mm: float) -> float:
        """The force over a vee."""
        return self._force_n(vee_mm, self.tensile_mpa, self.plate.thickness_mm)

    def adverse_force_n(self, vee_mm: float) -> float | None:
        """The force over a vee in the adverse plate; None without one."""
        plate = self.adverse
        if plate is None:
            return None
        tensile_mpa = max(plate.tensile_mpa or 0.0, self.tensile_mpa)
        return self._force_n(vee_mm, tensile_mpa, plate.thickness_mm)

    def _force_n(self, vee_mm: float, tensile_mpa: float, thickness_mm: float) -> float:
        metric = self.form == "1.42 form"
        constant = bending.AIR_BEND_METRIC if metric else bending.AIR_BEND_INCH_575
        return bending.bend_force_n(tensile_mpa, self.length_mm, thickness_mm, vee_mm, constant)

    @cached_property
    def rule_vee_mm(self) -> float:
        """The vee by rule for this thickness, no narrower than the least radius wants."""
        by_rule_mm = bending.vee_opening_mm(self.plate.thickness_mm)
        return max(by_rule_mm, self.least_vee_mm)

    @cached_property
    def least_radius(self) -> LeastRadius | None:
        """The least inside radius of the grade in this thickness; None where no table tells."""
        return least_bend_radius(self.plate.material, self.plate.thickness_mm)

    @property
    def least_vee_mm(self) -> float:
        """The narrowest vee that leaves the least radius; nothing where no table tells."""
        radius = self.least_radius
        return 0.0 if radius is None else radius.across_mm / bending.inside_radius_mm(1.0)

    @property
    def included_deg(self) -> float:
        """The angle between the legs afterwards."""
        return 180.0 - self.angle_deg

    def order_vee_mm(self) -> float:
        """The vee to order: by rule, or as much narrower as the flange wants, in a usual size.

        It is never one that leaves less than the least radius.
        """
        metric = self.say.system == "mm"
        most_mm = self.rule_vee_mm * (MOST_OVER_RULE if metric else 1.0)
        if self.flange_mm is not None:
            most_mm = min(most_mm, self.flange_mm / bending.least_flange_mm(1.0))
        return self._usual_vee_mm(most_mm) if metric else self._eighths_mm(most_mm)

    def _usual_vee_mm(self, most_mm: float) -> float:
        below = [size for size in USUAL_VEES_MM if not exceeds(size, most_mm)]
        vee_mm = float(max(below, default=most_mm))
        if not falls_short(vee_mm, self.least_vee_mm):
            return vee_mm
        wide = (size for size in USUAL_VEES_MM if not falls_short(size, self.least_vee_mm))
        return float(min(wide, default=self.least_vee_mm))

    def _eighths_mm(self, most_mm: float) -> float:
        below = floor(8 * inches_from_mm(most_mm) + 1e-6)
        least = ceil(8 * inches_from_mm(self.least_vee_mm) - 1e-6)
        eighths = max(below, least)
        return mm_from_inches(eighths / 8) if eighths else most_mm

    def longer_flange_mm(self) -> float:
        """The flange that the vee by rule needs, in whole sixteenths or millimetres."""
        least_mm = bending.least_flange_mm(self.rule_vee_mm)
        if self.say.system == "mm":
            return float(ceil(least_mm - 1e-6))
        return mm_from_inches(ceil(16 * inches_from_mm(least_mm) - 1e-6) / 16)

    def line_n_mm(self, vee_mm: float) -> float:
        """The force on each millimetre of the tool."""
        return self.force_n(vee_mm) / self.length_mm
