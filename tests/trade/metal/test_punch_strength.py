"""Stress in the punch, hole against thickness, and the longest punch."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.force import punching_force_n
from crib.trade.metal.punch_strength import (
    hole_ratio,
    least_round_hole_mm,
    longest_unguided_punch_mm,
    punch_stress_mpa,
    ratio_verdict,
    round_punch_stress_mpa,
    stress_verdict,
    thickest_plate_mm,
)
from crib.trade.metal.shapes import Outline, area_mm2, perimeter_mm

_LENGTHS = st.floats(min_value=1.0, max_value=100.0)
_STRENGTHS = st.floats(min_value=50.0, max_value=1500.0)
_MORE = st.floats(min_value=1.001, max_value=3.0)


@given(_LENGTHS, _LENGTHS, _STRENGTHS)
def test_the_short_formula_for_a_round_punch_is_force_over_area(
    diameter: float, thickness: float, shear: float
) -> None:
    outline = Outline("round", diameter, diameter)
    force = punching_force_n(perimeter_mm(outline), thickness, shear)
    stress = punch_stress_mpa(force, area_mm2(outline))
    assert round_punch_stress_mpa(diameter, thickness, shear) == pytest.approx(stress)


@given(_LENGTHS, _LENGTHS, _STRENGTHS, _MORE)
def test_stress_rises_with_plate_and_falls_with_hole(
    diameter: float, thickness: float, shear: float, more: float
) -> None:
    stress = round_punch_stress_mpa(diameter, thickness, shear)
    assert round_punch_stress_mpa(diameter, thickness * more, shear) > stress
    assert round_punch_stress_mpa(diameter, thickness, shear * more) > stress
    assert round_punch_stress_mpa(diameter * more, thickness, shear) < stress


@given(_LENGTHS, _STRENGTHS, _STRENGTHS)
def test_least_hole_and_thickest_plate_are_two_sides_of_one_rule(
    thickness: float, shear: float, allowable: float
) -> None:
    least = least_round_hole_mm(thickness, shear, allowable)
    assert thickest_plate_mm(least, shear, allowable) == pytest.approx(thickness)
    assert round_punch_stress_mpa(least, thickness, shear) == pytest.approx(allowable)


@pytest.mark.parametrize(
    ("hole", "thickness", "least", "verdict"),
    [
        (7.9375, 9.525, 1.0, "refuse"),
        (9.525, 9.525, 1.0, "ok"),
        (10.0, 9.525, 1.0, "ok"),
        (14.0, 8.0, 1.33, "ok"),
        (14.0, 8.0, 2.0, "refuse"),
    ],
)
def test_a_hole_thinner_than_its_ratio_is_refused(
    hole: float, thickness: float, least: float, verdict: str
) -> None:
    assert ratio_verdict(hole_ratio(hole, thickness), least) == verdict


@pytest.mark.parametrize(
    ("stress", "verdict"),
    [
        (100.0, "ok"),
        (1380.0, "ok"),
        (1381.0, "caution"),
        (1655.0, "caution"),
        (1656.0, "refuse"),
    ],
)
def test_the_stress_decides_below_at_and_above_each_limit(stress: float, verdict: str) -> None:
    assert stress_verdict(stress, 1380.0, 1655.0) == verdict


@pytest.mark.parametrize("ratio", [1.1, 1.25, 3.0])
def test_the_longest_punch_is_the_one_that_just_does_not_buckle(ratio: float) -> None:
    diameter, thickness, shear, elastic = 12 * ratio, 12.0, 345.0, 207_000.0
    length = longest_unguided_punch_mm(diameter, thickness, shear, elastic)
    buckles_at = pi**2 * elastic * (pi * diameter**4 / 64) / length**2
    assert buckles_at == pytest.approx(pi * diameter * thickness * shear)


def test_the_length_formula_is_not_used_for_thin_punches() -> None:
    with pytest.raises(BadValue, match=r"diameter over thickness=1\.09 must be >= 1\.1"):
        longest_unguided_punch_mm(10.9, 10.0, 345.0, 207_000.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_nothing_is_reckoned_from_a_figure_that_is_none(bad: float) -> None:
    with pytest.raises(BadValue, match=r"area_mm2=.* must be > 0"):
        punch_stress_mpa(1.0, bad)
    with pytest.raises(BadValue, match=r"diameter_mm=.* must be > 0"):
        round_punch_stress_mpa(bad, 1.0, 1.0)
    with pytest.raises(BadValue, match=r"allowable_mpa=.* must be > 0"):
        least_round_hole_mm(1.0, 1.0, bad)
    with pytest.raises(BadValue, match=r"allowable_mpa=.* must be > 0"):
        thickest_plate_mm(1.0, 1.0, bad)
    with pytest.raises(BadValue, match=r"narrowest_mm=.* must be > 0"):
        hole_ratio(bad, 1.0)
    with pytest.raises(BadValue, match=r"least=.* must be > 0"):
        ratio_verdict(1.0, bad)
    with pytest.raises(BadValue, match=r"stress_mpa=.* must be > 0"):
        stress_verdict(bad, 1380.0, 1655.0)
    with pytest.raises(BadValue, match=r"elastic_mpa=.* must be > 0"):
        longest_unguided_punch_mm(20.0, 10.0, 345.0, bad)
