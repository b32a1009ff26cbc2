"""What is left of a piece to grind."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.life.grinding import (
    came_back_early,
    entry_after_grinding_mm,
    grinds_left,
    least_length_mm,
    left_to_grind_mm,
)


@pytest.mark.parametrize(
    ("most_total", "stated", "least"), [(3.0, None, 57.0), (5.0, None, 55.0), (3.0, 58.5, 58.5)]
)
def test_the_least_length_is_stated_or_reckoned(
    most_total: float, stated: float | None, least: float
) -> None:
    assert least_length_mm(60.0, most_total, stated) == least


@pytest.mark.parametrize("most_total", [2.0, 3.0])
def test_nothing_may_be_ground_to_nothing(most_total: float) -> None:
    with pytest.raises(BadValue, match=r"most_total_mm=.* must be < new_length_mm=2"):
        least_length_mm(2.0, most_total)


@pytest.mark.parametrize(
    ("length", "left", "grinds"),
    [(50.0, 3.0, 12), (47.3, 0.3, 1), (47.25, 0.25, 1), (47.2, 0.2, 0), (47.0, 0, 0), (46, 0, 0)],
)
def test_only_whole_grinds_are_left(length: float, left: float, grinds: int) -> None:
    assert left_to_grind_mm(length, 47.0) == pytest.approx(left)
    assert grinds_left(length, 47.0, 0.25) == grinds


@pytest.mark.parametrize(("ground", "entry"), [(0.0, 3.0), (1.5, 1.5), (4.0, -1.0)])
def test_entry_falls_one_for_one(ground: float, entry: float) -> None:
    assert entry_after_grinding_mm(3.0, ground) == entry


def test_lengths_that_are_none_are_refused() -> None:
    with pytest.raises(BadValue, match=r"per_grind_mm=0 must be > 0"):
        grinds_left(50.0, 47.0, 0.0)
    with pytest.raises(BadValue, match=r"length_mm=0 must be > 0"):
        left_to_grind_mm(0.0, 47.0)
    with pytest.raises(BadValue, match=r"stated_least_mm=-1 must be > 0"):
        least_length_mm(50.0, 3.0, -1.0)
    with pytest.raises(BadValue, match=r"ground_mm=-1 must be >= 0"):
        entry_after_grinding_mm(3.0, -1.0)


@pytest.mark.parametrize(
    ("wear", "within", "early"),
    [(0.0, 0.2, True), (799.0, 0.2, True), (800.0, 0.2, False), (801.0, 0.2, False)],
)
def test_what_is_back_within_a_share_came_early(wear: float, within: float, early: bool) -> None:
    assert came_back_early(wear, 4000.0, within) == early


def test_what_came_back_has_worn_something_of_an_interval() -> None:
    with pytest.raises(BadValue, match=r"wear=-1 must be >= 0"):
        came_back_early(-1.0, 4000.0)
    with pytest.raises(BadValue, match=r"interval=0 must be > 0"):
        came_back_early(1.0, 0.0)


@given(
    st.floats(min_value=40, max_value=60),
    st.floats(min_value=0, max_value=5),
    st.floats(min_value=0.05, max_value=1),
)
def test_a_longer_piece_never_has_fewer_grinds(length: float, more: float, each: float) -> None:
    assert grinds_left(length + more, 47.0, each) >= grinds_left(length, 47.0, each)
