"""Round punches as the textbooks ask of them, by the formulas of any outline."""

from __future__ import annotations

from crib.trade.metal.force import punching_force_n
from crib.trade.metal.punch_strength import punch_stress_mpa
from crib.trade.metal.shapes import Outline, area_mm2, perimeter_mm


def round_punch_stress_mpa(diameter_mm: float, thickness_mm: float, shear_mpa: float) -> float:
    """The compressive stress in a round punch."""
    outline = Outline("round", diameter_mm, diameter_mm)
    force_n = punching_force_n(perimeter_mm(outline), thickness_mm, shear_mpa)
    return punch_stress_mpa(force_n, area_mm2(outline))


def least_round_hole_mm(thickness_mm: float, shear_mpa: float, allowable_mpa: float) -> float:
    """The hole at which the stress, which falls as the hole grows, is the allowable one."""
    return round_punch_stress_mpa(1.0, thickness_mm, shear_mpa) / allowable_mpa


def thickest_plate_mm(diameter_mm: float, shear_mpa: float, allowable_mpa: float) -> float:
    """The plate at which the stress, which grows with the plate, is the allowable one."""
    return allowable_mpa / round_punch_stress_mpa(diameter_mm, 1.0, shear_mpa)
