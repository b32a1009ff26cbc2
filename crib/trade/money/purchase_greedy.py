"""A good purchase at once: the most net for each cent, whole ways and bundles in one step."""

from __future__ import annotations

from crib.trade.common.guards import require_not_negative
from crib.trade.money.purchase import Purchase, PurchaseProblem, counted_purchase
from crib.trade.money.purchase_filling import Filling
from crib.trade.money.purchase_reduced import Reduced


def greedy_purchase(problem: PurchaseProblem, budget_cents: int | None) -> Purchase:
    """A good purchase within a budget, found without a search for the best.

    The move with the most net for each cent is made first: one offer, or the cheapest offers that
    together complete a way. Then offers are dropped and swapped as long as that pays.

    Source: Martello and Toth, Knapsack Problems (greedy by value for each unit of weight, with the
    best single move as the other candidate), from memory.

    Args:
        problem: Uses, stock values and offers [cents].
        budget_cents: What may be spent; ``None`` for no limit [cents].

    Returns:
        The purchase, without a bound [cents].

    Raises:
        BadValue: When the budget is negative.

    Example:
        >>> from crib.trade.money.purchase import Offer, Use
        >>> offers = (Offer("punch", (("p", 1),), 4_000), Offer("die", (("d", 1),), 6_000))
        >>> uses = (Use(25_000, (frozenset({"p", "d"}),)),)
        >>> greedy_purchase(PurchaseProblem(uses, (), offers), 10_000).net_cents
        15000
    """
    if budget_cents is not None:
        require_not_negative(budget_cents=budget_cents)
    reduced = Reduced(problem, budget_cents)
    return counted_purchase(problem, reduced.named(Filling(reduced).greedy()))
