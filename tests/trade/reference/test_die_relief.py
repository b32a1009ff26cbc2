"""How a die opens as it is ground."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.reference.die_relief import die_growth_mm


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


def test_a_length_that_is_none_is_refused() -> None:
    with pytest.raises(BadValue, match=r"ground_mm=-1 must be >= 0"):
        die_growth_mm(-1.0, 3.0, 1.0)
