"""A purchase problem with all that cannot matter left out, counted by positions and bit masks.

Left out are ways nobody can supply, ways that need all of another way, items without worth, and
offers that cost more than the budget or than all they could ever bring. Uses with the same ways
are one use with the sum of their values.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from crib.trade.money.purchase import Item, Key, Offer, PurchaseProblem

Way = frozenset[Item]


@dataclass(frozen=True, slots=True)
class ReducedOffer:
    """An offer by positions: contents that matter, and no more times than could be of use."""

    key: Key
    contents: tuple[tuple[int, int], ...]
    price: int
    charge: int
    least: int
    most: int
    exclusive: str


@dataclass(frozen=True, slots=True)
class ReducedUse:
    """A use by positions; each way also as a mask of items."""

    value: int
    ways: tuple[tuple[int, ...], ...]
    masks: tuple[int, ...]


class Reduced:
    """The part of a problem that matters for a budget."""

    def __init__(self, problem: PurchaseProblem, budget_cents: int | None) -> None:
        self.budget = budget_cents
        spare = {s.item: tuple(m for m in s.marginal_cents if m) for s in problem.stocks}
        demand = _demand(problem)
        offers = [o for o in problem.offers if self.affords(o.least * o.price_cents)]
        while True:
            demand = _supplied(demand, {item for o in offers for item, _quantity in o.contents})
            worth = _worth(demand, spare)
            kept = [o for o in offers if _may_pay(o, worth)]
            if len(kept) == len(offers):
                break
            offers = kept
        self._number(offers, demand, spare)

    def affords(self, price: int) -> bool:
        """Whether the budget has so much."""
        return self.budget is None or price <= self.budget

    def _number(
        self,
        offers: list[Offer],
        demand: Mapping[frozenset[Way], int],
        spare: Mapping[Item, tuple[int, ...]],
    ) -> None:
        wanted = {item for ways in demand for way in ways for item in way}
        sold = dict.fromkeys(item for offer in offers for item, _quantity in offer.contents)
        items = [item for item in sold if item in wanted or spare.get(item)]
        at = {item: number for number, item in enumerate(items)}
        self.margins = [spare.get(item, ()) for item in items]
        self.in_ways = [item in wanted for item in items]
        self.uses = [_reduced_use(value, ways, at) for ways, value in demand.items()]
        useful = [max(len(m), w) for m, w in zip(self.margins, self.in_ways, strict=True)]
        self.offers = [self._reduced_offer(offer, at, useful) for offer in offers]
        self.uses_of: list[list[int]] = [[] for _item in items]
        # For each item the uses it helps to serve, their value, and only the ways it is in.
        self.index: list[list[tuple[int, int, tuple[int, ...]]]] = [[] for _item in items]
        for number, use in enumerate(self.uses):
            for item in {item for way in use.ways for item in way}:
                self.uses_of[item].append(number)
                with_it = tuple(mask for mask in use.masks if mask >> item & 1)
                self.index[item].append((number, use.value, with_it))
        self.offers_of: list[list[int]] = [[] for _item in items]
        for number, offer in enumerate(self.offers):
            for item, _quantity in offer.contents:
                self.offers_of[item].append(number)

    def _reduced_offer(
        self, offer: Offer, at: Mapping[Item, int], useful: Sequence[int]
    ) -> ReducedOffer:
        contents = tuple((at[item], quantity) for item, quantity in offer.contents if item in at)
        enough = max(-(-useful[item] // quantity) for item, quantity in contents)
        most = max(offer.least, min(offer.most, enough))
        return ReducedOffer(
            offer.key,
            contents,
            offer.price_cents,
            offer.net_charge_cents,
            offer.least,
            most,
            offer.exclusive,
        )

    def spent(self, times: Sequence[int]) -> int:
        """The price of buying each offer so many times."""
        return sum(n * offer.price for n, offer in zip(times, self.offers, strict=True))

    def net(self, times: Sequence[int]) -> int:
        """What buying each offer so many times is worth, less what it is charged with."""
        units = [0] * len(self.margins)
        charge = 0
        for n, offer in zip(times, self.offers, strict=True):
            if n:
                charge += n * offer.charge
                for item, quantity in offer.contents:
                    units[item] += n * quantity
        missing = sum(1 << item for item, count in enumerate(units) if not count)
        value = sum(u.value for u in self.uses if any(not mask & missing for mask in u.masks))
        value += sum(sum(m[:count]) for m, count in zip(self.margins, units, strict=True))
        return value - charge

    def fits(self, times: Sequence[int]) -> bool:
        """Whether each offer is bought as often as it may be, and all within the budget."""
        pairs = [(n, offer) for n, offer in zip(times, self.offers, strict=True) if n]
        names = [offer.exclusive for _n, offer in pairs if offer.exclusive]
        within = all(offer.least <= n <= offer.most for n, offer in pairs)
        return within and len(set(names)) == len(names) and self.affords(self.spent(times))

    def rank(self, times: Sequence[int]) -> tuple[int, int, int, list[int]]:
        """What the better of two purchases has more of: net, money left, fewer, earlier offers."""
        return self.net(times), -self.spent(times), -sum(times), list(times)

    def named(self, times: Sequence[int]) -> dict[Key, int]:
        """The offers bought by their keys."""
        return {offer.key: n for n, offer in zip(times, self.offers, strict=True) if n}


def _demand(problem: PurchaseProblem) -> dict[frozenset[Way], int]:
    """The value of all uses that have the same least ways."""
    demand: dict[frozenset[Way], int] = {}
    for use in problem.uses:
        ways = _least_ways(frozenset(use.ways))
        if use.value_cents and ways:
            demand[ways] = demand.get(ways, 0) + use.value_cents
    return demand


def _least_ways(ways: frozenset[Way]) -> frozenset[Way]:
    return frozenset(way for way in ways if not any(other < way for other in ways))


def _supplied(demand: Mapping[frozenset[Way], int], sold: set[Item]) -> dict[frozenset[Way], int]:
    """The demand by the ways that can be bought."""
    supplied: dict[frozenset[Way], int] = {}
    for ways, value in demand.items():
        left = frozenset(way for way in ways if way <= sold)
        if left:
            supplied[left] = supplied.get(left, 0) + value
    return supplied


def _worth(
    demand: Mapping[frozenset[Way], int], spare: Mapping[Item, tuple[int, ...]]
) -> dict[Item, int]:
    """The most that an item could ever bring."""
    worth = {item: sum(margins) for item, margins in spare.items()}
    for ways, value in demand.items():
        for item in frozenset[Item]().union(*ways):
            worth[item] = worth.get(item, 0) + value
    return worth


def _may_pay(offer: Offer, worth: Mapping[Item, int]) -> bool:
    most = sum(worth.get(item, 0) for item, _quantity in offer.contents)
    return most > offer.least * offer.net_charge_cents


def _reduced_use(value: int, ways: frozenset[Way], at: Mapping[Item, int]) -> ReducedUse:
    numbered = sorted(tuple(sorted(at[item] for item in way)) for way in ways)
    masks = tuple(sum(1 << item for item in way) for way in numbered)
    return ReducedUse(value, tuple(numbered), masks)
