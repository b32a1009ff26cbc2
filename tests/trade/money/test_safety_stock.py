"""What is kept for the chance of a lead time's demand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.money.safety_stock import Demand, lead_time_demand, safety_stock

SHARES = st.floats(0.01, 0.999)
MEANS = st.floats(0.5, 500.0)
SDS = st.floats(0.1, 100.0)
RATES = st.floats(0.05, 50.0)


@given(SHARES, SHARES, MEANS, SDS)
def test_more_service_never_lowers_the_safety_stock(
    one: float, other: float, mean: float, sd: float
) -> None:
    low, high = sorted((one, other))
    demand = Demand(mean, sd)
    assert safety_stock(low, demand) <= safety_stock(high, demand)


@given(st.floats(0.5, 0.999), RATES, RATES, st.floats(0.5, 60.0), st.floats(1.0, 3.0))
def test_a_longer_lead_time_never_lowers_the_safety_stock(
    service: float, mean: float, sd: float, lead_days: float, times: float
) -> None:
    soon = lead_time_demand(mean, sd, lead_days)
    late = lead_time_demand(mean, sd, lead_days * times)
    assert soon.mean <= late.mean
    assert safety_stock(service, soon) <= safety_stock(service, late) + 1e-12


@given(RATES, RATES, st.floats(1.0, 60.0), st.floats(0.1, 20.0))
def test_a_lead_time_that_varies_adds_spread_and_no_mean(
    mean: float, sd: float, lead_days: float, lead_sd: float
) -> None:
    steady, varying = (lead_time_demand(mean, sd, lead_days, each) for each in (0.0, lead_sd))
    assert varying.mean == steady.mean
    assert varying.sd > steady.sd


def test_a_demand_that_never_varies_is_refused() -> None:
    with pytest.raises(BadValue, match="sd=0 must be > 0"):
        safety_stock(0.95, Demand(10.0, 0.0))


@pytest.mark.parametrize("service", [0.0, 1.0, 1.5])
def test_a_certainty_is_refused(service: float) -> None:
    with pytest.raises(BadValue, match="service="):
        safety_stock(service, Demand(10.0, 2.0))
