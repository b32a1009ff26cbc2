"""Every step of what a budget brings, against the best purchase of every budget there is."""

from __future__ import annotations

import random

import pytest

from crib.trade.money.purchase import Offer, PurchaseProblem, Use
from crib.trade.money.purchase_steps import every_step
from tests.trade.purchase_drawn import drawn_problem, every_purchase_tried


@pytest.mark.parametrize("seed", range(25))
def test_the_steps_are_where_another_purchase_becomes_the_best(seed: int) -> None:
    problem, _budget = drawn_problem(random.Random(seed), 6)
    steps = every_step(problem)
    assert steps
    assert steps[0].budget_cents == 0
    at = {step.budget_cents: step for step in steps}
    for budget in sorted({0, 1, 500, *(cents + off for cents in at for off in (-1, 0, 1))}):
        if budget >= 0:
            below = at[max(cents for cents in at if cents <= budget)]
            best = every_purchase_tried(problem, budget)
            assert (below.spent_cents, below.net_cents) == (best.spent, best.net)


def test_too_many_steps_are_not_kept() -> None:
    many = range(12)
    offers = tuple(Offer(f"{n}", ((f"{n}", 1),), 1 << n) for n in many)
    uses = tuple(Use(3 << n, (frozenset({f"{n}"}),)) for n in many)
    problem = PurchaseProblem(uses, (), offers)
    assert len(every_step(problem) or ()) == 1 << 12
    assert every_step(problem, most=4_095) is None
