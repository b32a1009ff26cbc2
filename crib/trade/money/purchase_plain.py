"""The best purchase where there is next to nothing to weigh, without a solver."""

from __future__ import annotations

from itertools import product

from crib.trade.common.guards import require_not_negative
from crib.trade.money.purchase import Purchase, PurchaseProblem, counted_purchase
from crib.trade.money.purchase_basket import Basket, Move
from crib.trade.money.purchase_parts import bought_of, keeps_groups, parts_of, times_of
from crib.trade.money.purchase_reduced import Reduced

# Ways to buy from one group of offers that are looked at one by one.
_FEW = 256


def plain_purchase(problem: PurchaseProblem, budget_cents: int | None) -> Purchase | None:
    """The best purchase when no solver is needed for it; ``None`` when one is.

    None is needed when the offers fall into groups that have nothing to do with each other, when
    each group has so few choices that all can be looked at, and when the best of every group
    together stay within the budget. Nothing worth buying is the simplest case of it.

    Source: common practice (independent parts are solved one by one; a limit that the free best
    keeps does not bind).

    Args:
        problem: Uses, stock values and offers [cents].
        budget_cents: What may be spent; ``None`` for no limit [cents].

    Returns:
        The proven purchase, with ties broken as by ``best_purchase``, or ``None`` [cents].

    Raises:
        BadValue: When the budget is negative.

    Example:
        >>> from crib.trade.money.purchase import Offer, Use
        >>> offers = (Offer("punch", (("p", 1),), 4_000), Offer("blade", (("b", 1),), 9_000))
        >>> uses = (Use(25_000, (frozenset({"p"}),)), Use(8_000, (frozenset({"b"}),)))
        >>> plain = plain_purchase(PurchaseProblem(uses, (), offers), 10_000)
        >>> plain.bought if plain else None
        {'punch': 1}
    """
    if budget_cents is not None:
        require_not_negative(budget_cents=budget_cents)
    reduced = Reduced(problem, budget_cents)
    basket = Basket(reduced)
    for group in parts_of(reduced):
        move = _best_of(reduced, group)
        if move is None or not reduced.affords(basket.spent + basket.price(move)):
            return None
        basket.apply(move)
    return counted_purchase(problem, reduced.named(basket.times), basket.net)


def _best_of(reduced: Reduced, group: list[int]) -> Move | None:
    """The best purchase from one group, of all there are; ``None`` when those are too many."""
    choices = times_of(reduced, group, _FEW)
    if choices is None:
        return None
    moves = [tuple(zip(group, times, strict=True)) for times in product(*choices)]
    empty = Basket(reduced)
    allowed = (bought for move in moves if keeps_groups(reduced, bought := bought_of(move)))
    return max(allowed, key=lambda move: _rank(empty, group, move))


def _rank(empty: Basket, group: list[int], move: Move) -> tuple[int, int, int, list[int]]:
    times = dict(move)
    earlier = [times.get(number, 0) for number in group]
    return empty.gain(move), -empty.price(move), -sum(earlier), earlier
