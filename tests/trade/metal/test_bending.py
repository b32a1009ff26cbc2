"""Brake bending: vee, force, radius, flange and allowance."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.metal.bending import (
    AIR_BEND_INCH_575,
    AIR_BEND_METRIC,
    CHART_TENSILE_MPA,
    V_DIE_TEXTBOOK,
    bend_allowance_mm,
    bend_factor,
    bend_force_n,
    flange_verdict,
    inside_radius_mm,
    least_flange_mm,
    vee_factor,
    vee_opening_mm,
)
from crib.trade.metal.force import load, load_verdict
from crib.trade.metal.materials import Family, find_material

_MM = 25.4
_N_PER_US_TON = 2000 * 4.4482216152605
_MPA_PER_KSI = 1000 * 4.4482216152605 / _MM**2
_LENGTHS = st.floats(min_value=1.0, max_value=4000.0)
_THICKNESSES = st.floats(min_value=0.3, max_value=40.0)
_STRENGTHS = st.floats(min_value=50.0, max_value=1500.0)
_MORE = st.floats(min_value=1.001, max_value=3.0)


def test_the_three_constants_are_as_far_apart_as_they_are() -> None:
    assert (V_DIE_TEXTBOOK, AIR_BEND_METRIC) == (1.33, 1.42)
    assert pytest.approx(1.597, abs=0.0005) == AIR_BEND_INCH_575
    assert AIR_BEND_INCH_575 / V_DIE_TEXTBOOK == pytest.approx(1.2, abs=0.002)


def test_the_charts_steel_has_60_ksi() -> None:
    assert pytest.approx(60 * _MPA_PER_KSI, abs=0.0005) == CHART_TENSILE_MPA


@pytest.mark.parametrize(
    ("thickness", "factor"),
    [
        (0.5, 6.0),
        (2.99, 6.0),
        (3.0, 8.0),
        (3.175, 8.0),
        (5 / 16 * _MM, 8.0),
        (8.0, 8.0),
        (8.01, 10.0),
        (3 / 8 * _MM, 10.0),
        (12.0, 10.0),
        (1 / 2 * _MM, 10.0),
        (12.71, 12.0),
        (25.0, 12.0),
    ],
)
def test_the_vee_steps_with_the_thickness(thickness: float, factor: float) -> None:
    assert vee_factor(thickness) == factor
    assert vee_opening_mm(thickness) == pytest.approx(factor * thickness)


@given(_THICKNESSES, _MORE)
def test_thicker_plate_never_has_a_narrower_vee(thickness: float, more: float) -> None:
    assert vee_opening_mm(thickness * more) > vee_opening_mm(thickness)


@given(_STRENGTHS, _LENGTHS, _THICKNESSES, _MORE)
def test_only_a_wider_vee_lowers_the_force(
    tensile: float, length: float, thickness: float, more: float
) -> None:
    vee = vee_opening_mm(thickness)
    force = bend_force_n(tensile, length, thickness, vee)
    assert bend_force_n(tensile * more, length, thickness, vee) > force
    assert bend_force_n(tensile, length * more, thickness, vee) > force
    assert bend_force_n(tensile, length, thickness * more, vee) > force
    assert bend_force_n(tensile, length, thickness, vee * more) < force


def test_575_us_tons_bend_a_foot_of_1_in_plate_over_1_in() -> None:
    force = bend_force_n(60 * _MPA_PER_KSI, 12 * _MM, _MM, _MM, AIR_BEND_INCH_575)
    assert force / _N_PER_US_TON == pytest.approx(575.0)


def test_a_1_in_flange_on_quarter_inch_plate_with_40_us_tons() -> None:
    """I18 of the trade's worked scenarios: one vee is too wide, the other takes too much."""
    assert flange_verdict(1 * _MM, 2 * _MM) == "refuse"
    assert least_flange_mm(2 * _MM) / _MM == pytest.approx(1.4)
    assert flange_verdict(1 * _MM, 1.375 * _MM) == "ok"
    assert least_flange_mm(1.375 * _MM) / _MM == pytest.approx(0.96, abs=0.005)
    force = bend_force_n(60 * _MPA_PER_KSI, 24 * _MM, _MM / 4, 1.375 * _MM, AIR_BEND_INCH_575)
    assert force / _N_PER_US_TON == pytest.approx(52.3, abs=0.05)
    assert load_verdict(load(force, 40 * _N_PER_US_TON)) == "refuse"


def test_a_30_mm_flange_on_6_mm_plate_with_400_kn() -> None:
    """M14 of the trade's worked scenarios: the narrower vee serves, with a caution."""
    assert flange_verdict(30.0, 50.0) == "refuse"
    assert flange_verdict(30.0, 40.0) == "ok"
    force = bend_force_n(430.0, 600.0, 6.0, 40.0)
    assert force / 1000 == pytest.approx(330, abs=0.5)
    assert load(force, 400_000.0) == pytest.approx(0.82, abs=0.005)
    assert load_verdict(load(force, 400_000.0)) == "caution"
    assert inside_radius_mm(40.0) == pytest.approx(6.7, abs=0.05)


@pytest.mark.parametrize(
    ("flange", "verdict"), [(27.99, "refuse"), (28.0, "ok"), (28.01, "ok"), (100.0, "ok")]
)
def test_the_flange_decides_below_at_and_above_its_least(flange: float, verdict: str) -> None:
    assert flange_verdict(flange, 40.0) == verdict


@pytest.mark.parametrize("name", ["3003-H14", "5052-H32", "6061-T6"])
def test_the_tensile_ratio_puts_aluminium_where_the_charts_have_it(name: str) -> None:
    material = find_material(name)
    assert material.tensile_mpa is not None
    assert 0.35 <= bend_factor(material.family, material.tensile_mpa) <= 0.755


@pytest.mark.parametrize(
    ("family", "tensile", "factor"),
    [("stainless", 515.0, 1.55), ("stainless", 827.37, 2.0), ("mild", 413.685, 1.0)],
)
def test_stainless_never_counts_below_its_chart_factor(
    family: Family, tensile: float, factor: float
) -> None:
    assert bend_factor(family, tensile) == pytest.approx(factor)


@pytest.mark.parametrize("family", ["wear_plate", "quenched", "titanium", "brass"])
def test_a_family_that_charts_say_nothing_of_is_refused(family: Family) -> None:
    with pytest.raises(UnknownName, match=rf"no bend factor for {family}; known: mild, hsla"):
        bend_factor(family, 500.0)


@pytest.mark.parametrize(
    ("angle", "radius", "thickness", "allowance"),
    [
        (90.0, 3.99, 2.0, pi / 2 * (3.99 + 0.66)),
        (90.0, 4.0, 2.0, pi / 2 * (4.0 + 1.0)),
        (180.0, 10.0, 2.0, pi * 11.0),
        (90.0, 0.0, 2.0, pi / 2 * 0.66),
    ],
)
def test_the_neutral_line_moves_in_when_the_bend_is_tight(
    angle: float, radius: float, thickness: float, allowance: float
) -> None:
    assert bend_allowance_mm(angle, radius, thickness) == pytest.approx(allowance)


@given(
    st.floats(min_value=1.0, max_value=90.0),
    st.floats(min_value=0.0, max_value=100.0),
    _THICKNESSES,
    st.floats(min_value=1.001, max_value=2.0),
)
def test_a_sharper_turn_or_a_larger_radius_takes_up_more(
    angle: float, radius: float, thickness: float, more: float
) -> None:
    taken = bend_allowance_mm(angle, radius, thickness)
    assert bend_allowance_mm(angle * more, radius, thickness) > taken
    assert bend_allowance_mm(angle, radius * more + 0.1, thickness) > taken


@pytest.mark.parametrize("angle", [0.0, -90.0, 180.1, float("nan")])
def test_a_turn_outside_its_range_is_refused(angle: float) -> None:
    with pytest.raises(BadValue, match=r"angle_deg=.* must be above 0, to 180"):
        bend_allowance_mm(angle, 5.0, 2.0)


def test_a_negative_radius_is_refused() -> None:
    with pytest.raises(BadValue, match=r"inside_radius_mm=-1 must be >= 0"):
        bend_allowance_mm(90.0, -1.0, 2.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_a_figure_that_is_none_is_refused(bad: float) -> None:
    with pytest.raises(BadValue, match=r"thickness_mm=.* must be > 0"):
        vee_opening_mm(bad)
    with pytest.raises(BadValue, match=r"vee_mm=.* must be > 0"):
        bend_force_n(400.0, 100.0, 5.0, bad)
    with pytest.raises(BadValue, match=r"constant=.* must be > 0"):
        bend_force_n(400.0, 100.0, 5.0, 40.0, bad)
    with pytest.raises(BadValue, match=r"vee_mm=.* must be > 0"):
        inside_radius_mm(bad)
    with pytest.raises(BadValue, match=r"flange_mm=.* must be > 0"):
        flange_verdict(bad, 40.0)
    with pytest.raises(BadValue, match=r"tensile_mpa=.* must be > 0"):
        bend_factor("mild", bad)
