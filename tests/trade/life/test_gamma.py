"""The share of a gamma distribution and its inverse, against SciPy's."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import gammainc, gammaincinv
from scipy.stats import poisson

from crib.errors import BadValue
from crib.trade.life.gamma import chance_up_to, gamma_share, gamma_value, require_share

_SHAPES = st.floats(min_value=0.5, max_value=20_000.0)


@given(_SHAPES, st.floats(min_value=0.0, max_value=4.0))
def test_the_share_is_scipys(shape: float, of_mean: float) -> None:
    value = shape * of_mean
    assert gamma_share(shape, value) == pytest.approx(float(gammainc(shape, value)), abs=1e-10)


@given(_SHAPES, st.floats(min_value=0.0005, max_value=0.9995))
def test_the_value_is_scipys(shape: float, share: float) -> None:
    assert gamma_value(shape, share) == pytest.approx(float(gammaincinv(shape, share)), rel=1e-8)


@given(_SHAPES, st.floats(min_value=0.0005, max_value=0.9995))
def test_the_share_below_the_value_of_a_share_is_that_share(shape: float, share: float) -> None:
    assert gamma_share(shape, gamma_value(shape, share)) == pytest.approx(share, abs=1e-9)


@pytest.mark.parametrize(
    ("shape", "value", "share"),
    [(1.0, 0.0, 0.0), (1.0, 0.6931471805599453, 0.5), (4.0, 1e6, 1.0), (4.0, 1e-9, 0.0)],
)
def test_the_share_at_its_ends(shape: float, value: float, share: float) -> None:
    assert gamma_share(shape, value) == pytest.approx(share, abs=1e-15)


@pytest.mark.parametrize(
    ("shape", "value", "message"),
    [(0.0, 1.0, "shape=0 must be > 0"), (1.0, -1.0, "value=-1 must be >= 0")],
)
def test_a_share_that_is_not_one_is_refused(shape: float, value: float, message: str) -> None:
    with pytest.raises(BadValue, match=message):
        gamma_share(shape, value)


@pytest.mark.parametrize("share", [-0.1, 0.0, 1.0, float("nan")])
def test_a_value_for_nothing_or_for_all_is_refused(share: float) -> None:
    with pytest.raises(BadValue, match=r"share=\S+ must be > 0 and < 1"):
        gamma_value(4.0, share)


@given(st.integers(-1, 80), st.floats(0.01, 60.0))
def test_the_chance_of_at_most_so_many_is_scipys(count: int, mean: float) -> None:
    assert chance_up_to(count, mean) == pytest.approx(float(poisson.cdf(count, mean)), abs=1e-12)


def test_what_is_never_asked_for_has_no_chance() -> None:
    with pytest.raises(BadValue, match="mean=0 must be > 0"):
        chance_up_to(1, 0.0)


def test_shares_between_nothing_and_all_pass() -> None:
    require_share(risk=0.001, sure=0.999)
