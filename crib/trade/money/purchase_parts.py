"""The parts of a purchase problem that have nothing to do with each other, and their choices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crib.trade.money.purchase_basket import Move
from crib.trade.money.purchase_reduced import Reduced


def parts_of(reduced: Reduced) -> list[list[int]]:
    """Offers that have to do with each other: by a use, an item or an exclusive group.

    Source: common practice (connected parts of a problem are solved one by one).

    Args:
        reduced: The problem with what cannot matter left out [cents].

    Returns:
        The numbers of the offers of each part; every offer is of one [-].

    Example:
        >>> from crib.trade.money.purchase import Offer, PurchaseProblem, Use
        >>> offers = (Offer("p", (("p", 1),), 40), Offer("b", (("b", 1),), 60, most=2))
        >>> uses = (Use(90, (frozenset({"p"}),)), Use(80, (frozenset({"b"}),)))
        >>> reduced = Reduced(PurchaseProblem(uses, (), offers), None)
        >>> parts_of(reduced)
        [[0], [1]]
    """
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


def times_of(reduced: Reduced, part: Sequence[int], most: int) -> list[list[int]] | None:
    """How often each offer of a part may be bought.

    Source: common practice (few choices are looked at one by one).

    Args:
        reduced: The problem with what cannot matter left out [cents].
        part: The numbers of the part's offers [-].
        most: The most choices that may be looked at [-].

    Returns:
        The counts of each offer, none the first; ``None`` for more choices than that [-].

    Example:
        >>> from crib.trade.money.purchase import Offer, PurchaseProblem, Use
        >>> offers = (Offer("p", (("p", 1),), 40), Offer("b", (("b", 1),), 60, most=2))
        >>> uses = (Use(90, (frozenset({"p"}),)), Use(80, (frozenset({"b"}),)))
        >>> reduced = Reduced(PurchaseProblem(uses, (), offers), None)
        >>> times_of(reduced, [0, 1], 4), times_of(reduced, [0, 1], 3)
        ([[0, 1], [0, 1]], None)
    """
    choices, count = [], 1
    for number in part:
        offer = reduced.offers[number]
        choices.append([0, *range(offer.least, offer.most + 1)])
        count *= len(choices[-1])
        if count > most:
            return None
    return choices


def bought_of(move: Move) -> Move:
    """A choice without the offers that are not bought.

    Source: common practice.

    Args:
        move: Offers by their numbers, and how often each is bought [-].

    Returns:
        The same without those that are bought no time [-].

    Example:
        >>> bought_of(((0, 1), (1, 0), (2, 3)))
        ((0, 1), (2, 3))
    """
    return tuple((number, times) for number, times in move if times)


def keeps_groups(reduced: Reduced, move: Move) -> bool:
    """Whether a choice buys from no exclusive group twice.

    Source: shop rule (of the price breaks of one offer one is taken).

    Args:
        reduced: The problem with what cannot matter left out [cents].
        move: Offers that are bought, by their numbers, and how often [-].

    Returns:
        Whether it may be bought so [-].

    Example:
        >>> from crib.trade.money.purchase import Offer, PurchaseProblem, Use
        >>> small = Offer("p", (("p", 1),), 40, exclusive="one")
        >>> offers = (small, Offer("b", (("b", 1),), 60, exclusive="one"))
        >>> uses = (Use(90, (frozenset({"p"}),)), Use(80, (frozenset({"b"}),)))
        >>> reduced = Reduced(PurchaseProblem(uses, (), offers), None)
        >>> keeps_groups(reduced, ((0, 1),)), keeps_groups(reduced, ((0, 1), (1, 1)))
        (True, False)
    """
    names = [name for number, _times in move if (name := reduced.offers[number].exclusive)]
    return len(set(names)) == len(names)
