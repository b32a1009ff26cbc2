"""The best use of a budget: how soon it is proven, and how near the bound a large one comes."""

from __future__ import annotations

from time import perf_counter, process_time

import pytest

from crib.trade.money.purchase import Purchase, PurchaseProblem
from crib.trade.money.purchase_best import best_purchase
from crib.trade.money.purchase_greedy import greedy_purchase
from tests.bench.purchase_cases import scattered_shop, shop, third_of_all

pytestmark = pytest.mark.bench


def found(problem: PurchaseProblem, what: str, part: int = 1) -> tuple[Purchase, float]:
    """The purchase for a third of all or a part of it, and the processor's seconds; printed."""
    budget = third_of_all(problem) // part
    began, worked = perf_counter(), process_time()
    best = best_purchase(problem, budget)
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
    """What a cold start of SciPy takes is not what is measured here."""
    best_purchase(shop(12, 20), third_of_all(shop(12, 20)))


@pytest.mark.parametrize("seed", range(4))
def test_fifty_offers_and_two_hundred_uses_are_proven_in_two_seconds(seed: int) -> None:
    best, work = found(shop(50, 200, seed), f"shop {seed}")
    assert best.proven
    assert work <= 2.0


@pytest.mark.parametrize("part", [1, 2, 4, 8])
@pytest.mark.parametrize("seed", range(4))
def test_uses_without_any_order_in_them_are_proven_at_any_budget(seed: int, part: int) -> None:
    best, work = found(scattered_shop(50, 200, seed), f"scattered shop {seed}, 1/{part}", part)
    assert best.proven
    assert work <= 6.0


@pytest.mark.parametrize("seed", range(3))
def test_half_of_that_money_is_harder_and_proven_too(seed: int) -> None:
    best, _work = found(shop(50, 200, seed), f"shop {seed}, half the money", 2)
    assert best.proven


@pytest.mark.parametrize(("part", "gap"), [(1, 0.006), (2, 0.04), (4, 0.025), (8, 0.025)])
def test_five_hundred_offers_come_near_a_true_bound_in_twenty_seconds(
    part: int, gap: float
) -> None:
    best, work = found(shop(500, 5_000), f"shop 0, 1/{part}", part)
    assert gap_of(best) <= gap
    assert work <= 22.0


@pytest.mark.parametrize(("part", "gap"), [(1, 0.02), (2, 0.18), (4, 0.16), (8, 0.03)])
def test_five_hundred_offers_with_scattered_uses_have_a_true_bound_too(
    part: int, gap: float
) -> None:
    """The relaxation buys shares of every way, so its bound is loose; how loose nobody proved."""
    best, work = found(scattered_shop(500, 5_000), f"scattered shop, 1/{part}", part)
    assert gap_of(best) <= gap
    assert work <= 22.0
