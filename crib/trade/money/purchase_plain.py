"""The best purchase where there is next to nothing to weigh, without a solver."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from crib.trade.common.guards import require_not_negative
from crib.trade.money.purchase import Purchase, PurchaseProblem, counted_purchase
from crib.trade.money.purchase_basket import Basket, Move
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
    for group in _groups(reduced):
        move = _best_of(reduced, group)
        if move is None or not reduced.affords(basket.spent + basket.price(move)):
            return None
        basket.apply(move)
    return counted_purchase(problem, reduced.named(basket.times), basket.net)


def _groups(reduced: Reduced) -> list[list[int]]:
    """Offers that have to do with each other: by a use, an item or an exclusive group."""
    leader = list(range(len(reduced.offers)))

    def led(number: int) -> int:
        while leader[number] != number:
            leader[number] = leader[leader[number]]
            number = leader[number]
        return number

    for together in _ties(reduced):
        for number in together[1:]:
            leader[led(number)] = led(together[0])
    groups: dict[int, list[int]] = {}
    for number in range(len(leader)):
        groups.setdefault(led(number), []).append(number)
    return list(groups.values())


def _ties(reduced: Reduced) -> Iterator[list[int]]:
    yield from reduced.offers_of
    for use in reduced.uses:
        items = sorted({item for way in use.ways for item in way})
        yield [number for item in items for number in reduced.offers_of[item]]
    exclusive: dict[str, list[int]] = {}
    for number, offer in enumerate(reduced.offers):
        if offer.exclusive:
            exclusive.setdefault(offer.exclusive, []).append(number)
    yield from exclusive.values()


def _best_of(reduced: Reduced, group: list[int]) -> Move | None:
    """The best purchase from one group, of all there are; ``None`` when those are too many."""
    choices, count = [], 1
    for number in group:
        offer = reduced.offers[number]
        choices.append([0, *range(offer.least, offer.most + 1)])
        count *= len(choices[-1])
        if count > _FEW:
            return None
    moves = [tuple(zip(group, times, strict=True)) for times in product(*choices)]
    empty = Basket(reduced)
    allowed = (bought for move in moves if _keeps_groups(reduced, bought := _bought(move)))
    return max(allowed, key=lambda move: _rank(empty, group, move))


def _bought(move: Move) -> Move:
    return tuple((number, times) for number, times in move if times)


def _keeps_groups(reduced: Reduced, move: Move) -> bool:
    names = [name for number, _times in move if (name := reduced.offers[number].exclusive)]
    return len(set(names)) == len(names)


def _rank(empty: Basket, group: list[int], move: Move) -> tuple[int, int, int, list[int]]:
    times = dict(move)
    earlier = [times.get(number, 0) for number in group]
    return empty.gain(move), -empty.price(move), -sum(earlier), earlier
