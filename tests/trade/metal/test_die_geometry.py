"""The wall of a die, and its growth as it is ground."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.die_geometry import die_growth_mm, die_wall_mm, least_die_wall_mm


@pytest.mark.parametrize(
    ("outside", "diagonal", "wall"), [(50.0, 30.0, 10.0), (50.0, 50.0, 0.0), (50.0, 52.0, -1.0)]
)
def test_the_wall_is_half_of_what_the_opening_leaves(
    outside: float, diagonal: float, wall: float
) -> None:
    assert die_wall_mm(outside, diagonal) == wall


@pytest.mark.parametrize(
    ("thickness", "wall"), [(3.0, 5.0), (6.35, 5.0), (6.35 + 1e-12, 5.0), (6.4, 6.0), (20.0, 6.0)]
)
def test_thicker_plate_needs_the_thicker_wall(thickness: float, wall: float) -> None:
    assert least_die_wall_mm(thickness) == wall


def test_a_shop_sets_its_own_walls() -> None:
    assert least_die_wall_mm(8.0, 4.0, 7.0, 10.0) == 4.0
    assert least_die_wall_mm(12.0, 4.0, 7.0, 10.0) == 7.0


@pytest.mark.parametrize(
    ("ground", "relief", "growth"),
    [
        (0.0, 1.0, 0.0),
        (3.0, 1.0, 0.0),
        (4.0, 0.25, 0.009),
        (4.0, 0.5, 0.017),
        (4.0, 1.0, 0.035),
        (4.0, 1.5, 0.052),
        (4.0, 0.0, 0.0),
    ],
)
def test_a_die_grows_only_below_its_land(ground: float, relief: float, growth: float) -> None:
    assert die_growth_mm(ground, 3.0, relief) == pytest.approx(growth, abs=0.0005)


@given(
    st.floats(min_value=0, max_value=10),
    st.floats(min_value=0, max_value=10),
    st.floats(min_value=0, max_value=5),
    st.floats(min_value=0, max_value=2),
)
def test_grinding_more_never_narrows_a_die(
    ground: float, more: float, land: float, relief: float
) -> None:
    assert die_growth_mm(ground + more, land, relief) >= die_growth_mm(ground, land, relief)


@pytest.mark.parametrize("relief", [-0.1, 45.0, float("nan")])
def test_a_relief_that_is_none_is_refused(relief: float) -> None:
    with pytest.raises(BadValue, match=r"relief_deg=.* must be 0 to below 45"):
        die_growth_mm(1.0, 3.0, relief)


def test_lengths_that_are_none_are_refused() -> None:
    with pytest.raises(BadValue, match=r"ground_mm=-1 must be >= 0"):
        die_growth_mm(-1.0, 3.0, 1.0)
    with pytest.raises(BadValue, match=r"die_outside_mm=0 must be > 0"):
        die_wall_mm(0.0, 10.0)
    with pytest.raises(BadValue, match=r"thickness_mm=0 must be > 0"):
        least_die_wall_mm(0.0)
