"""Drawn purchase problems, and the best purchase by trying every one: slow, and on its own."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

from crib.trade.money.purchase import Key, Offer, PurchaseProblem, Stock, Use


@dataclass(frozen=True)
class Tried:
    """One purchase of all there are."""

    net: int
    spent: int
    times: tuple[int, ...]

    @property
    def rank(self) -> tuple[int, int, int, tuple[int, ...]]:
        """Most net, then least spent, then fewest purchases, then the earlier offers."""
        return self.net, -self.spent, -sum(self.times), self.times


def every_purchase_tried(problem: PurchaseProblem, budget: int | None) -> Tried:
    """The best purchase by looking at each one there is."""
    choices = [(0, *range(offer.least, offer.most + 1)) for offer in problem.offers]
    tried = (tried_one(problem, times) for times in product(*choices))
    allowed = (one for one in tried if one is not None and (budget is None or one.spent <= budget))
    return max(allowed, key=lambda one: one.rank)


def tried_one(problem: PurchaseProblem, times: tuple[int, ...]) -> Tried | None:
    """What a purchase brings, counted from the description of the problem; none if not allowed."""
    groups: set[str] = set()
    units: dict[int | str, int] = {}
    net = spent = 0
    for offer, n in zip(problem.offers, times, strict=True):
        if n == 0:
            continue
        if offer.exclusive in groups:
            return None
        if offer.exclusive:
            groups.add(offer.exclusive)
        spent += n * offer.price_cents
        net -= n * (offer.price_cents if offer.charge_cents is None else offer.charge_cents)
        for item, quantity in offer.contents:
            units[item] = units.get(item, 0) + n * quantity
    for use in problem.uses:
        if any(all(item in units for item in way) for way in use.ways):
            net += use.value_cents
    for stock in problem.stocks:
        for number, marginal in enumerate(stock.marginal_cents):
            if number < units.get(stock.item, 0):
                net += marginal
    return Tried(net, spent, times)


def as_tried(problem: PurchaseProblem, bought: Mapping[Key, int]) -> Tried:
    """An answer counted the slow way."""
    tried = tried_one(problem, tuple(bought.get(offer.key, 0) for offer in problem.offers))
    assert tried is not None
    return tried


def drawn_problem(draws: random.Random, most_offers: int = 8) -> tuple[PurchaseProblem, int | None]:
    """A small problem with pairs, packs, bundles, price breaks, spares and ties; and a budget."""
    items = list(range(draws.randint(1, 6)))
    coarse = draws.choice((1, 5, 50))
    offers = tuple(
        _offer(draws, number, items, coarse) for number in range(draws.randint(1, most_offers))
    )
    uses = tuple(
        Use(draws.randrange(0, 200, coarse), tuple(_way(draws, items) for _w in range(count)))
        for count in draws.choices((0, 1, 2, 3, 4), (1, 6, 4, 2, 1), k=draws.randint(0, 8))
    )
    stocks = tuple(
        Stock(item, tuple(sorted(draws.choices(range(0, 120, coarse), k=3), reverse=True)))
        for item in items
        if draws.random() < 0.4
    )
    everything = sum(offer.least * offer.price_cents for offer in offers)
    budget = draws.choice((None, everything // 3, everything // 2, draws.randint(0, everything)))
    return PurchaseProblem(uses, stocks, offers), budget


def _way(draws: random.Random, items: list[int]) -> frozenset[int | str]:
    return frozenset(draws.sample(items, min(len(items), draws.choice((1, 1, 2, 2, 3)))))


def _offer(draws: random.Random, key: int, items: list[int], coarse: int) -> Offer:
    size = draws.choice((1, 1, 1, 2, 3, 4))
    inside = draws.sample(items, min(len(items), size))
    least = draws.choice((1, 1, 1, 2))
    price = draws.randrange(0, 150, coarse)
    return Offer(
        key,
        tuple((item, draws.choice((1, 1, 1, 2, 3))) for item in inside),
        price,
        least,
        least + draws.choice((0, 0, 1)),
        draws.choice(("", "", "", "first", "second")),
        draws.choice((None, None, price // 2)),
    )
