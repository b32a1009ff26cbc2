"""What fits a budget, and what a quantity costs."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.desk.buy_budget import EXACT_UP_TO, Parcel, choose
from crib.desk.buy_prices import cheapest
from crib.stock.demand import KindStock, OfferRow

PARCELS = st.builds(Parcel, st.integers(0, 40_000), st.integers(0, 90_000))
BUDGETS = st.integers(0, 200_000)


def pick(parcels: list[Parcel], budget_cents: int) -> list[int]:
    """The parcels bought when each is a thing of its own."""
    return sorted(choose([[one] for one in parcels], budget_cents))


def cost(parcels: list[Parcel], chosen: list[int]) -> int:
    return sum(parcels[place].cost_cents for place in chosen)


def value(parcels: list[Parcel], chosen: list[int]) -> int:
    return sum(parcels[place].value_cents for place in chosen)


def best_by_trying_all(parcels: list[Parcel], budget_cents: int) -> tuple[int, int, int]:
    """Most value, then most parcels, then least cost, of every choice there is."""
    every = [
        list(chosen)
        for size in range(len(parcels) + 1)
        for chosen in combinations(range(len(parcels)), size)
    ]
    return max(
        (value(parcels, one), len(one), -cost(parcels, one))
        for one in every
        if cost(parcels, one) <= budget_cents
    )


@given(st.lists(PARCELS, max_size=10), BUDGETS)
def test_the_choice_is_as_good_as_trying_all(parcels: list[Parcel], budget: int) -> None:
    chosen = pick(parcels, budget)
    found = (value(parcels, chosen), len(chosen), -cost(parcels, chosen))
    assert found == best_by_trying_all(parcels, budget)


@given(st.lists(PARCELS, max_size=60), BUDGETS)
def test_the_choice_is_within_the_budget_and_buys_each_once(
    parcels: list[Parcel], budget: int
) -> None:
    chosen = pick(parcels, budget)
    assert cost(parcels, chosen) <= budget
    assert chosen == sorted(set(chosen))


@given(st.lists(PARCELS, max_size=40), BUDGETS, st.integers(0, 50_000))
def test_more_budget_never_buys_less(parcels: list[Parcel], budget: int, more: int) -> None:
    less = value(parcels, pick(parcels, budget))
    assert value(parcels, pick(parcels, budget + more)) >= less


@given(st.lists(PARCELS, min_size=EXACT_UP_TO + 1, max_size=45), BUDGETS)
def test_of_many_parcels_the_choice_is_no_worse_than_greed_but_for_a_step(
    parcels: list[Parcel], budget: int
) -> None:
    left, greedy = budget, 0
    for one in sorted(parcels, key=lambda one: -one.value_cents / max(one.cost_cents, 1)):
        if one.cost_cents <= left:
            left -= one.cost_cents
            greedy += one.value_cents
    slack = sum(one.value_cents for one in parcels) * len(parcels) / 10_000 + 1
    assert value(parcels, pick(parcels, budget)) >= greedy - slack


def test_greed_would_miss_the_better_pair() -> None:
    parcels = [Parcel(600, 900), Parcel(500, 700), Parcel(500, 700)]
    assert pick(parcels, 1000) == [1, 2]


@pytest.mark.parametrize(("budget", "chosen"), [(999, []), (1000, [0]), (1001, [0])])
def test_the_budget_holds_to_the_cent(budget: int, chosen: list[int]) -> None:
    assert pick([Parcel(1000, 5)], budget) == chosen


def test_what_is_left_buys_lines_without_a_figure_of_their_own() -> None:
    assert pick([Parcel(400, 900), Parcel(300, 0)], 700) == [0, 1]


@given(st.lists(st.lists(PARCELS, min_size=1, max_size=3), max_size=5), BUDGETS)
def test_of_each_list_at_most_one_is_bought_and_the_best(
    lists: list[list[Parcel]], budget: int
) -> None:
    chosen = choose(lists, budget)
    every = product(*([None, *parcels] for parcels in lists))
    bought = [[one for one in some if one is not None] for some in every]
    best = max(
        sum(one.value_cents for one in some)
        for some in bought
        if sum(one.cost_cents for one in some) <= budget
    )
    some = [lists[place][option] for place, option in chosen.items()]
    assert sum(one.cost_cents for one in some) <= budget
    assert sum(one.value_cents for one in some) == best


KIND = KindStock(
    1, "punch", "punch", "round", 20.6375, None, "A", "", "flat", None, None, None, 1, None,
    5000, 7, "own supplier", 0, 0, 0, 0, "", "",
)  # fmt: skip


def offer(
    supplier: str, price_cents: int, from_quantity: int = 1, pack: int = 1, days: int | None = 5
) -> OfferRow:
    return OfferRow(supplier, pack, from_quantity, price_cents, days)


@pytest.mark.parametrize(
    ("offers", "quantity", "bought", "total", "supplier"),
    [
        ([], 2, 2, 10_000, "own supplier"),
        ([offer("one", 4000)], 2, 2, 8_000, "one"),
        ([offer("one", 4000), offer("two", 3900)], 2, 2, 7_800, "two"),
        ([offer("one", 4000), offer("one", 3300, 5)], 4, 4, 16_000, "one"),
        ([offer("one", 4000), offer("one", 3000, 5)], 5, 5, 15_000, "one"),
        ([offer("one", 4000), offer("one", 2900, 5)], 4, 5, 14_500, "one"),
        ([offer("one", 1000, pack=3)], 2, 3, 3_000, "one"),
        ([offer("one", 1000, pack=3)], 3, 3, 3_000, "one"),
        ([offer("one", 1000, 4, pack=3)], 2, 6, 6_000, "one"),
        ([offer("slow", 4000, days=9), offer("swift", 4000, days=2)], 1, 1, 4_000, "swift"),
        ([offer("vague", 4000, days=None), offer("swift", 4000)], 1, 1, 4_000, "swift"),
    ],
)
def test_the_cheapest_way_counts_packs_and_breaks(
    offers: list[OfferRow], quantity: int, bought: int, total: int, supplier: str
) -> None:
    price = cheapest(KIND, offers, quantity, None)
    assert (price.quantity, price.total_cents, price.supplier) == (bought, total, supplier)


def test_a_price_break_does_not_buy_beyond_the_brake() -> None:
    offers = [offer("one", 4000), offer("one", 1000, 5)]
    assert cheapest(KIND, offers, 2, 4).quantity == 2
    assert cheapest(KIND, offers, 2, 5).quantity == 5


def test_a_pack_is_bought_beyond_the_brake_when_nothing_smaller_is_sold() -> None:
    price = cheapest(KIND, [offer("one", 1000, pack=10)], 2, 3)
    assert (price.quantity, price.why) == (10, "2 needed, sold in packs of 10")


def test_no_price_is_not_a_price_of_nothing() -> None:
    price = cheapest(None, [], 1, None)
    assert (price.unit_cents, price.total_cents) == (None, None)
