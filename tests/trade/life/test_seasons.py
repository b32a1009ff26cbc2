"""How a month differs from the others."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.life.seasons import LEAST_FACTOR, MONTHS, MOST_FACTOR, season_factor

USE = st.lists(st.floats(0, 1e6), min_size=MONTHS, max_size=MONTHS)


def months(**strokes: float) -> list[float]:
    """Two years of 100 strokes a month, but for the months told: m0 is the first, m12 a year on."""
    return [strokes.get(f"m{number}", 100.0) for number in range(MONTHS)]


@pytest.mark.parametrize(
    ("use", "ahead", "factor"),
    [
        (months(), 0, 1.0),
        (months(), 7, 1.0),
        (months(m0=160.0, m12=160.0), 0, 160 / 105),
        (months(m0=160.0, m12=160.0), 12, 160 / 105),
        (months(m0=160.0, m12=160.0), 1, 100 / 105),
        (months(m3=40.0, m15=140.0), 3, 90 / (2380 / 24)),
        (months(m0=0.0, m12=0.0), 0, LEAST_FACTOR),
        (months(m0=900.0, m12=900.0), 0, MOST_FACTOR),
        ([0.0] * MONTHS, 4, 1.0),
    ],
)
def test_a_month_is_set_against_the_mean(use: list[float], ahead: int, factor: float) -> None:
    assert season_factor(use, ahead) == pytest.approx(factor)


@given(USE, st.integers(0, 30))
def test_the_factor_keeps_its_bounds(use: list[float], ahead: int) -> None:
    assert LEAST_FACTOR <= season_factor(use, ahead) <= MOST_FACTOR


@given(st.floats(0.1, 1e6), st.integers(0, 30))
def test_even_use_has_no_season(strokes: float, ahead: int) -> None:
    assert season_factor([strokes] * MONTHS, ahead) == pytest.approx(1.0)


@pytest.mark.parametrize("count", [0, 12, 23, 25])
def test_less_than_two_years_is_refused(count: int) -> None:
    with pytest.raises(BadValue, match=f"{count} months, it must be 24"):
        season_factor([1.0] * count)


def test_strokes_below_nothing_are_refused() -> None:
    with pytest.raises(BadValue, match="least_strokes=-1"):
        season_factor([-1.0] * MONTHS)
