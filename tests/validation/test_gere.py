"""Gere, J. M. and Timoshenko, S. P., Mechanics of Materials, punch example of chapter 1.

From memory; the formulas were read on a public calculator page.
"""

from __future__ import annotations

from math import pi

from crib.trade.metal.force import punching_force_n
from crib.trade.metal.punch_strength import punch_stress_mpa
from crib.trade.metal.shapes import Outline, area_mm2
from tests.validation.published import example


def test_average_shear_stress_in_the_plate_from_memory() -> None:
    shear_mpa = 110_000.0 / punching_force_n(pi * 20.0, 8.0, 1.0)
    assert example("GE-1a").agrees_with(shear_mpa)


def test_compressive_stress_in_the_punch_from_memory() -> None:
    stress_mpa = punch_stress_mpa(110_000.0, area_mm2(Outline("round", 20.0, 20.0)))
    assert example("GE-1b").agrees_with(stress_mpa)
