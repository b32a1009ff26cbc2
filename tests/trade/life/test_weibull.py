"""The chance of a Weibull life whose scale and shape are known."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.life.weibull import chance_dull_within
from crib.trade.reference.known_lives import share_sharp

_SCALES = st.floats(min_value=100.0, max_value=1e6)
_SHAPES = st.floats(min_value=0.8, max_value=6.0)


def test_at_shape_1_wear_does_not_matter() -> None:
    fresh = chance_dull_within(0.0, 500.0, 9000.0, 1.0)
    assert chance_dull_within(8000.0, 500.0, 9000.0, 1.0) == pytest.approx(fresh)


@given(_SCALES, _SHAPES, st.floats(0.01, 1.5), st.floats(0.0, 1.5))
def test_the_chance_is_one_less_the_sharp_then_over_the_sharp_now(
    scale: float, shape: float, worn: float, on: float
) -> None:
    wear, more = worn * scale, on * scale
    expected = 1 - share_sharp(wear + more, scale, shape) / share_sharp(wear, scale, shape)
    assert chance_dull_within(wear, more, scale, shape) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("scale", "shape", "message"), [(0.0, 2.5, "scale=0 must"), (1.0, 0.0, "shape=0 must")]
)
def test_a_life_of_nothing_is_refused(scale: float, shape: float, message: str) -> None:
    with pytest.raises(BadValue, match=message):
        chance_dull_within(1.0, 1.0, scale, shape)


def test_strokes_below_zero_are_refused() -> None:
    with pytest.raises(BadValue, match="wear=-1 must be >= 0"):
        chance_dull_within(-1.0, 1.0, 9000.0, 2.5)
    with pytest.raises(BadValue, match="more=-1 must be >= 0"):
        chance_dull_within(1.0, -1.0, 9000.0, 2.5)
