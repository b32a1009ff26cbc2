"""How the rules speak: sizes, forces and stresses in the crib's own units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from crib import units
from crib.features.common.sizes import clean_pair, clean_text
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.clearance import System as ChartSystem
from crib.trade.shop.shop_rules import Rules
from crib.units import ForceUnit, System


@dataclass(frozen=True, slots=True)
class Speech:
    """The crib's units, ready to write with."""

    rules: Rules

    @property
    def system(self) -> System:
        """Inches or millimetres."""
        return self.rules.system

    @property
    def chart(self) -> ChartSystem:
        """Which clearance chart the crib goes by."""
        return "metric" if self.system == "mm" else "inch"

    def length(self, length_mm: float) -> str:
        """A length as people write it, a worked-out one rounded."""
        return units.format_length(length_mm, self.system, digits=3 if self.system == "mm" else 4)

    def size(self, length_mm: float) -> str:
        """The size of a tool or a hole, in the other unit where it is clean only in that."""
        return clean_text(length_mm, self.system)

    def force(self, force_n: float) -> str:
        """A force in the crib's own unit, always named."""
        return units.format_force(force_n, cast(ForceUnit, self.rules.text("crib.force_unit")))

    def line_force(self, line_n_mm: float) -> str:
        """A force along a tool, by the foot or by the metre."""
        metric = self.system == "mm"
        each_mm = 1000.0 if metric else units.mm_from_inches(12)
        return f"{self.force(line_n_mm * each_mm)} a {'metre' if metric else 'foot'}"

    def stress(self, stress_mpa: float) -> str:
        """A stress in ksi or MPa."""
        return units.format_stress(stress_mpa, self.system)


def shape_and_size(say: Speech, shape: str, width_mm: float, long_mm: float) -> str:
    """A size with its shape: ``round 13/16 in``, ``obround 13/16 x 1-7/8 in``."""
    if exceeds(long_mm, width_mm):
        return f"{shape} {clean_pair(width_mm, long_mm, say.system)}"
    return f"{shape} {say.size(width_mm)}"
