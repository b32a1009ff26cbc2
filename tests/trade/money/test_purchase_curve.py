"""What another budget would bring, against every purchase tried one after another."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from crib.errors import BadValue
from crib.trade.money.purchase import Offer, PurchaseProblem, Use, counted_purchase
from crib.trade.money.purchase_best import best_purchase
from crib.trade.money.purchase_curve import BudgetPoint, Outside, budget_curve, just_outside
from tests.trade.purchase_drawn import drawn_problem, every_purchase_tried

_PAIR = PurchaseProblem(
    (Use(90, (frozenset({"p", "d"}),)), Use(50, (frozenset({"b"}),))),
    (),
    (
        Offer("p", (("p", 1),), 20),
        Offer("d", (("d", 1),), 30),
        Offer("b", (("b", 1),), 45),
        Offer("dear", (("b", 1),), 60),
    ),
)


@pytest.mark.parametrize("seed", range(10))
def test_each_point_of_the_curve_is_the_best_of_its_budget(seed: int) -> None:
    problem, _budget = drawn_problem(random.Random(seed), 6)
    curve = budget_curve(problem, (300, 20, 80, 80))
    assert [point.budget_cents for point in curve] == [20, 80, 300]
    for point in curve:
        best = every_purchase_tried(problem, point.budget_cents)
        assert (point.spent_cents, point.net_cents, point.proven) == (best.spent, best.net, True)
    assert all(less.net_cents <= more.net_cents for less, more in pairwise(curve))


@pytest.mark.parametrize(
    ("budget", "point"),
    [
        (44, BudgetPoint(44, 0, 0, True)),
        (45, BudgetPoint(45, 45, 5, True)),
        (49, BudgetPoint(49, 45, 5, True)),
        (50, BudgetPoint(50, 50, 40, True)),
        (94, BudgetPoint(94, 50, 40, True)),
        (95, BudgetPoint(95, 95, 45, True)),
    ],
)
def test_a_step_of_the_curve_is_where_the_next_offer_fits(budget: int, point: BudgetPoint) -> None:
    assert budget_curve(_PAIR, (budget,)) == (point,)


def test_a_pair_stands_outside_as_a_pair() -> None:
    outside = just_outside(_PAIR, best_purchase(_PAIR, 46), 46)
    assert outside.next == (Outside((("p", 1), ("d", 1)), 50, 40),)
    assert outside.next[0].net_per_cent == 0.8
    assert (outside.larger_budget_cents, outside.larger.bought) == (51, {"p": 1, "d": 1})
    assert outside.more_net_cents == 35


def test_the_next_offers_come_by_their_net_for_each_cent_and_only_so_many() -> None:
    outside = just_outside(_PAIR, best_purchase(_PAIR, 0), 0)
    assert [one.net_cents for one in outside.next] == [40, 5]
    assert just_outside(_PAIR, best_purchase(_PAIR, 0), 0, most=1).next == outside.next[:1]


def test_nothing_stands_outside_a_budget_for_everything() -> None:
    outside = just_outside(_PAIR, best_purchase(_PAIR, 95), 95)
    assert outside.next == ()
    assert outside.more_net_cents == 0


def test_a_purchase_better_than_the_larger_budgets_is_kept() -> None:
    purchase = counted_purchase(_PAIR, {"p": 1, "d": 1, "b": 1})
    outside = just_outside(_PAIR, purchase, 10)
    assert outside.larger == purchase
    assert outside.more_net_cents == 0


def test_a_budget_below_nothing_has_no_place_on_a_curve() -> None:
    with pytest.raises(BadValue, match="budget_cents=-1 must be >= 0"):
        budget_curve(_PAIR, (-1, 10))


def test_a_curve_of_no_time_is_refused() -> None:
    with pytest.raises(BadValue, match="seconds=0 must be > 0"):
        budget_curve(_PAIR, (10,), seconds=0.0)


@pytest.mark.parametrize("number", ["budget_cents", "more_pct", "most", "seconds"])
def test_what_lies_outside_of_an_impossible_budget_is_refused(number: str) -> None:
    given = {"budget_cents": 10, "more_pct": 10, "most": 1, "seconds": 1, number: -1}
    purchase = best_purchase(_PAIR, 10)
    with pytest.raises(BadValue, match=f"{number}=-1 must be >"):
        just_outside(
            _PAIR,
            purchase,
            given["budget_cents"],
            more_pct=given["more_pct"],
            most=given["most"],
            seconds=given["seconds"],
        )
