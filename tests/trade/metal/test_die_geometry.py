"""The wall of a die."""

from __future__ import annotations

import pytest

from crib.errors import BadValue
from crib.trade.metal.die_geometry import die_wall_mm, least_die_wall_mm


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


def test_lengths_that_are_none_are_refused() -> None:
    with pytest.raises(BadValue, match=r"die_outside_mm=0 must be > 0"):
        die_wall_mm(0.0, 10.0)
    with pytest.raises(BadValue, match=r"thickness_mm=0 must be > 0"):
        least_die_wall_mm(0.0)
