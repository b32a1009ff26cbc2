"""Singer, F. L. and Pytel, A., Strength of Materials, Problems 115 and 116.

Solutions as read on a public review page.
"""

from __future__ import annotations

from math import pi

from crib.trade.metal.force import punching_force_n
from tests.trade.round_punches import least_round_hole_mm, thickest_plate_mm
from tests.validation.published import example

_MM = 25.4
_MPA_PER_KSI = 6.894757293168


def test_problem_115_force_to_punch_a_hole() -> None:
    assert example("S-1").agrees_with(punching_force_n(pi * 20.0, 25.0, 350.0) / 1000)


def test_problem_116_a_thickest_plate() -> None:
    thickness_mm = thickest_plate_mm(2.5 * _MM, 40 * _MPA_PER_KSI, 50 * _MPA_PER_KSI)
    assert example("S-2a").agrees_with(thickness_mm / _MM)


def test_problem_116_b_smallest_hole() -> None:
    hole_mm = least_round_hole_mm(0.25 * _MM, 40 * _MPA_PER_KSI, 50 * _MPA_PER_KSI)
    assert example("S-2b").agrees_with(hole_mm / _MM)
