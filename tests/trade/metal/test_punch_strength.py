"""Stress in the punch, and hole against thickness."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.punch_strength import (
    hole_ratio,
    punch_stress_mpa,
    ratio_verdict,
    stress_verdict,
)
from tests.trade.round_punches import round_punch_stress_mpa

_LENGTHS = st.floats(min_value=1.0, max_value=100.0)
_STRENGTHS = st.floats(min_value=50.0, max_value=1500.0)
_MORE = st.floats(min_value=1.001, max_value=3.0)


@given(_LENGTHS, _LENGTHS, _STRENGTHS)
def test_the_stress_in_a_round_punch_is_the_textbooks(
    diameter: float, thickness: float, shear: float
) -> None:
    """Singer and Pytel, Strength of Materials, Problem 116: sigma = 4 tau t / d."""
    stress = 4 * shear * thickness / diameter
    assert round_punch_stress_mpa(diameter, thickness, shear) == pytest.approx(stress)


@given(_LENGTHS, _LENGTHS, _STRENGTHS, _MORE)
def test_stress_rises_with_plate_and_falls_with_hole(
    diameter: float, thickness: float, shear: float, more: float
) -> None:
    stress = round_punch_stress_mpa(diameter, thickness, shear)
    assert round_punch_stress_mpa(diameter, thickness * more, shear) > stress
    assert round_punch_stress_mpa(diameter, thickness, shear * more) > stress
    assert round_punch_stress_mpa(diameter * more, thickness, shear) < stress


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


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_nothing_is_reckoned_from_a_figure_that_is_none(bad: float) -> None:
    with pytest.raises(BadValue, match=r"area_mm2=.* must be > 0"):
        punch_stress_mpa(1.0, bad)
    with pytest.raises(BadValue, match=r"narrowest_mm=.* must be > 0"):
        hole_ratio(bad, 1.0)
    with pytest.raises(BadValue, match=r"least=.* must be > 0"):
        ratio_verdict(1.0, bad)
    with pytest.raises(BadValue, match=r"stress_mpa=.* must be > 0"):
        stress_verdict(bad, 1380.0, 1655.0)
