"""Slow movers: the Poisson sums term by term, and the best rule against every other."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.money.stocking_slow import (
    base_stock_cents,
    base_stock_fill_rate,
    best_base_stock,
    best_slow_rule,
    chance_of,
    chance_up_to,
    expected_backorders,
    least_base_stock,
)

MEANS = st.floats(0.01, 60.0)
LEVELS = st.integers(0, 80)
SHARES = st.floats(0.05, 0.999)
COSTS = st.floats(0.5, 200.0)


@given(LEVELS, MEANS)
def test_the_chances_add_up(count: int, mean: float) -> None:
    summed = sum(chance_of(one, mean) for one in range(count + 1))
    assert chance_up_to(count, mean) == pytest.approx(summed, abs=1e-12)


@given(LEVELS, MEANS)
def test_the_backorders_are_their_sum_term_by_term(level: int, mean: float) -> None:
    summed = sum((one - level) * chance_of(one, mean) for one in range(level, level + 300))
    assert expected_backorders(level, mean) == pytest.approx(summed, abs=1e-9)


def test_nothing_on_the_shelf_lets_all_wait() -> None:
    assert expected_backorders(0, 2.5) == 2.5
    assert expected_backorders(-3, 2.5) == 5.5
    assert chance_up_to(-1, 2.5) == 0.0


@given(SHARES, MEANS)
def test_one_piece_less_would_not_reach_the_fill_rate(share: float, mean: float) -> None:
    level = least_base_stock(share, mean)
    assert base_stock_fill_rate(level, mean) >= share
    assert base_stock_fill_rate(level - 1, mean) < share


@given(SHARES, SHARES, MEANS, st.floats(1.0, 4.0))
def test_more_service_or_a_longer_lead_time_never_needs_fewer(
    one: float, other: float, mean: float, times: float
) -> None:
    low, high = sorted((one, other))
    assert least_base_stock(low, mean) <= least_base_stock(high, mean)
    assert least_base_stock(low, mean) <= least_base_stock(low, mean * times)


@given(COSTS, COSTS, MEANS, LEVELS)
def test_no_other_base_stock_costs_less(
    holding: float, lacking: float, mean: float, other: int
) -> None:
    best = best_base_stock(holding, lacking, mean)
    assert base_stock_cents(other, holding, lacking, mean) >= best.cents - 1e-9


@given(COSTS, st.floats(0.5, 30.0), st.floats(5.0, 200.0), st.floats(0.2, 3.0), st.floats(0.2, 3.0))
def test_no_other_rule_costs_less(
    order: float, holding: float, lacking: float, rate: float, lead: float
) -> None:
    best = best_slow_rule(order, holding, lacking, rate, lead)
    at = {level: base_stock_cents(level, holding, lacking, rate * lead) for level in range(-12, 60)}
    for reorder, quantity in product(range(-12, 20), range(1, 40)):
        levels = range(reorder + 1, reorder + quantity + 1)
        cost = (order * rate + sum(at[level] for level in levels)) / quantity
        assert cost >= best.cents - 1e-9


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_a_certainty_is_refused(share: float) -> None:
    with pytest.raises(BadValue, match="fill_rate="):
        least_base_stock(share, 2.0)


def test_a_size_never_asked_for_is_refused() -> None:
    with pytest.raises(BadValue, match="mean=0 must be > 0"):
        chance_up_to(1, 0.0)


def test_a_negative_count_is_refused() -> None:
    with pytest.raises(BadValue, match="count=-1 must be >= 0"):
        chance_of(-1, 2.0)


def test_large_means_still_come_to_an_end() -> None:
    assert 10_100 < least_base_stock(0.95, 10_000.0) < 10_200


def test_costs_too_far_apart_are_refused() -> None:
    with pytest.raises(BadValue, match="critical_ratio=1 "):
        best_base_stock(1e-9, 1e9, 2.0)
