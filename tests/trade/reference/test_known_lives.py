"""A Weibull life whose scale and shape are known."""

from __future__ import annotations

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.reference.known_lives import share_sharp, strokes_at_share

_SCALES = st.floats(min_value=100.0, max_value=1e6)
_SHAPES = st.floats(min_value=0.8, max_value=6.0)


@pytest.mark.parametrize("shape", [0.8, 1.0, 2.5, 6.0])
def test_63_percent_are_dull_at_the_scale(shape: float) -> None:
    assert share_sharp(9000.0, 9000.0, shape) == pytest.approx(exp(-1))
    assert share_sharp(0.0, 9000.0, shape) == 1.0


@pytest.mark.parametrize(("shape", "of_scale"), [(2.5, 0.41), (3.0, 0.47)])
def test_10_percent_are_dull_well_before_the_scale(shape: float, of_scale: float) -> None:
    assert strokes_at_share(0.1, 1.0, shape) == pytest.approx(of_scale, abs=0.005)


@given(_SCALES, _SHAPES, st.floats(min_value=0.001, max_value=0.999))
def test_the_count_at_a_share_leaves_the_rest_sharp(
    scale: float, shape: float, share: float
) -> None:
    strokes = strokes_at_share(share, scale, shape)
    assert share_sharp(strokes, scale, shape) == pytest.approx(1 - share, rel=1e-9)


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_a_share_of_nothing_or_of_all_has_no_count(share: float) -> None:
    with pytest.raises(BadValue, match=r"share_dull=\d must be > 0 and < 1"):
        strokes_at_share(share, 9000.0, 2.5)


@pytest.mark.parametrize(
    ("scale", "shape", "message"), [(0.0, 2.5, "scale=0 must"), (1.0, 0.0, "shape=0 must")]
)
def test_a_life_of_nothing_is_refused(scale: float, shape: float, message: str) -> None:
    with pytest.raises(BadValue, match=message):
        share_sharp(1.0, scale, shape)
    with pytest.raises(BadValue, match=message):
        strokes_at_share(0.1, scale, shape)


def test_strokes_below_zero_are_refused() -> None:
    with pytest.raises(BadValue, match="strokes=-1 must be >= 0"):
        share_sharp(-1.0, 9000.0, 2.5)
