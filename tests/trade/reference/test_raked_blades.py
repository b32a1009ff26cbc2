"""Raked blades: the force of a long and of a short cut, and the lever."""

from __future__ import annotations

from math import atan, degrees

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.force import punching_force_n
from crib.trade.reference.face_bevels import punching_energy_j
from crib.trade.reference.raked_blades import (
    lever_force_n,
    raked_blade_force_n,
    raked_cut_force_n,
)

_SIZES = st.floats(min_value=1.0, max_value=500.0)
_THICKNESSES = st.floats(min_value=0.5, max_value=40.0)
_RAKES = st.floats(min_value=0.1, max_value=20.0)
_SHARES = st.floats(min_value=0.05, max_value=1.0)
_MORE = st.floats(min_value=1.001, max_value=3.0)


def test_the_work_of_a_cut_over_200_by_5_mm() -> None:
    """GT-7a of the public examination questions: 100 J."""
    assert punching_energy_j(punching_force_n(200.0, 5.0, 100.0), 5.0, 0.2) == pytest.approx(100.0)


def test_a_blade_raked_by_20_over_400_mm_is_nearest_to_the_10_kn_of_the_key() -> None:
    """GT-7b: the same cut, whose options are 5, 10, 20 and 40 kN; reckoned, 9.09 kN."""
    force_kn = raked_cut_force_n(100.0, 200.0, 5.0, degrees(atan(20 / 400)), 0.2) / 1000
    assert force_kn == pytest.approx(9.09091, abs=1e-5)
    assert min((5, 10, 20, 40), key=lambda option: abs(option - force_kn)) == 10


@given(_SIZES, _THICKNESSES, _RAKES, _SHARES)
def test_a_rake_never_costs_more_than_a_flat_blade_or_than_the_long_cut(
    width: float, thickness: float, rake: float, share: float
) -> None:
    peak = raked_cut_force_n(350.0, width, thickness, rake, share)
    assert peak <= raked_cut_force_n(350.0, width, thickness, 0.0, share)
    assert peak <= raked_blade_force_n(350.0, thickness, rake, share) * (1 + 1e-9)


@given(_SIZES, _THICKNESSES, _RAKES, _SHARES, _MORE)
def test_more_rake_never_raises_the_force_and_more_width_never_lowers_it(
    width: float, thickness: float, rake: float, share: float, more: float
) -> None:
    peak = raked_cut_force_n(350.0, width, thickness, rake, share)
    assert raked_cut_force_n(350.0, width, thickness, min(44.0, rake * more), share) <= peak
    assert raked_cut_force_n(350.0, width * more, thickness, rake, share) >= peak
    assert raked_cut_force_n(350.0, width, thickness * more, rake, share) >= peak


def test_without_rake_the_blade_cuts_all_at_once() -> None:
    flat = punching_force_n(100.0, 6.0, 350.0)
    assert raked_cut_force_n(350.0, 100.0, 6.0, 0.0) == pytest.approx(flat)


def test_a_very_wide_cut_nears_the_long_cut() -> None:
    wide = raked_cut_force_n(350.0, 1e6, 6.0, 2.0)
    assert wide == pytest.approx(raked_blade_force_n(350.0, 6.0, 2.0), rel=1e-3)


@pytest.mark.parametrize(("rake", "force"), [(0.5, 721_937.0), (2.5, 144_309.0), (10.0, 35_731.0)])
def test_the_long_cut_goes_with_the_square_of_the_thickness(rake: float, force: float) -> None:
    assert raked_blade_force_n(350.0, 6.0, rake) == pytest.approx(force, rel=1e-3)
    assert raked_blade_force_n(350.0, 12.0, rake) == pytest.approx(4 * force, rel=1e-3)


@pytest.mark.parametrize("rake", [45.0, 90.0, float("nan")])
def test_a_rake_that_is_none_is_refused(rake: float) -> None:
    with pytest.raises(BadValue, match=r"rake_deg=.* must be"):
        raked_blade_force_n(350.0, 6.0, rake)
    with pytest.raises(BadValue, match=r"rake_deg=.* must be"):
        raked_cut_force_n(350.0, 100.0, 6.0, rake)


def test_the_long_cut_needs_a_rake() -> None:
    with pytest.raises(BadValue, match=r"rake_deg=0 must be > 0"):
        raked_blade_force_n(350.0, 6.0, 0.0)


@pytest.mark.parametrize("share", [0.0, -0.1, 1.01, float("nan")])
def test_a_penetration_outside_its_range_is_refused(share: float) -> None:
    with pytest.raises(BadValue, match=r"penetration=.* must be above 0, to 1"):
        raked_blade_force_n(350.0, 6.0, 2.0, share)


@pytest.mark.parametrize(
    ("distance", "force"), [(75.0, 800.0), (150.0, 400.0), (300.0, 200.0), (600.0, 100.0)]
)
def test_a_lever_gives_less_the_farther_out(distance: float, force: float) -> None:
    assert lever_force_n(400.0, 150.0, distance) == pytest.approx(force)


@given(_SIZES, _SIZES, _SIZES)
def test_a_lever_keeps_its_moment(reference: float, distance: float, force: float) -> None:
    there = lever_force_n(force, reference, distance)
    assert there * distance == pytest.approx(force * reference)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_a_figure_that_is_none_is_refused(bad: float) -> None:
    with pytest.raises(BadValue, match=r"shear_mpa=.* must be > 0"):
        raked_cut_force_n(bad, 100.0, 6.0, 2.0)
    with pytest.raises(BadValue, match=r"distance_mm=.* must be > 0"):
        lever_force_n(1.0, 1.0, bad)
