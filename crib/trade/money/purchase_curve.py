"""What more or less money would bring, and what a budget just leaves out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.money.purchase import Key, Purchase, PurchaseProblem
from crib.trade.money.purchase_basket import Basket, Move
from crib.trade.money.purchase_best import best_purchase
from crib.trade.money.purchase_filling import Filling
from crib.trade.money.purchase_reduced import Reduced

_PERCENT = 100


@dataclass(frozen=True, slots=True)
class BudgetPoint:
    """What a budget buys: what it spends, what it nets, and whether that is proven."""

    budget_cents: int
    spent_cents: int
    net_cents: int
    proven: bool


@dataclass(frozen=True, slots=True)
class Outside:
    """Offers that would pay on top of a purchase but cost more than is left."""

    offers: tuple[tuple[Key, int], ...]
    price_cents: int
    net_cents: int

    @property
    def net_per_cent(self) -> float:
        """Cents netted for each cent of the price."""
        return self.net_cents / self.price_cents


@dataclass(frozen=True, slots=True)
class JustOutside:
    """The next offers outside a budget, the most net for each cent first, and a larger budget."""

    next: tuple[Outside, ...]
    larger_budget_cents: int
    larger: Purchase
    more_net_cents: int


def budget_curve(
    problem: PurchaseProblem, budgets_cents: Iterable[int], *, seconds: float = 5.0
) -> tuple[BudgetPoint, ...]:
    """What each of some budgets would buy at best; a larger one never nets less.

    Source: common practice (a budget is judged by what the next step of it brings).

    Args:
        problem: Uses, stock values and offers [cents].
        budgets_cents: The budgets, in any order [cents].
        seconds: The longest to look for one budget [s].

    Returns:
        A point for each budget, from the smallest to the largest [cents].

    Raises:
        BadValue: When a budget is negative or the seconds are not above zero.

    Example:
        >>> from crib.trade.money.purchase import Offer, Use
        >>> offers = (Offer("punch", (("p", 1),), 4_000), Offer("blade", (("b", 1),), 6_000))
        >>> uses = (Use(9_000, (frozenset({"p"}),)), Use(8_000, (frozenset({"b"}),)))
        >>> curve = budget_curve(PurchaseProblem(uses, (), offers), (10_000, 5_000))
        >>> [(point.budget_cents, point.spent_cents, point.net_cents) for point in curve]
        [(5000, 4000, 5000), (10000, 10000, 7000)]
    """
    points: list[BudgetPoint] = []
    for budget, found in _from_the_smallest(problem, set(budgets_cents), seconds):
        spent, net = found.spent_cents, found.net_cents
        if points and points[-1].net_cents > net:
            # Only where time ran out: what a smaller budget bought can still be bought.
            spent, net = points[-1].spent_cents, points[-1].net_cents
        points.append(BudgetPoint(budget, spent, net, found.bound_cents == net))
    return tuple(points)


def _from_the_smallest(
    problem: PurchaseProblem, budgets: set[int], seconds: float
) -> list[tuple[int, Purchase]]:
    """The best for each budget; what a larger one did not use up is the best of a smaller too."""
    found: list[tuple[int, Purchase]] = []
    for budget in sorted(budgets, reverse=True):
        known = found[-1][1] if found else None
        if known is None or not known.proven or known.spent_cents > budget:
            known = best_purchase(problem, budget, seconds=seconds)
        found.append((budget, known))
    return found[::-1]


def just_outside(
    problem: PurchaseProblem,
    purchase: Purchase,
    budget_cents: int,
    *,
    more_pct: float = 10.0,
    most: int = 5,
    seconds: float = 5.0,
) -> JustOutside:
    """The next offers that a budget leaves out, and what a little more money would bring.

    The larger budget is solved anew: with it a different purchase may be the best, not only the
    same one and something on top.

    Source: common practice (the order list shows what falls just below the line).

    Args:
        problem: Uses, stock values and offers [cents].
        purchase: What the budget buys [cents].
        budget_cents: The budget [cents].
        more_pct: How much more money to look at, of the budget [%].
        most: How many offers or groups to name [-].
        seconds: The longest to look at the larger budget [s].

    Returns:
        Offers and groups outside with their net for each cent, and the larger budget [cents].

    Raises:
        BadValue: When a number is negative or the seconds are not above zero.

    Example:
        >>> from crib.trade.money.purchase import Offer, Use
        >>> offers = (Offer("punch", (("p", 1),), 4_000), Offer("blade", (("b", 1),), 6_000))
        >>> uses = (Use(9_000, (frozenset({"p"}),)), Use(8_000, (frozenset({"b"}),)))
        >>> problem = PurchaseProblem(uses, (), offers)
        >>> outside = just_outside(problem, best_purchase(problem, 9_500), 9_500)
        >>> outside.next[0].offers, outside.next[0].price_cents, outside.more_net_cents
        ((('blade', 1),), 6000, 2000)
    """
    require_not_negative(budget_cents=budget_cents, more_pct=more_pct, most=most)
    require_positive(seconds=seconds)
    larger_budget = budget_cents + round(budget_cents * more_pct / _PERCENT)
    larger = best_purchase(problem, larger_budget, seconds=seconds)
    if larger.net_cents < purchase.net_cents:
        larger = purchase
    outside = _outside(problem, purchase, budget_cents - purchase.spent_cents)
    more_net = larger.net_cents - purchase.net_cents
    return JustOutside(outside[:most], larger_budget, larger, more_net)


def _outside(problem: PurchaseProblem, purchase: Purchase, left_cents: int) -> tuple[Outside, ...]:
    reduced = Reduced(problem, None)
    at = {offer.key: number for number, offer in enumerate(reduced.offers)}
    basket = Basket(reduced)
    basket.apply(tuple((at[key], times) for key, times in purchase.bought.items() if key in at))
    found = (_named(reduced, basket, move) for move in Filling(reduced).moves(basket))
    dear = [one for one in found if one.net_cents > 0 and one.price_cents > max(0, left_cents)]
    return tuple(sorted(dear, key=lambda one: (-one.net_per_cent, one.price_cents)))


def _named(reduced: Reduced, basket: Basket, move: Move) -> Outside:
    offers = tuple((reduced.offers[number].key, times) for number, times in move)
    return Outside(offers, basket.price(move), basket.gain(move))
