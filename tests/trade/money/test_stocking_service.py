"""Reorder points under a normal demand: laws, and the best rule against its neighbours."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.money.stocking_policy import (
    ReorderRule,
    StockCosts,
    best_reorder_for,
    best_rule,
    rule_by_economic_order,
    rule_by_order_with_shortages,
    rule_cents_per_year,
    rule_with_penalty,
)
from crib.trade.money.stocking_service import (
    Demand,
    best_stock_level,
    expected_short,
    fill_rate,
    lead_time_demand,
    reorder_for_cycle_service,
    reorder_for_fill_rate,
    rising_root,
    safety_stock,
    stocking_cents,
)

SHARES = st.floats(0.01, 0.999)
MEANS = st.floats(0.5, 500.0)
SDS = st.floats(0.1, 100.0)
RATES = st.floats(0.05, 50.0)


@given(SHARES, SHARES, MEANS, SDS)
def test_more_service_never_lowers_the_reorder_point(
    one: float, other: float, mean: float, sd: float
) -> None:
    low, high = sorted((one, other))
    demand = Demand(mean, sd)
    assert reorder_for_cycle_service(low, demand) <= reorder_for_cycle_service(high, demand)
    few = reorder_for_fill_rate(low, 10.0, demand)
    assert few <= reorder_for_fill_rate(high, 10.0, demand) + 1e-9


@given(st.floats(0.5, 0.999), RATES, RATES, st.floats(0.5, 60.0), st.floats(1.0, 3.0))
def test_a_longer_lead_time_never_lowers_the_reorder_point(
    service: float, mean: float, sd: float, lead_days: float, times: float
) -> None:
    soon = lead_time_demand(mean, sd, lead_days)
    late = lead_time_demand(mean, sd, lead_days * times)
    assert reorder_for_cycle_service(service, soon) <= reorder_for_cycle_service(service, late)
    assert safety_stock(service, soon) <= safety_stock(service, late) + 1e-12


@given(RATES, RATES, st.floats(1.0, 60.0), st.floats(0.1, 20.0))
def test_a_lead_time_that_varies_adds_spread_and_no_mean(
    mean: float, sd: float, lead_days: float, lead_sd: float
) -> None:
    steady, varying = (lead_time_demand(mean, sd, lead_days, each) for each in (0.0, lead_sd))
    assert varying.mean == steady.mean
    assert varying.sd > steady.sd


@given(SHARES, st.floats(0.5, 80.0), MEANS, SDS)
def test_the_fill_rate_of_its_reorder_point_is_the_one_asked_for(
    share: float, quantity: float, mean: float, sd: float
) -> None:
    demand = Demand(mean, sd)
    reorder = reorder_for_fill_rate(share, quantity, demand)
    assert fill_rate(reorder, quantity, demand) == pytest.approx(share, abs=1e-9)


@given(st.floats(0.1, 50.0), st.floats(0.1, 50.0), MEANS, SDS, st.floats(-3.0, 3.0))
def test_no_other_level_costs_less_than_the_best(
    holding: float, lacking: float, mean: float, sd: float, off: float
) -> None:
    demand = Demand(mean, sd)
    best = best_stock_level(holding, lacking, demand)
    assert stocking_cents(best.level + off * sd, holding, lacking, demand) >= best.cents - 1e-9


def test_the_expected_shortage_is_the_mean_of_many_draws() -> None:
    draw = random.Random(7)
    short = [max(0.0, draw.gauss(50.0, 8.0) - 55.0) for _ in range(200_000)]
    assert expected_short(55.0, Demand(50.0, 8.0)) == pytest.approx(sum(short) / 2e5, rel=0.02)


def test_far_out_nothing_is_short_and_far_below_everything_is() -> None:
    demand = Demand(50.0, 8.0)
    assert 0 < expected_short(130.0, demand) < 1e-20
    assert expected_short(-100.0, demand) == pytest.approx(150.0)


COSTS = st.builds(
    StockCosts,
    st.floats(5.0, 500.0),
    st.floats(0.5, 50.0),
    st.floats(5.0, 500.0),
    st.floats(5.0, 2000.0),
)


@given(COSTS, st.floats(5.0, 300.0), st.floats(1.0, 60.0), st.floats(-2.0, 2.0), st.floats(0.5, 2))
def test_no_other_rule_costs_less_than_the_best(
    costs: StockCosts, mean: float, sd: float, off: float, times: float
) -> None:
    demand = Demand(mean, sd)
    best = best_rule(costs, demand)
    least = rule_cents_per_year(best, costs, demand) * (1 - 1e-9)
    other = ReorderRule(best.reorder + off * sd, best.quantity * times)
    for rule in (
        other,
        rule_by_economic_order(costs, demand),
        rule_by_order_with_shortages(costs, demand),
    ):
        assert rule_cents_per_year(rule, costs, demand) >= least


@given(COSTS, st.floats(5.0, 300.0), st.floats(1.0, 60.0))
def test_the_quick_rule_costs_at_most_an_eighth_more(
    costs: StockCosts, mean: float, sd: float
) -> None:
    demand = Demand(mean, sd)
    least = rule_cents_per_year(best_rule(costs, demand), costs, demand)
    quick = rule_cents_per_year(rule_by_order_with_shortages(costs, demand), costs, demand)
    assert quick <= least * 1.125


@given(COSTS, st.floats(5.0, 300.0), st.floats(1.0, 60.0), st.floats(1.0, 9.0))
def test_lacking_that_costs_more_never_lowers_the_reorder_point(
    costs: StockCosts, mean: float, sd: float, times: float
) -> None:
    demand = Demand(mean, sd)
    dear = StockCosts(
        costs.order_cents,
        costs.holding_cents,
        costs.short_cents * times,
        costs.pieces_per_year,
    )
    assert best_reorder_for(50.0, costs, demand) <= best_reorder_for(50.0, dear, demand) + 1e-9


def test_a_penalty_too_small_for_any_stock_is_refused() -> None:
    with pytest.raises(BadValue, match="keeping an order costs 2000, it must be < 100"):
        rule_with_penalty(1000.0, 20.0, 1.0, 100.0, Demand(10.0, 2.0))


def test_a_demand_that_never_varies_is_refused() -> None:
    with pytest.raises(BadValue, match="sd=0 must be > 0"):
        safety_stock(0.95, Demand(10.0, 0.0))


@pytest.mark.parametrize("service", [0.0, 1.0, 1.5])
def test_a_certainty_is_refused(service: float) -> None:
    with pytest.raises(BadValue, match="service="):
        reorder_for_cycle_service(service, Demand(10.0, 2.0))


def test_a_root_is_found_to_the_last_digit() -> None:
    assert rising_root(lambda value: value - 1 / 3, 0.0, 1.0) == pytest.approx(1 / 3, abs=1e-16)
