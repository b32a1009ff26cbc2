"""Examination questions on blanking, punching and shearing (GATE ME and PI, and public MCQ pages).

GT-5 to GT-7a are held from memory. GT-2 and GT-3 take a clearance percentage per side and in total:
the keys disagree on the convention, and both are shown. GT-7b asks for the nearest of four options.
"""

from __future__ import annotations

from math import pi

from crib.trade.metal.clearance import policy_clearance_mm
from crib.trade.metal.force import punching_force_n
from crib.trade.reference.face_bevels import bevel_face_force_n, punching_energy_j
from tests.validation.published import Printed, example


def test_gt_1_blanking_force() -> None:
    assert example("GT-1").agrees_with(punching_force_n(pi * 20.0, 1.5, 300.0) / 1000)


def test_gt_2_takes_the_clearance_per_side() -> None:
    assert example("GT-2").agrees_with(
        20.0 - policy_clearance_mm("tool_life", 2.0, 2 * 3.0, "metric")
    )


def test_gt_3_takes_the_clearance_in_total() -> None:
    in_total, each_side = (
        policy_clearance_mm("tool_life", 10.0, percent, "metric") for percent in (6.0, 2 * 6.0)
    )
    assert example("GT-3").agrees_with(30.0 - in_total)
    assert not example("GT-3").agrees_with(30.0 - each_side)


def test_gt_4_energy_with_the_shear_strength_as_printed() -> None:
    force_n = punching_force_n(pi * 50.0, 2.0, 3100.0)
    assert example("GT-4").agrees_with(punching_energy_j(force_n, 2.0, 0.5))


def test_gt_5_gate_pi_2013_from_memory() -> None:
    assert example("GT-5").agrees_with(punching_force_n(pi * 10.0, 2.0, 80.0) / 1000)


def test_gt_6_gate_me_2011_from_memory() -> None:
    assert example("GT-6").agrees_with(punching_force_n(pi * 100.0, 1.5, 300.0) / 1000)


def test_gt_7a_gate_me_2010_energy_of_a_straight_blade_from_memory() -> None:
    force_n = punching_force_n(200.0, 5.0, 100.0)
    assert example("GT-7a").agrees_with(punching_energy_j(force_n, 5.0, 0.2))


def test_gt_7b_gate_me_2010_force_of_a_raked_blade_is_nearest_to_ten() -> None:
    force_n = punching_force_n(200.0, 5.0, 100.0)
    raked_kn = bevel_face_force_n(force_n, 5.0, 10.0, 0.2) / 1000
    assert Printed("9.09").agrees_with(raked_kn)
    assert min((5, 10, 20, 40), key=lambda option: abs(option - raked_kn)) == 10
    assert example("GT-7b").text == "10"
