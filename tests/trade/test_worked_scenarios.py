"""Scenarios of the shop floor, worked by hand, through several formulas at once."""

from __future__ import annotations

from math import pi

import pytest

from crib.trade.metal.clearance import (
    chart_step,
    clearance_verdict,
    percent_of_thickness,
    policy_clearance_mm,
    total_clearance_mm,
)
from crib.trade.metal.force import load, load_verdict, punching_force_n, rule_80_shear_mpa
from crib.trade.metal.hole_method import full_size_punching
from crib.trade.metal.materials import find_material
from crib.trade.metal.punch_strength import (
    hole_ratio,
    punch_stress_mpa,
    ratio_verdict,
    stress_verdict,
)
from crib.trade.metal.shapes import Outline, area_mm2, perimeter_mm
from tests.trade.round_punches import round_punch_stress_mpa

_MM = 25.4
_N_PER_US_TON = 8896.443230521
_MPA_PER_KSI = 6.894757293168


def _shear_mpa(material: str) -> float:
    multiplier = find_material(material).multiplier
    assert multiplier is not None
    return rule_80_shear_mpa(multiplier)


def test_a_13_16_hole_in_3_8_a36_on_a_50_us_ton_station() -> None:
    diameter, thickness = 13 / 16 * _MM, 3 / 8 * _MM
    force_n = punching_force_n(pi * diameter, thickness, _shear_mpa("A36"))
    assert force_n / _N_PER_US_TON == pytest.approx(24.4, abs=0.05)
    share = load(force_n, 50 * _N_PER_US_TON)
    assert share == pytest.approx(0.49, abs=0.005)
    assert load_verdict(share) == "ok"
    stress = round_punch_stress_mpa(diameter, thickness, _shear_mpa("A36"))
    assert stress / _MPA_PER_KSI == pytest.approx(94, abs=0.5)


def test_the_same_hole_in_plate_that_runs_strong() -> None:
    force_n = punching_force_n(pi * 13 / 16 * _MM, 3 / 8 * _MM, rule_80_shear_mpa(1.25))
    assert force_n / _N_PER_US_TON == pytest.approx(30.5, abs=0.05)


@pytest.mark.parametrize(("die", "percent"), [(27 / 32, 8.3), (7 / 8, 16.7)])
def test_both_dies_suit_a_13_16_punch_in_3_8(die: float, percent: float) -> None:
    clearance = total_clearance_mm(13 / 16 * _MM, die * _MM)
    thickness = 3 / 8 * _MM
    assert percent_of_thickness(clearance, thickness) == pytest.approx(percent, abs=0.05)
    assert clearance_verdict(clearance, thickness, chart_step(thickness, "inch")) == "ok"


def test_a_5_16_hole_in_3_8_breaks_the_punch_before_the_machine_feels_it() -> None:
    hole, thickness, shear = 5 / 16 * _MM, 3 / 8 * _MM, _shear_mpa("A36")
    ratio = hole_ratio(hole, thickness)
    assert ratio == pytest.approx(0.83, abs=0.005)
    assert ratio_verdict(ratio, 1.0) == "refuse"
    stress = round_punch_stress_mpa(hole, thickness, shear)
    assert stress / _MPA_PER_KSI == pytest.approx(244, abs=0.5)
    assert stress_verdict(stress, 1380.0, 1655.0) == "refuse"
    force_n = punching_force_n(pi * hole, thickness, shear)
    assert force_n / _N_PER_US_TON == pytest.approx(9.4, abs=0.05)


@pytest.mark.parametrize(("punch", "die"), [(7 / 8, 13 / 16), (13 / 16, 13 / 16)])
def test_a_die_not_larger_than_its_punch_is_always_refused(punch: float, die: float) -> None:
    clearance = total_clearance_mm(punch * _MM, die * _MM)
    thickness = 3 / 8 * _MM
    assert clearance_verdict(clearance, thickness, chart_step(thickness, "inch")) == "refuse"


def test_an_m20_hole_in_12_mm_s355() -> None:
    shear = _shear_mpa("S355")
    force_n = punching_force_n(pi * 22, 12, shear)
    assert force_n / 1000 == pytest.approx(335, abs=0.5)
    share = load(force_n, 450_000)
    assert share == pytest.approx(0.74, abs=0.005)
    assert load_verdict(share) == "ok"
    assert round_punch_stress_mpa(22, 12, shear) == pytest.approx(881, abs=0.5)
    clearance = total_clearance_mm(22, 24)
    assert percent_of_thickness(clearance, 12) == pytest.approx(16.7, abs=0.05)
    assert clearance_verdict(clearance, 12, chart_step(12, "metric")) == "ok"
    ruling = full_size_punching(
        "EN 1090-2",
        thickness_mm=12,
        least_hole_mm=22,
        bolt_mm=20,
        yield_mpa=355,
        family="hsla",
        execution_class=2,
    )
    assert ruling.allowed


def test_a_14_mm_hole_in_8_mm_stainless_takes_the_wider_die_for_tool_life() -> None:
    material, shear = find_material("304"), _shear_mpa("304")
    assert punching_force_n(pi * 14, 8, shear) / 1000 == pytest.approx(185, abs=0.5)
    assert round_punch_stress_mpa(14, 8, shear) == pytest.approx(1203, abs=1.5)
    ratio = hole_ratio(14, 8)
    assert ratio == 1.75
    assert ratio_verdict(ratio, material.min_hole_ratio or 0.0) == "ok"
    assert ratio_verdict(ratio, 2.0) == "refuse"
    aim = policy_clearance_mm("tool_life", 8, material.tool_life_clearance_pct, "metric")
    closest = min((14.8, 15.8), key=lambda die: abs(total_clearance_mm(14, die) - aim))
    assert closest == 15.8
    assert percent_of_thickness(total_clearance_mm(14, 15.8), 8) == pytest.approx(22.5)
    assert percent_of_thickness(total_clearance_mm(14, 14.8), 8) == pytest.approx(10)


def test_a_22_by_50_slot_in_10_mm_s275_nearly_fills_a_450_kn_station() -> None:
    outline = Outline("obround", 22, 50)
    force_n = punching_force_n(perimeter_mm(outline), 10, _shear_mpa("S275"))
    assert force_n / 1000 == pytest.approx(439, abs=0.5)
    share = load(force_n, 450_000)
    assert share == pytest.approx(0.98, abs=0.005)
    assert load_verdict(share) == "caution"
    assert stress_verdict(punch_stress_mpa(force_n, area_mm2(outline)), 1380, 1655) == "ok"


@pytest.mark.parametrize(
    ("thickness", "yield_mpa", "limit", "allowed"),
    [(14, 350, 16.0, True), (20, 300, 18.7, False), (10, 400, None, False)],
)
def test_as_4100_rules_by_strength_and_thickness(
    thickness: float, yield_mpa: float, limit: float | None, allowed: bool
) -> None:
    ruling = full_size_punching(
        "AS 4100",
        thickness_mm=thickness,
        least_hole_mm=22,
        bolt_mm=20,
        yield_mpa=yield_mpa,
        family="mild",
        execution_class=None,
    )
    assert ruling.allowed is allowed
    assert ruling.limit_mm == (limit if limit is None else pytest.approx(limit, abs=0.05))
    assert ruling.subpunch is not None
    assert ruling.subpunch.most_mm == pytest.approx(22 - 3)
