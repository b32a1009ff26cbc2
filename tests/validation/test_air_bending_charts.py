"""Charts of air bending: *common practice, no source*, as public press-brake charts print it.

US tons a foot are 575 t^2 / V in inches for 60 ksi, kN are 1.42 UTS t^2 L / (1000 V) in mm; the
least flange is 0.7 V, the inside radius V / 6, stainless counts as 1.55 of mild steel.
"""

from __future__ import annotations

import pytest

from crib.trade.metal.bending import (
    AIR_BEND_INCH_575,
    AIR_BEND_METRIC,
    bend_factor,
    bend_force_n,
    inside_radius_mm,
    least_flange_mm,
    vee_opening_mm,
)

_MM = 25.4
_N_PER_US_TON = 8896.443230521
_MPA_PER_KSI = 6.894757293168


@pytest.mark.parametrize(
    ("thickness", "vee", "us_tons_a_foot"),
    [(1 / 4, 2.0, 17.97), (1 / 8, 1.0, 8.98), (3 / 8, 4.0, 20.21), (1 / 4, 1.375, 26.14)],
)
def test_the_inch_chart(thickness: float, vee: float, us_tons_a_foot: float) -> None:
    force_n = bend_force_n(
        60 * _MPA_PER_KSI, 12 * _MM, thickness * _MM, vee * _MM, AIR_BEND_INCH_575
    )
    assert force_n / _N_PER_US_TON == pytest.approx(us_tons_a_foot, abs=0.01)
    assert us_tons_a_foot == pytest.approx(575 * thickness**2 / vee, abs=0.01)


@pytest.mark.parametrize(
    ("tensile_mpa", "thickness_mm", "vee_mm", "kn_a_metre"),
    [(430, 6, 40, 549.5), (450, 3, 24, 239.6), (430, 10, 80, 763.3)],
)
def test_the_metric_chart(
    tensile_mpa: float, thickness_mm: float, vee_mm: float, kn_a_metre: float
) -> None:
    force_n = bend_force_n(tensile_mpa, 1000.0, thickness_mm, vee_mm, AIR_BEND_METRIC)
    assert force_n / 1000 == pytest.approx(kn_a_metre, abs=0.1)


def test_the_three_constants_lie_a_fifth_apart() -> None:
    """1.33 in a textbook, 1.42 and 1.60 in shops; the last is the inch chart at 60 ksi."""
    assert AIR_BEND_METRIC == 1.42
    assert pytest.approx(1.60, abs=0.005) == AIR_BEND_INCH_575


@pytest.mark.parametrize("vee_mm", [16.0, 40.0, 50.8])
def test_flange_and_radius_follow_the_vee(vee_mm: float) -> None:
    assert least_flange_mm(vee_mm) == pytest.approx(0.7 * vee_mm)
    assert inside_radius_mm(vee_mm) == pytest.approx(vee_mm / 6)


@pytest.mark.parametrize(
    ("thickness_mm", "times"), [(1.0, 6), (2.9, 6), (3.1, 8), (8.0, 8), (10.0, 10), (16.0, 12)]
)
def test_the_vee_is_6_to_12_thicknesses_by_steps(thickness_mm: float, times: float) -> None:
    assert vee_opening_mm(thickness_mm) == pytest.approx(times * thickness_mm)


def test_stainless_counts_as_1_55_of_mild_steel() -> None:
    """304 at its 75 ksi least is 1.25 of 60 ksi, and charts take no less than 1.55."""
    assert bend_factor("stainless", 75 * _MPA_PER_KSI) == pytest.approx(1.55)
    assert 1.5 <= bend_factor("stainless", 75 * _MPA_PER_KSI) <= 1.6
