"""Force, stripping and the load of a station."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.metal.force import (
    RULE_80_SHEAR_MPA,
    load,
    load_verdict,
    multiplier_from_tensile,
    punching_force_n,
    rule_80_shear_mpa,
    station_limit_n,
    stripping_force_n,
    tensile_shear_mpa,
)

_LENGTHS = st.floats(min_value=0.1, max_value=500.0)
_STRENGTHS = st.floats(min_value=50.0, max_value=1500.0)
_FORCES = st.floats(min_value=100.0, max_value=1e7)
_MORE = st.floats(min_value=1.001, max_value=3.0)


def test_the_rule_of_80_stands_for_351_mpa() -> None:
    assert pytest.approx(351.147, abs=0.0005) == RULE_80_SHEAR_MPA


@pytest.mark.parametrize(("multiplier", "shear"), [(0.36, 126.413), (1.0, 351.147), (1.9, 667.179)])
def test_the_multiplier_scales_the_shear_strength(multiplier: float, shear: float) -> None:
    assert rule_80_shear_mpa(multiplier) == pytest.approx(shear, abs=0.001)


def test_the_stricter_convention_takes_shear_equal_to_tensile() -> None:
    assert tensile_shear_mpa(448.0) == 448.0


def test_a_certificate_gives_a_multiplier() -> None:
    assert multiplier_from_tensile(450.0) == pytest.approx(0.8 * 450 / 351.147, rel=1e-5)


@given(_LENGTHS, _LENGTHS, _STRENGTHS, _MORE)
def test_more_cut_thickness_or_strength_never_lowers_the_force(
    perimeter: float, thickness: float, shear: float, more: float
) -> None:
    force = punching_force_n(perimeter, thickness, shear)
    assert punching_force_n(perimeter * more, thickness, shear) > force
    assert punching_force_n(perimeter, thickness * more, shear) > force
    assert punching_force_n(perimeter, thickness, shear * more) > force


@pytest.mark.parametrize(("fraction", "force"), [(0.0, 0.0), (0.1, 100.0), (0.3, 300.0)])
def test_stripping_is_a_share_of_the_cut(fraction: float, force: float) -> None:
    assert stripping_force_n(1000.0, fraction) == pytest.approx(force)
    assert stripping_force_n(1000.0) == pytest.approx(200.0)


@pytest.mark.parametrize(("derate", "limit"), [(0.0, 1000.0), (0.15, 850.0), (0.999, 1.0)])
def test_a_derate_lowers_the_limit(derate: float, limit: float) -> None:
    assert station_limit_n(1000.0, derate) == pytest.approx(limit)


@pytest.mark.parametrize("derate", [-0.01, 1.0, 1.5])
def test_a_derate_outside_its_range_is_refused(derate: float) -> None:
    with pytest.raises(BadValue, match=r"derate=.* must be 0 to below 1"):
        station_limit_n(1000.0, derate)


@pytest.mark.parametrize(
    ("share", "verdict"),
    [
        (0.1, "ok"),
        (0.8, "ok"),
        (0.8 + 1e-12, "ok"),
        (0.81, "caution"),
        (1.0, "caution"),
        (1.0 + 1e-12, "caution"),
        (1.001, "refuse"),
    ],
)
def test_the_load_decides_below_at_and_above_each_limit(share: float, verdict: str) -> None:
    assert load_verdict(share) == verdict


@given(_FORCES, _FORCES, _MORE)
def test_a_stronger_station_is_never_loaded_more(force: float, limit: float, more: float) -> None:
    assert load(force, limit * more) < load(force, limit)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_no_force_is_reckoned_from_a_figure_that_is_none(bad: float) -> None:
    with pytest.raises(BadValue, match=r"thickness_mm=.* must be > 0"):
        punching_force_n(pi, bad, 300.0)
    with pytest.raises(BadValue, match=r"tensile_mpa=.* must be > 0"):
        tensile_shear_mpa(bad)
    with pytest.raises(BadValue, match=r"tensile_mpa=.* must be > 0"):
        multiplier_from_tensile(bad)
    with pytest.raises(BadValue, match=r"multiplier=.* must be > 0"):
        rule_80_shear_mpa(bad)
    with pytest.raises(BadValue, match=r"limit_n=.* must be > 0"):
        load(1.0, bad)
    with pytest.raises(BadValue, match=r"load=.* must be > 0"):
        load_verdict(bad)
