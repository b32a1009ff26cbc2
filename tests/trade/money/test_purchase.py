"""What a purchase brings, to the cent, and what is no purchase."""

from __future__ import annotations

import pytest

from crib.errors import BadValue, UnknownName
from crib.trade.money.purchase import Offer, PurchaseProblem, Stock, Use, counted_purchase

_PROBLEM = PurchaseProblem(
    uses=(
        Use(500, (frozenset({"punch", "die"}), frozenset({"drill"}))),
        Use(300, (frozenset({"drill"}),)),
        Use(70, ()),
    ),
    stocks=(Stock("punch", (40, 30, 0)), Stock("drill", (10,))),
    offers=(
        Offer("punch", (("punch", 1),), 60, most=5),
        Offer("die", (("die", 1),), 90, charge_cents=30),
        Offer("five", (("punch", 5),), 200, exclusive="punches"),
        Offer("ten", (("punch", 1),), 35, 10, 20, "punches"),
        Offer("set", (("punch", 1), ("drill", 1), ("odd", 4)), 100),
    ),
)


@pytest.mark.parametrize(
    ("bought", "value", "charge", "spent"),
    [
        ({}, 0, 0, 0),
        ({"punch": 1}, 40, 60, 60),
        ({"punch": 1, "die": 1}, 540, 90, 150),
        ({"punch": 2, "die": 1}, 570, 150, 210),
        ({"punch": 3, "die": 1}, 570, 210, 270),
        ({"set": 1}, 850, 100, 100),
        ({"five": 1, "die": 0}, 70, 200, 200),
    ],
)
def test_a_purchase_is_counted_to_the_cent(
    bought: dict[int | str, int], value: int, charge: int, spent: int
) -> None:
    found = counted_purchase(_PROBLEM, bought)
    counted = (found.value_cents, found.charge_cents, found.spent_cents, found.net_cents)
    assert counted == (value, charge, spent, value - charge)
    assert (found.bound_cents, found.gap, found.proven) == (None, None, False)


def test_units_ways_and_useful_pieces_are_told() -> None:
    found = counted_purchase(_PROBLEM, {"set": 1, "five": 1, "die": 1})
    assert found.units == {"die": 1, "punch": 6, "drill": 1, "odd": 4}
    assert found.served == {0: frozenset({"punch", "die"}), 1: frozenset({"drill"})}
    assert found.useful == {"five": (2, 5), "set": (2, 6)}
    assert list(found.bought) == ["die", "five", "set"]


def test_a_bound_that_is_met_is_a_proof() -> None:
    met = counted_purchase(_PROBLEM, {"set": 1}, 750)
    open_still = counted_purchase(_PROBLEM, {"set": 1}, 1000)
    assert (met.proven, met.gap) == (True, 0.0)
    assert (open_still.proven, open_still.gap) == (False, 0.25)


@pytest.mark.parametrize(
    ("bought", "text"),
    [
        ({"punch": 6}, r"offer 'punch': times=6 must be 1 to 5"),
        ({"punch": -1}, r"offer 'punch': times=-1 must be 1 to 5"),
        ({"ten": 9}, r"offer 'ten': times=9 must be 10 to 20"),
        ({"ten": 10, "five": 1}, r"exclusive group in one purchase: 'punches' is given twice"),
    ],
)
def test_what_may_not_be_bought_is_refused(bought: dict[int | str, int], text: str) -> None:
    with pytest.raises(BadValue, match=text):
        counted_purchase(_PROBLEM, bought)


def test_an_offer_of_another_problem_is_refused() -> None:
    with pytest.raises(UnknownName, match="unknown offer 'chisel'; the problem has 5"):
        counted_purchase(_PROBLEM, {"chisel": 1})


def test_a_use_that_is_served_already_is_refused() -> None:
    with pytest.raises(BadValue, match="a way with 0 items"):
        Use(10, (frozenset({"a"}), frozenset()))


def test_a_use_worth_less_than_nothing_is_refused() -> None:
    with pytest.raises(BadValue, match="value_cents=-1 must be >= 0"):
        Use(-1, ())


@pytest.mark.parametrize("margins", [(), (0,), (5, 5, 0), (9, 5)])
def test_spares_may_be_worth_the_same_or_less_and_less(margins: tuple[int, ...]) -> None:
    assert Stock("a", margins).marginal_cents == margins


@pytest.mark.parametrize(
    ("margins", "text"),
    [
        ((5, 6), "item 'a': a unit worth 6 after one worth 5"),
        ((9, 0, 1), "item 'a': a unit worth 1 after one worth 0"),
        ((3, -1), "marginal_cents=-1 must be >= 0"),
    ],
)
def test_spares_worth_more_and_more_are_refused(margins: tuple[int, ...], text: str) -> None:
    with pytest.raises(BadValue, match=text):
        Stock("a", margins)


@pytest.mark.parametrize(
    ("price", "least", "most", "charge", "quantity", "text"),
    [
        (-1, 1, 1, 0, 1, "price_cents=-1 must be >= 0"),
        (1, 0, 1, 0, 1, "least=0 must be > 0"),
        (1, 3, 2, 0, 1, "offer 'a': most=2 must be >= least=3"),
        (1, 1, 1, -1, 1, "charge_cents=-1 must be >= 0"),
        (1, 1, 1, 0, 0, "quantity=0 must be > 0"),
    ],
)
def test_an_impossible_offer_is_refused(
    price: int, least: int, most: int, charge: int, quantity: int, text: str
) -> None:
    with pytest.raises(BadValue, match=text):
        Offer("a", (("a", quantity),), price, least, most, "", charge)


def test_an_offer_names_each_item_once() -> None:
    with pytest.raises(BadValue, match="item in one offer: 'a' is given twice"):
        Offer("a", (("a", 1), ("a", 2)), 1)


def test_a_problem_names_each_offer_and_each_stock_once() -> None:
    offer, stock = Offer("a", (), 1), Stock("a", ())
    with pytest.raises(BadValue, match="offer: 'a' is given twice"):
        PurchaseProblem((), (), (offer, offer))
    with pytest.raises(BadValue, match="item in stock: 'a' is given twice"):
        PurchaseProblem((), (stock, stock), ())
