"""Shears: the force of a flat blade, the mitre, the gap and the wall."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.sections import angle_area_mm2
from crib.trade.metal.shears import (
    blade_gap_mm,
    mitre_width_mm,
    shear_force_n,
    tube_wall_verdict,
)

_THICKNESSES = st.floats(min_value=0.5, max_value=40.0)
_SHARES = st.floats(min_value=0.05, max_value=1.0)


def test_a_section_is_sheared_over_its_area() -> None:
    assert shear_force_n(angle_area_mm2(75.0, 75.0, 6.0), 351.0) == pytest.approx(303_264.0)


@pytest.mark.parametrize(
    ("angle", "width"), [(0.0, 200.0), (30.0, 230.940), (45.0, 282.843), (60.0, 400.0)]
)
def test_a_mitre_is_wider_than_the_stock(angle: float, width: float) -> None:
    """At 45 degrees it is the 283 of M13 of the trade's worked scenarios."""
    assert mitre_width_mm(200.0, angle) == pytest.approx(width, abs=0.0005)


@pytest.mark.parametrize("angle", [-0.1, 90.0, 135.0, float("nan")])
def test_a_mitre_outside_its_range_is_refused(angle: float) -> None:
    with pytest.raises(BadValue, match=r"angle_deg=.* must be 0 to below 90"):
        mitre_width_mm(200.0, angle)


@pytest.mark.parametrize(
    ("thickness", "low", "high"),
    [(1.0, 0.1, 0.1), (1.25, 0.1, 0.1), (1.5, 0.1, 0.12), (2.0, 0.1, 0.16), (12.0, 0.6, 0.96)],
)
def test_the_gap_is_a_share_of_the_thickness_and_never_too_small(
    thickness: float, low: float, high: float
) -> None:
    assert blade_gap_mm(thickness) == pytest.approx((low, high))


@given(_THICKNESSES, _SHARES, _SHARES)
def test_the_low_end_of_the_gap_is_never_above_the_high_end(
    thickness: float, low: float, more: float
) -> None:
    least, most = blade_gap_mm(thickness, 10 * low, 10 * (low + more))
    assert 0.1 <= least <= most


def test_a_gap_the_wrong_way_round_is_refused() -> None:
    with pytest.raises(BadValue, match=r"low_pct=9 must be <= high_pct=8"):
        blade_gap_mm(10.0, low_pct=9.0)


@pytest.mark.parametrize(
    ("wall", "verdict"),
    [(1.19, "refuse"), (1.2, "ok"), (2.0, "ok"), (3.0, "ok"), (3.01, "refuse")],
)
def test_the_wall_decides_below_at_and_above_each_limit(wall: float, verdict: str) -> None:
    assert tube_wall_verdict(wall, 1.2, 3.0) == verdict


def test_wall_limits_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(BadValue, match=r"least_mm=3 must be <= most_mm=2"):
        tube_wall_verdict(2.5, 3.0, 2.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_a_figure_that_is_none_is_refused(bad: float) -> None:
    with pytest.raises(BadValue, match=r"area_mm2=.* must be > 0"):
        shear_force_n(bad, 350.0)
    with pytest.raises(BadValue, match=r"width_mm=.* must be > 0"):
        mitre_width_mm(bad, 45.0)
    with pytest.raises(BadValue, match=r"thickness_mm=.* must be > 0"):
        blade_gap_mm(bad)
    with pytest.raises(BadValue, match=r"wall_mm=.* must be > 0"):
        tube_wall_verdict(bad, 1.0, 2.0)
