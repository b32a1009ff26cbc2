"""Die clearance: the chart, the policies and the bands."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.metal.clearance import (
    ClearanceBands,
    ClearanceStep,
    Policy,
    System,
    chart_step,
    clearance_verdict,
    percent_of_thickness,
    policy_clearance_mm,
    total_clearance_mm,
)

_INCH = 25.4
_FAR_STEP = ClearanceStep(50.0, 50.0)
_THICKNESSES = st.floats(min_value=0.5, max_value=40.0)
_SYSTEMS = st.sampled_from(["inch", "metric"])


@pytest.mark.parametrize(
    ("thickness_in", "clearance_in"),
    [
        (0.060, 1 / 64),
        (0.124, 1 / 64),
        (1 / 8, 1 / 32),
        (3 / 8, 1 / 32),
        (0.499, 1 / 32),
        (1 / 2, 1 / 16),
        (0.749, 1 / 16),
        (3 / 4, 3 / 32),
        (1.0, 3 / 32),
        (1.001, 1 / 8),
        (2.0, 1 / 8),
    ],
)
def test_the_inch_chart_steps_below_at_and_above_each_limit(
    thickness_in: float, clearance_in: float
) -> None:
    step = chart_step(thickness_in * _INCH, "inch")
    assert step.low_mm == step.high_mm == pytest.approx(clearance_in * _INCH)


@pytest.mark.parametrize(
    ("thickness", "low", "high"),
    [
        (2.99, 0.3, 0.4),
        (3.0, 0.8, 0.8),
        (11.9, 0.8, 0.8),
        (12.0, 1.5, 2.0),
        (18.9, 1.5, 2.0),
        (19.0, 2.4, 3.0),
        (25.0, 2.4, 3.0),
        (25.1, 3.2, 3.2),
    ],
)
def test_the_metric_chart_steps_below_at_and_above_each_limit(
    thickness: float, low: float, high: float
) -> None:
    assert chart_step(thickness, "metric") == ClearanceStep(low, high)
    assert chart_step(thickness, "metric").middle_mm == pytest.approx((low + high) / 2)


def test_a_thickness_that_lost_a_bit_in_conversion_stays_on_its_step() -> None:
    assert chart_step(12.7 * (1 - 1e-14), "inch") == chart_step(12.7, "inch")
    assert chart_step(25.4 * (1 + 1e-14), "inch") == chart_step(25.4, "inch")


def test_an_unknown_chart_is_refused() -> None:
    with pytest.raises(UnknownName, match="chart 'imperial'; known: inch, metric"):
        chart_step(10.0, "imperial")  # type: ignore[arg-type]


@given(_THICKNESSES, st.floats(min_value=1.0, max_value=3.0), _SYSTEMS)
def test_thicker_plate_never_gets_a_smaller_step(
    thickness: float, more: float, system: System
) -> None:
    thin, thick = chart_step(thickness, system), chart_step(thickness * more, system)
    assert thick.low_mm >= thin.low_mm
    assert thick.high_mm >= thin.high_mm


@given(st.floats(min_value=1, max_value=100), st.floats(min_value=1, max_value=100))
def test_a_bigger_die_never_has_less_clearance(punch: float, die: float) -> None:
    assert total_clearance_mm(punch, die + 0.1) > total_clearance_mm(punch, die)


def test_a_die_smaller_than_its_punch_has_a_negative_clearance() -> None:
    assert total_clearance_mm(22.225, 20.6375) == pytest.approx(-1.5875)


@pytest.mark.parametrize(
    ("policy", "system", "expected"),
    [
        ("clean_hole", "metric", 1.75),
        ("clean_hole", "inch", 0.79375),
        ("tool_life", "metric", 2.16),
        ("tool_life", "inch", 2.16),
    ],
)
def test_each_policy_aims_at_its_own_clearance(
    policy: Policy, system: System, expected: float
) -> None:
    assert policy_clearance_mm(policy, 12.0, 18.0, system) == pytest.approx(expected)


def test_an_unknown_policy_is_refused() -> None:
    with pytest.raises(UnknownName, match="unknown clearance policy 'tight'; known: clean_hole"):
        policy_clearance_mm("tight", 10.0, 15.0, "inch")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("clearance", "verdict"),
    [
        (-1.0, "refuse"),
        (0.0, "refuse"),
        (0.49, "refuse"),
        (0.5, "caution"),
        (0.79, "caution"),
        (0.8, "ok"),
        (2.5, "ok"),
        (2.51, "caution"),
        (4.0, "caution"),
        (4.01, "refuse"),
    ],
)
def test_the_bands_decide_below_at_and_above_each_limit(clearance: float, verdict: str) -> None:
    assert clearance_verdict(clearance, 10.0, _FAR_STEP) == verdict


@pytest.mark.parametrize(
    ("clearance", "verdict"),
    [(0.249, "refuse"), (0.25, "ok"), (0.35, "ok"), (0.45, "ok"), (0.46, "refuse")],
)
def test_the_chart_step_is_ok_whatever_its_percentage(clearance: float, verdict: str) -> None:
    assert clearance_verdict(clearance, 10.0, ClearanceStep(0.3, 0.4)) == verdict


def test_a_chart_step_near_nothing_does_not_save_a_die_of_the_punch_size() -> None:
    assert clearance_verdict(0.0, 0.3, ClearanceStep(0.02, 0.05)) == "refuse"


def test_a_shop_sets_its_own_bands() -> None:
    bands = ClearanceBands(2.0, 4.0, 10.0, 12.0)
    seen = [clearance_verdict(mm, 10.0, _FAR_STEP, bands) for mm in (0.1, 0.3, 0.5, 1.1, 1.3)]
    assert seen == ["refuse", "caution", "ok", "caution", "refuse"]


def test_percentages_need_a_thickness() -> None:
    with pytest.raises(BadValue, match=r"thickness_mm=0 must be > 0"):
        percent_of_thickness(1.0, 0.0)
