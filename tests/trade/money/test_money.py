"""What tooling saves and costs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.money.money import (
    break_even_holes,
    carrying_cost_cents,
    months_of_use,
    reorder_point,
    yearly_value_cents,
)


@pytest.mark.parametrize(
    ("price", "saving", "holes"),
    [(18_000, 125.0, 144), (18_001, 125.0, 145), (0, 125.0, 0), (18_000, 0.0, None), (1, -5, None)],
)
def test_a_pair_pays_for_itself_or_never(price: int, saving: float, holes: int | None) -> None:
    assert break_even_holes(price, saving) == holes


@given(st.integers(min_value=0, max_value=10**7), st.floats(min_value=0.5, max_value=1e4))
def test_break_even_is_the_first_hole_that_pays(price: int, saving: float) -> None:
    holes = break_even_holes(price, saving)
    assert holes is not None
    assert holes * saving >= price * (1 - 1e-6)
    assert (holes - 1) * saving < price


@pytest.mark.parametrize(
    ("pieces", "monthly", "months"), [(2, 10_000.0, 12.0), (0, 10_000.0, 0.0), (2, 0.0, None)]
)
def test_stock_lasts_its_months(pieces: int, monthly: float, months: float | None) -> None:
    assert months_of_use(pieces, 60_000.0, monthly) == months


@pytest.mark.parametrize(
    ("per_day", "lead", "safety", "point"), [(500, 10, 1, 1.1), (0, 10, 1, 1.0), (500, 100, 0, 1.0)]
)
def test_order_again_when_the_lead_time_would_use_up_the_shelf(
    per_day: float, lead: float, safety: float, point: float
) -> None:
    assert reorder_point(per_day, 50_000.0, lead, safety) == pytest.approx(point)


@pytest.mark.parametrize(("months", "cost"), [(0, 0), (6, 1200), (12, 2400), (0.01, 2)])
def test_stock_costs_by_the_month(months: float, cost: int) -> None:
    assert carrying_cost_cents(12_000, months) == cost


def test_a_line_is_worth_what_it_saves_and_spares() -> None:
    assert yearly_value_cents(600, 125.0, 0.1, 15_000, 1.0, 18_000, 3.0) == 70_500
    assert yearly_value_cents(600, 125.0, 0.1, 15_000, 0.0, 18_000, 3.0) == 69_000
    assert yearly_value_cents(0, 125.0, 0.0, 15_000, 1.0, 18_000, 3.0) == -6_000


@pytest.mark.parametrize(("chance", "share"), [(-0.1, 1.0), (1.1, 1.0), (0.5, 1.5)])
def test_a_share_outside_its_range_is_refused(chance: float, share: float) -> None:
    with pytest.raises(BadValue, match=r"(break_chance|uncovered_share)=.* must be 0 to 1"):
        yearly_value_cents(600, 125.0, chance, 15_000, share, 18_000, 3.0)


def test_amounts_that_are_none_are_refused() -> None:
    with pytest.raises(BadValue, match=r"pair_price_cents=-1 must be >= 0"):
        break_even_holes(-1, 125.0)
    with pytest.raises(BadValue, match=r"life_strokes=0 must be > 0"):
        months_of_use(1, 0.0, 1.0)
    with pytest.raises(BadValue, match=r"life_strokes=0 must be > 0"):
        reorder_point(1.0, 0.0, 1.0, 1.0)
    with pytest.raises(BadValue, match=r"months=-1 must be >= 0"):
        carrying_cost_cents(100, -1.0)
    with pytest.raises(BadValue, match=r"expected_years=0 must be > 0"):
        yearly_value_cents(1, 1.0, 0.1, 1, 1.0, 1, 0.0)
