"""The best use of a budget: how soon it is proven, and how near the bound a large one comes.

All time is the processor's, also the time that a search is given, so that other work on the machine
takes nothing from it. Two programs that share a core still take up to twice as long of it: the
limits below hold then too.

What stays open is a large shop whose uses take any tools at all. To net the most with a budget is
there to find the densest part of a random hypergraph, for which no good bound is known that is
soon computed. The relaxed purchase buys a share of everything, and without the budget, at its best
price of money, whole purchases reach the same bound: at a twenty-fourth of all one that spends
70 % of the budget. So no condition without the budget in it can lower that bound, and HiGHS's own
cuts hardly do: it went from 29.95 to 29.89 million at a sixth of all in some 80 s, from 35.25
to 35.10 at a third in 155 s, from 10.556 to 10.546 at a twenty-fourth. Purchases did move: from
24.57 million to 25.39 at a sixth, from 34.55 to 34.84 at a third, from 10.327 to 10.336 at a
twenty-fourth. So of the 2 % at a third 0.75 % were left after 155 s; how much of the 15 % at
a sixth is the bound's own nobody proved.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter, process_time

import pytest

from crib.trade.money.purchase import Purchase, PurchaseProblem
from crib.trade.money.purchase_best import best_purchase
from crib.trade.money.purchase_greedy import greedy_purchase
from tests.bench.purchase_cases import scattered_shop, shop, third_of_all

pytestmark = pytest.mark.bench


def found(
    problem: PurchaseProblem, what: str, part: int, allowed: float = 20.0
) -> tuple[Purchase, float]:
    """The purchase for a third of all or a part of it, and the processor's seconds; printed."""
    budget = third_of_all(problem) // part
    began, worked = perf_counter(), process_time()
    best = best_purchase(problem, budget, seconds=allowed, clock=process_time)
    seconds, work = perf_counter() - began, process_time() - worked
    greedy = greedy_purchase(problem, budget).net_cents
    print(
        f"{what}: {len(problem.offers)} offers, {len(problem.uses)} uses, net {best.net_cents}, "
        f"{best.spent_cents / budget:.0%} spent, gap {gap_of(best):.2%}, "
        f"greedy {1 - greedy / best.net_cents:.2%} below, "
        f"{seconds:.1f} s on the wall, {work:.1f} s of the processor"
    )
    assert best.spent_cents <= budget
    assert greedy <= best.net_cents
    return best, work


def gap_of(best: Purchase) -> float:
    """The share of the bound that may be missing; there has to be a bound."""
    assert best.gap is not None
    return best.gap


@pytest.fixture(scope="module", autouse=True)
def _solver_is_loaded() -> None:
    """What a cold start of the solver takes is not what is measured here."""
    best_purchase(shop(12, 20), third_of_all(shop(12, 20)))


@pytest.mark.parametrize("part", [1, 2, 4, 8])
@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("kind", [shop, scattered_shop])
def test_fifty_offers_and_two_hundred_uses_are_proven_in_two_seconds_at_any_budget(
    kind: Callable[[int, int, int], PurchaseProblem], seed: int, part: int
) -> None:
    """The choice among equals takes what is left; with more time it may take a second more."""
    what = f"{kind.__name__} {seed}, 1/{3 * part} of all"
    best, work = found(kind(50, 200, seed), what, part, allowed=2.0)
    assert best.proven
    assert work <= 2.2


@pytest.mark.parametrize(("part", "gap"), [(1, 0.005), (2, 0.02), (4, 0.02), (8, 0.02)])
@pytest.mark.parametrize("seed", range(2))
def test_five_hundred_offers_come_near_a_true_bound_in_twenty_seconds(
    seed: int, part: int, gap: float
) -> None:
    best, work = found(shop(500, 5_000, seed), f"shop {seed}, 1/{3 * part} of all", part)
    assert gap_of(best) <= gap
    assert work <= 22.0


@pytest.mark.parametrize(("part", "gap"), [(1, 0.015), (2, 0.18), (4, 0.155), (8, 0.025)])
def test_five_hundred_offers_with_scattered_uses_have_a_true_bound_too(
    part: int, gap: float
) -> None:
    """The bound is loose here, as is said at the top."""
    best, work = found(scattered_shop(500, 5_000), f"scattered shop, 1/{3 * part} of all", part)
    assert gap_of(best) <= gap
    assert work <= 22.0
