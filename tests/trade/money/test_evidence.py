"""How much of what was seen is claimed for a year: laws, and figures worked by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.trade.money.evidence import claim_a_year
from crib.trade.money.tool_worth import charge_a_year_cents

DAYS = st.floats(1, 365)
FULL = st.floats(1, 50)
YEARS = st.floats(0.25, 50)


@pytest.mark.parametrize(
    ("times", "days", "full", "claimed"),
    [
        # One shift of a new crib: once over 5 years, not 12 times a year.
        (1, 30, 10, 0.2),
        # Ten shifts of its first month: as if in 90 days, 365 / 90.
        (10, 30, 10, 365 / 90),
        # Half a year: 365 / 180 = 2.028; two of three jobs bear out half of the way from 0.2.
        (2, 180, 3, 0.2 + 0.5 * (365 / 180 - 0.2)),
        (3, 365, 3, 1.0),
        (40, 365, 3, 1.0),
    ],
)
def test_figures_by_hand(times: float, days: float, full: float, claimed: float) -> None:
    assert claim_a_year(times, days, full, 90, 5) == pytest.approx(claimed)


@given(st.integers(1, 60), st.integers(1, 60), DAYS, FULL, DAYS, YEARS)
def test_less_evidence_never_claims_more(
    fewer: int, more: int, days: float, full: float, least: float, years: float
) -> None:
    fewer, more = sorted((fewer, more))
    rate = 365 / max(days, least)
    low = claim_a_year(fewer, days, full, least, years)
    high = claim_a_year(more, days, full, least, years)
    assert low <= high * (1 + 1e-12)
    assert high <= rate * (1 + 1e-12)
    if full > 1:
        assert claim_a_year(1, days, full, least, years) <= 1 / years * (1 + 1e-12)
    assert claim_a_year(full, days, full, least, years) == pytest.approx(rate)


@given(st.integers(0, 10**7), YEARS, st.floats(0, 100))
def test_over_all_its_years_a_tool_costs_its_price_and_half_of_it_kept(
    cents: int, years: float, pct: float
) -> None:
    whole = charge_a_year_cents(cents, years, pct) * years
    assert whole == pytest.approx(cents * (1 + pct * years / 200), abs=years / 2 + 1e-6)
