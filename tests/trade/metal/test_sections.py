"""Areas of bars and sections."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.sections import (
    angle_area_mm2,
    channel_area_mm2,
    flat_area_mm2,
    rectangular_tube_area_mm2,
    round_bar_area_mm2,
    round_tube_area_mm2,
    square_bar_area_mm2,
)

_SIZES = st.floats(min_value=1.0, max_value=500.0)
_SHARES = st.floats(min_value=0.01, max_value=0.49)


def test_flats_and_bars() -> None:
    assert flat_area_mm2(100.0, 12.0) == 1200.0
    assert square_bar_area_mm2(25.0) == 625.0
    assert round_bar_area_mm2(20.0) == pytest.approx(100 * pi)


@pytest.mark.parametrize(
    ("legs", "thickness", "area"),
    [((75.0, 75.0), 6.0, 864.0), ((100.0, 75.0), 10.0, 1650.0), ((50.0, 6.1), 6.0, 300.6)],
)
def test_an_angle_counts_its_heel_once(
    legs: tuple[float, float], thickness: float, area: float
) -> None:
    assert angle_area_mm2(*legs, thickness) == pytest.approx(area)
    assert angle_area_mm2(legs[1], legs[0], thickness) == pytest.approx(area)


@given(_SIZES, _SIZES, _SHARES)
def test_an_angle_is_its_legs_less_the_corner_they_share(a: float, b: float, share: float) -> None:
    thickness = min(a, b) * share
    two_flats = flat_area_mm2(a, thickness) + flat_area_mm2(b, thickness)
    assert angle_area_mm2(a, b, thickness) == pytest.approx(two_flats - thickness**2)


@given(_SIZES, _SHARES)
def test_a_round_tube_is_a_bar_less_its_bore(outside: float, share: float) -> None:
    wall = outside * share
    bored = round_bar_area_mm2(outside) - round_bar_area_mm2(outside - 2 * wall)
    assert round_tube_area_mm2(outside, wall) == pytest.approx(bored)


@given(_SIZES, _SIZES, _SHARES)
def test_a_rectangular_tube_is_a_flat_less_its_bore(
    width: float, height: float, share: float
) -> None:
    wall = min(width, height) * share
    bored = width * height - (width - 2 * wall) * (height - 2 * wall)
    assert rectangular_tube_area_mm2(width, height, wall) == pytest.approx(bored)


@given(_SIZES, _SIZES, _SHARES)
def test_a_channel_of_one_thickness_is_three_flats_less_two_corners(
    depth: float, flange: float, share: float
) -> None:
    thickness = min(depth, flange) * share
    three_flats = (depth + 2 * flange) * thickness
    area = channel_area_mm2(depth, flange, thickness, thickness)
    assert area == pytest.approx(three_flats - 2 * thickness**2)


@pytest.mark.parametrize("thickness", [50.0, 50.1])
def test_an_angle_without_a_leg_is_refused(thickness: float) -> None:
    with pytest.raises(BadValue, match=r"thickness_mm=50.* must be below the shorter leg, 50 mm"):
        angle_area_mm2(50.0, 75.0, thickness)


@pytest.mark.parametrize("wall", [20.0, 21.0])
def test_a_tube_without_a_bore_is_refused(wall: float) -> None:
    with pytest.raises(BadValue, match=r"wall_mm=2.* must be below half the outside, 20 mm"):
        round_tube_area_mm2(40.0, wall)
    with pytest.raises(BadValue, match=r"wall_mm=2.* must be below half the outside, 20 mm"):
        rectangular_tube_area_mm2(60.0, 40.0, wall)


def test_a_channel_without_a_web_or_flanges_is_refused() -> None:
    with pytest.raises(BadValue, match=r"flange_thickness_mm=50 must be below half the depth"):
        channel_area_mm2(100.0, 50.0, 6.0, 50.0)
    with pytest.raises(BadValue, match=r"web_thickness_mm=50 must be below the flange, 50 mm"):
        channel_area_mm2(100.0, 50.0, 50.0, 8.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_a_size_that_is_none_is_refused(bad: float) -> None:
    with pytest.raises(BadValue, match=r"width_mm=.* must be > 0"):
        flat_area_mm2(bad, 1.0)
    with pytest.raises(BadValue, match=r"leg_b_mm=.* must be > 0"):
        angle_area_mm2(50.0, bad, 5.0)
    with pytest.raises(BadValue, match=r"diameter_mm=.* must be > 0"):
        round_bar_area_mm2(bad)
    with pytest.raises(BadValue, match=r"side_mm=.* must be > 0"):
        square_bar_area_mm2(bad)
    with pytest.raises(BadValue, match=r"wall_mm=.* must be > 0"):
        round_tube_area_mm2(40.0, bad)
    with pytest.raises(BadValue, match=r"height_mm=.* must be > 0"):
        rectangular_tube_area_mm2(40.0, bad, 2.0)
    with pytest.raises(BadValue, match=r"depth_mm=.* must be > 0"):
        channel_area_mm2(bad, 50.0, 6.0, 8.0)
