"""The word for an edge, below, at and above each limit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.life.edge_state import EdgeState, edge_state


@pytest.mark.parametrize(
    ("used", "grinds_left", "state"),
    [
        (0.0, None, "sharp"),
        (0.699, 0, "sharp"),
        (0.70, 3, "dulling"),
        (0.701, None, "dulling"),
        (0.70, 0, "spent"),
        (0.999, 1, "dulling"),
        (1.0, 1, "dull"),
        (1.0, None, "dull"),
        (1.5, 1, "dull"),
        (1.5, 0, "spent"),
    ],
)
def test_the_state_follows_the_share_used_and_the_grinds_left(
    used: float, grinds_left: int | None, state: EdgeState
) -> None:
    assert edge_state(used, grinds_left=grinds_left) == state


def test_a_share_that_went_through_a_division_is_still_at_its_limit() -> None:
    assert edge_state(2100 / 3000) == "dulling"


@given(st.floats(0, 3), st.floats(0, 3))
def test_more_wear_never_makes_an_edge_sharper(one: float, other: float) -> None:
    order = ("sharp", "dulling", "dull")
    less, more = sorted((one, other))
    assert order.index(edge_state(less)) <= order.index(edge_state(more))


@pytest.mark.parametrize(
    ("used", "plan", "dull", "grinds_left", "said"),
    [
        (-0.1, 0.7, 1.0, None, "used=-0.1 must be >= 0"),
        (0.5, 0.0, 1.0, None, "plan=0 must be > 0"),
        (0.5, 1.1, 1.0, None, "plan=1.1 must be at most dull=1"),
        (0.5, 0.7, 1.0, -1, "grinds_left=-1 must be >= 0"),
    ],
)
def test_figures_that_mean_nothing_are_refused(
    used: float, plan: float, dull: float, grinds_left: int | None, said: str
) -> None:
    with pytest.raises(BadValue, match=said):
        edge_state(used, plan, dull, grinds_left)
