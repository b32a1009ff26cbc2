"""A Weibull life whose scale and shape are known."""

from __future__ import annotations

from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.life.weibull import (
    chance_dull_within,
    hazard_per_stroke,
    mean_strokes,
    share_sharp,
    strokes_at_share,
)

_SCALES = st.floats(min_value=100.0, max_value=1e6)
_SHAPES = st.floats(min_value=0.8, max_value=6.0)


@pytest.mark.parametrize("shape", [0.8, 1.0, 2.5, 6.0])
def test_63_percent_are_dull_at_the_scale(shape: float) -> None:
    assert share_sharp(9000.0, 9000.0, shape) == pytest.approx(exp(-1))
    assert share_sharp(0.0, 9000.0, shape) == 1.0


@pytest.mark.parametrize(("shape", "of_scale"), [(2.5, 0.41), (3.0, 0.47)])
def test_10_percent_are_dull_well_before_the_scale(shape: float, of_scale: float) -> None:
    assert strokes_at_share(0.1, 1.0, shape) == pytest.approx(of_scale, abs=0.005)


@pytest.mark.parametrize(
    ("shape", "of_scale"), [(1.0, 1.0), (2.0, 0.886226925), (2.5, 0.88726), (0.5, 2.0)]
)
def test_the_mean(shape: float, of_scale: float) -> None:
    assert mean_strokes(1000.0, shape) == pytest.approx(1000 * of_scale, rel=1e-5)


def test_at_shape_1_wear_does_not_matter() -> None:
    fresh = chance_dull_within(0.0, 500.0, 9000.0, 1.0)
    assert chance_dull_within(8000.0, 500.0, 9000.0, 1.0) == pytest.approx(fresh)
    assert hazard_per_stroke(8000.0, 9000.0, 1.0) == pytest.approx(1 / 9000)


@given(_SCALES, _SHAPES, st.floats(min_value=0.001, max_value=0.999))
def test_the_count_at_a_share_leaves_the_rest_sharp(
    scale: float, shape: float, share: float
) -> None:
    strokes = strokes_at_share(share, scale, shape)
    assert share_sharp(strokes, scale, shape) == pytest.approx(1 - share, rel=1e-9)


@given(_SCALES, _SHAPES, st.floats(0.01, 1.5), st.floats(0.0, 1.5))
def test_the_chance_is_one_less_the_sharp_then_over_the_sharp_now(
    scale: float, shape: float, worn: float, on: float
) -> None:
    wear, more = worn * scale, on * scale
    expected = 1 - share_sharp(wear + more, scale, shape) / share_sharp(wear, scale, shape)
    assert chance_dull_within(wear, more, scale, shape) == pytest.approx(expected, abs=1e-9)


@given(_SCALES, _SHAPES, st.floats(min_value=0.05, max_value=2.0))
def test_the_hazard_is_the_slope_of_the_sharp_share(
    scale: float, shape: float, of_scale: float
) -> None:
    strokes, step = of_scale * scale, of_scale * scale * 1e-5
    sharp = [share_sharp(strokes + step * side, scale, shape) for side in (-1, 1)]
    slope = (log(sharp[0]) - log(sharp[1])) / (2 * step)
    assert hazard_per_stroke(strokes, scale, shape) == pytest.approx(slope, rel=1e-4)


@pytest.mark.parametrize(
    ("scale", "shape", "message"), [(0.0, 2.5, "scale=0 must"), (1.0, 0.0, "shape=0 must")]
)
def test_a_life_of_nothing_is_refused(scale: float, shape: float, message: str) -> None:
    with pytest.raises(BadValue, match=message):
        share_sharp(1.0, scale, shape)
    with pytest.raises(BadValue, match=message):
        hazard_per_stroke(1.0, scale, shape)
    with pytest.raises(BadValue, match=message):
        strokes_at_share(0.1, scale, shape)
    with pytest.raises(BadValue, match=message):
        chance_dull_within(1.0, 1.0, scale, shape)
    with pytest.raises(BadValue, match=message):
        mean_strokes(scale, shape)


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_a_share_of_nothing_or_of_all_has_no_count(share: float) -> None:
    with pytest.raises(BadValue, match=r"share_dull=\d must be > 0 and < 1"):
        strokes_at_share(share, 9000.0, 2.5)


def test_strokes_below_zero_are_refused() -> None:
    with pytest.raises(BadValue, match="strokes=-1 must be >= 0"):
        share_sharp(-1.0, 9000.0, 2.5)
    with pytest.raises(BadValue, match="more=-1 must be >= 0"):
        chance_dull_within(1.0, -1.0, 9000.0, 2.5)
    with pytest.raises(BadValue, match="strokes=0 must be > 0"):
        hazard_per_stroke(0.0, 9000.0, 2.5)
