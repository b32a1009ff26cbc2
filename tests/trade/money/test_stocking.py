"""Order sizes: laws that hold for any figures, price breaks by brute force, the overstock brake."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue
from crib.trade.money.stocking import (
    Brake,
    PriceBreak,
    economic_order,
    economic_order_with_breaks,
    holding_cents_per_year,
    overstock_brake,
    yearly_cents,
)

COSTS = st.floats(1.0, 1e5)
USE = st.floats(0.1, 1e4)


@given(COSTS, COSTS, USE, st.floats(0.01, 100.0))
def test_no_other_size_costs_less_than_the_economic_order(
    order_cents: float, holding_cents: float, use: float, times: float
) -> None:
    best = economic_order(order_cents, holding_cents, use)
    other = yearly_cents(best.quantity * times, order_cents, holding_cents, use)
    assert other >= best.cents_per_year * (1 - 1e-12)


@st.composite
def offers(draw: st.DrawFn) -> list[PriceBreak]:
    """One to four prices, falling with the quantity."""
    least = sorted(draw(st.sets(st.integers(2, 300), min_size=0, max_size=3)))
    made, price = [], draw(st.floats(50.0, 9000.0))
    for quantity in (1, *least):
        made.append(PriceBreak(quantity, price))
        price *= draw(st.floats(0.6, 0.99))
    return made


@given(st.floats(1.0, 9000.0), st.floats(1.0, 60.0), st.floats(0.5, 400.0), offers())
def test_breaks_give_the_cheapest_of_all_quantities_tried_one_by_one(
    order_cents: float, carrying_pct: float, use: float, breaks: list[PriceBreak]
) -> None:
    best = economic_order_with_breaks(order_cents, carrying_pct, use, breaks)

    def cost(quantity: float) -> float:
        price = [one.price_cents for one in breaks if quantity >= one.from_quantity][-1]
        holding = holding_cents_per_year(price, carrying_pct)
        return price * use + yearly_cents(quantity, order_cents, holding, use)

    tried = [cost(quantity) for quantity in range(1, 600)]
    assert best.cents_per_year == pytest.approx(cost(best.quantity))
    assert best.cents_per_year <= min(tried) * (1 + 1e-12)
    assert best.quantity >= breaks[best.region].from_quantity


@given(st.floats(1.0, 9000.0), st.floats(1.0, 60.0), st.floats(1.0, 400.0), offers())
def test_one_more_break_never_costs_more(
    order_cents: float, carrying_pct: float, use: float, breaks: list[PriceBreak]
) -> None:
    few = economic_order_with_breaks(order_cents, carrying_pct, use, breaks[:1])
    all_of_them = economic_order_with_breaks(order_cents, carrying_pct, use, breaks)
    assert all_of_them.cents_per_year <= few.cents_per_year + 1e-9


@pytest.mark.parametrize(
    ("breaks", "says"),
    [
        ([], "first price must hold from 0 or 1"),
        ([PriceBreak(5, 100.0)], "first price must hold from 0 or 1"),
        ([PriceBreak(1, 0.0)], "price_cents_0=0 must be > 0"),
        ([PriceBreak(1, 100.0), PriceBreak(1, 90.0)], "more pieces at a lower price"),
        ([PriceBreak(1, 100.0), PriceBreak(5, 100.0)], "from 5 at 100 must be more pieces"),
    ],
)
def test_breaks_out_of_order_are_refused(breaks: list[PriceBreak], says: str) -> None:
    with pytest.raises(BadValue, match=says):
        economic_order_with_breaks(800.0, 20.0, 12.0, breaks)


@pytest.mark.parametrize("at", range(3))
def test_an_order_of_nothing_is_refused(at: int) -> None:
    figures = [800.0, 20.0, 12.0]
    figures[at] = 0.0
    with pytest.raises(BadValue, match="must be > 0"):
        economic_order(*figures)


def brake(quantity: int, price: int, *, month: float = 30e3, have: int = 0) -> Brake:
    """Two are needed at 40.00; a piece makes 60,000 strokes."""
    return overstock_brake(
        2, quantity, 4000, price, have=have, life_strokes=60e3, strokes_per_month=month
    )


@pytest.mark.parametrize(
    ("quantity", "price", "allowed", "months", "saving", "carrying"),
    [
        # 4 extra at 39.00 = 156.00; they wait 4 to 12 months, 8 on average: 20 % x 8/12 = 20.80.
        (6, 3900, True, 12.0, 600, 2080),
        # 5 extra at 39.00 = 195.00; 4 to 14 months, 9 on average: 29.25 against 7 x 1.00.
        (7, 3900, False, 14.0, 700, 2925),
        # 7 x 6.00 = 42.00 against 5 x 34.00 = 170.00, 15 % of it.
        (7, 3400, True, 14.0, 4200, 2550),
        (2, 4000, True, 4.0, 0, 0),
    ],
)
def test_twelve_months_use_or_a_price_that_pays(
    quantity: int, price: int, allowed: bool, months: float, saving: int, carrying: int
) -> None:
    assert brake(quantity, price) == Brake(allowed, months, saving, carrying)


def test_what_is_needed_is_never_held_back() -> None:
    assert brake(2, 4000, have=20).allowed


def test_what_is_on_the_shelf_counts_as_stock() -> None:
    assert brake(6, 3900).allowed
    assert not brake(6, 3900, have=1).allowed


def test_a_size_that_is_not_used_is_not_stocked_up() -> None:
    assert brake(3, 1000, month=0.0) == Brake(False, None, 0, 0)
    assert brake(2, 4000, month=0.0).allowed


def test_buying_less_than_is_needed_is_refused() -> None:
    with pytest.raises(BadValue, match="beyond_the_need=-1 must be >= 0"):
        brake(1, 4000)
