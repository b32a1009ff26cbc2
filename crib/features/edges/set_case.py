"""Something to be cut from an edge by a matched set: what every rule looks at."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from crib.features.common.case import Case
from crib.trade.metal import force

CP = "common practice, no source"
SHOP = "shop rule"


@dataclass(frozen=True, slots=True)
class SetStroke:
    """One stroke of a set: its operation, its size as lists give it, the length of edge it cuts."""

    operation: str
    size_mm: float
    length_mm: float


@dataclass(frozen=True)
class SetCase(Case):
    """What is cut in one hit, how wide along the edge and how deep into the plate."""

    cut: SetStroke
    width_mm: float
    depth_mm: float
    corner_radius_mm: float = 0.0

    @cached_property
    def force_n(self) -> float:
        """The force of a flat blade over the whole cut."""
        return self.force_over_n(self.cut.length_mm)

    @cached_property
    def adverse_force_n(self) -> float | None:
        """The force of a flat blade in the adverse plate; None without one."""
        plate = self.adverse
        if plate is None:
            return None
        return force.punching_force_n(self.cut.length_mm, plate.thickness_mm, plate.shear_mpa)

    def force_over_n(self, cut_mm: float) -> float:
        """The force of a flat blade over a length of cut."""
        return force.punching_force_n(cut_mm, self.plate.thickness_mm, self.strength.shear_mpa)

    @cached_property
    def tolerance_mm(self) -> float:
        """What counts as the same size."""
        return self.rules.number("size.tolerance_mm")
