"""Invented shops with a tooling budget: uses with several ways, bundles, price breaks, spares.

In a shop the tools come in sizes: a use takes the punch and the die of its size, maybe with an
adapter, or makes do with a neighbouring size; a few sizes are in heavy demand. A scattered shop is
harder and less like any real one: every use takes any tools at all.
"""

from __future__ import annotations

import random
from collections.abc import Callable

from crib.trade.money.purchase import Offer, PurchaseProblem, Stock, Use

_BUNDLED, _TIERED = 0.10, 0.10
_OF_A_SIZE = 5
_NEIGHBOUR = 0.25
_Way = frozenset[int | str]


def shop(offers: int, uses: int, seed: int = 0) -> PurchaseProblem:
    """A problem of so many offers and uses; the same for the same seed."""
    draws = random.Random(seed)
    items = _items(offers)
    sizes = [items[at : at + _OF_A_SIZE] for at in range(0, len(items), _OF_A_SIZE)]
    demand = [draws.paretovariate(1.2) for _size in sizes]

    def ways() -> set[_Way]:
        (size,) = draws.choices(range(len(sizes)), demand)
        near = sizes[(size + 1) % len(sizes)]
        return {
            _way(draws, near if draws.random() < _NEIGHBOUR else sizes[size])
            for _way_number in range(draws.randint(1, 4))
        }

    return _problem(draws, items, offers, uses, ways)


def scattered_shop(offers: int, uses: int, seed: int = 0) -> PurchaseProblem:
    """The same with uses that take any items at all."""
    draws = random.Random(seed)
    items = _items(offers)

    def ways() -> set[_Way]:
        return {_way(draws, items) for _way_number in range(draws.randint(1, 4))}

    return _problem(draws, items, offers, uses, ways)


def third_of_all(problem: PurchaseProblem) -> int:
    """A third of what each offer once would cost."""
    return sum(offer.least * offer.price_cents for offer in problem.offers) // 3


def _items(offers: int) -> list[str]:
    count = offers - round(offers * _BUNDLED) - round(offers * _TIERED)
    return [f"item {number:03}" for number in range(count)]


def _way(draws: random.Random, items: list[str]) -> _Way:
    return frozenset(draws.sample(items, min(len(items), draws.choice((1, 1, 2, 2, 3)))))


def _problem(
    draws: random.Random, items: list[str], offers: int, uses: int, ways: Callable[[], set[_Way]]
) -> PurchaseProblem:
    prices = {item: draws.randrange(30, 300) * 100 for item in items}
    made = [Offer(item, ((item, 1),), prices[item], 1, 3, item) for item in items]
    made += [_tier(item, prices[item]) for item in draws.sample(items, round(offers * _TIERED))]
    made += [_bundle(draws, number, items, prices) for number in range(round(offers * _BUNDLED))]
    wanted = tuple(
        Use(draws.randrange(500, 15_000), tuple(sorted(ways(), key=sorted)))
        for _number in range(uses)
    )
    kept = draws.sample(items, len(items) // 3)
    return PurchaseProblem(wanted, tuple(_stock(item, prices[item]) for item in kept), tuple(made))


def _tier(item: str, price: int) -> Offer:
    return Offer(f"two of {item}", ((item, 1),), price * 85 // 100, 2, 4, item)


def _bundle(draws: random.Random, number: int, items: list[str], prices: dict[str, int]) -> Offer:
    first = draws.randrange(len(items))
    near = [items[(first + step) % len(items)] for step in range(min(len(items), 20))]
    inside = draws.sample(near, min(len(near), draws.randint(6, 12)))
    price = sum(prices[item] for item in inside) * draws.randint(60, 80) // 100
    return Offer(f"bundle {number}", tuple((item, 1) for item in inside), price)


def _stock(item: str, price: int) -> Stock:
    return Stock(item, (price * 12 // 10, price * 9 // 10, price * 4 // 10))
