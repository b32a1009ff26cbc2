"""What a tooling budget can be spent on, what that is worth, and the count of one purchase.

A use of tooling is worth something once all items of one of its ways are there. Spare units are
worth less and less. Offers are the ways to buy: one piece, a pack, a price break, a bundle.
Everything is whole cents, so an answer can be counted again to the cent.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass

from crib.errors import BadValue, UnknownName
from crib.trade.common.guards import require_not_negative, require_positive

Item = int | str
Key = int | str


@dataclass(frozen=True, slots=True)
class Use:
    """A demand worth so much, once, when all items of at least one way are bought.

    What stands on the shelf already is left out of the ways.
    """

    value_cents: int
    ways: tuple[frozenset[Item], ...]

    def __post_init__(self) -> None:
        require_not_negative(value_cents=self.value_cents)
        if not all(self.ways):
            message = "a use has a way with 0 items, each way must need at least 1"
            raise BadValue(message, way_out="leave out a use that the shelf serves already")


@dataclass(frozen=True, slots=True)
class Stock:
    """What the first, second ... bought unit of an item is worth as a spare; later ones nothing."""

    item: Item
    marginal_cents: tuple[int, ...]

    def __post_init__(self) -> None:
        last = self.marginal_cents[0] if self.marginal_cents else 0
        for marginal in self.marginal_cents:
            require_not_negative(marginal_cents=marginal)
            if marginal > last:
                message = f"item {self.item!r}: a unit worth {marginal} after one worth {last}"
                raise BadValue(message, way_out="a later unit must not be worth more")
            last = marginal


@dataclass(frozen=True, slots=True)
class Offer:
    """A way to buy: the contents of one purchase, its price, and how often it may be bought.

    It is bought not at all, or ``least`` to ``most`` times. Of the offers that share an
    ``exclusive`` name at most one is used: so a price break is an offer with a higher ``least``.
    ``charge_cents`` is what one purchase takes off the net; the price when it is not given.
    """

    key: Key
    contents: tuple[tuple[Item, int], ...]
    price_cents: int
    least: int = 1
    most: int = 1
    exclusive: str = ""
    charge_cents: int | None = None

    def __post_init__(self) -> None:
        require_not_negative(price_cents=self.price_cents, charge_cents=self.net_charge_cents)
        require_positive(least=self.least)
        if self.most < self.least:
            message = f"offer {self.key!r}: most={self.most} must be >= least={self.least}"
            raise BadValue(message)
        for _item, quantity in self.contents:
            require_positive(quantity=quantity)
        _require_unlike("item in one offer", [item for item, _quantity in self.contents])

    @property
    def net_charge_cents(self) -> int:
        """What one purchase takes off the net."""
        return self.price_cents if self.charge_cents is None else self.charge_cents

    @property
    def pieces(self) -> int:
        """Pieces in one purchase."""
        return sum(quantity for _item, quantity in self.contents)


@dataclass(frozen=True, slots=True)
class PurchaseProblem:
    """What there is to gain and what there is to buy."""

    uses: tuple[Use, ...]
    stocks: tuple[Stock, ...]
    offers: tuple[Offer, ...]

    def __post_init__(self) -> None:
        _require_unlike("offer", [offer.key for offer in self.offers])
        _require_unlike("item in stock", [stock.item for stock in self.stocks])


@dataclass(frozen=True, slots=True)
class Purchase:
    """What to buy, counted to the cent.

    ``served`` leads from the position of a use to the way that serves it. No purchase within the
    budget nets more than ``bound_cents``, ``None`` where no bound was found; ``gap`` is the share
    of it that may be missing, and ``proven`` says that nothing is. ``useful`` tells for each bought
    offer of several pieces how many of them serve and how many come.
    """

    bought: Mapping[Key, int]
    units: Mapping[Item, int]
    served: Mapping[int, frozenset[Item]]
    value_cents: int
    charge_cents: int
    spent_cents: int
    bound_cents: int | None
    useful: Mapping[Key, tuple[int, int]]

    @property
    def net_cents(self) -> int:
        """What the purchase is worth less what it is charged with."""
        return self.value_cents - self.charge_cents

    @property
    def gap(self) -> float | None:
        """The share of the bound that may be missing, 0 to 1; ``None`` without a bound."""
        if self.bound_cents is None:
            return None
        missing = self.bound_cents - self.net_cents
        return missing / self.bound_cents if missing else 0.0

    @property
    def proven(self) -> bool:
        """Whether no purchase within the budget nets more."""
        return self.bound_cents == self.net_cents


def counted_purchase(
    problem: PurchaseProblem, bought: Mapping[Key, int], bound_cents: int | None = None
) -> Purchase:
    """Count what some offers bring, cost and leave unused.

    Source: shop rule (a way serves when all its items are there; the first way that does is named).

    Args:
        problem: Uses, stock values and offers [cents].
        bought: How often each offer is bought [-].
        bound_cents: What no purchase nets more than; ``None`` when unknown [cents].

    Returns:
        The purchase with every sum in whole cents [cents].

    Raises:
        UnknownName: When an offer is not of the problem.
        BadValue: When an offer is bought too few or too many times, or two that exclude each other.

    Example:
        >>> offers = (Offer("punch", (("p", 1),), 4_000), Offer("die", (("d", 1),), 6_000))
        >>> uses = (Use(25_000, (frozenset({"p", "d"}),)),)
        >>> counted_purchase(PurchaseProblem(uses, (), offers), {"punch": 1, "die": 1}).net_cents
        15000
    """
    chosen = _chosen(problem, bought)
    units = _units(chosen)
    there = frozenset(units)
    served = {number: way for number, use in enumerate(problem.uses) if (way := _way(use, there))}
    spare_cents = sum(sum(s.marginal_cents[: units.get(s.item, 0)]) for s in problem.stocks)
    value = spare_cents + sum(problem.uses[number].value_cents for number in served)
    charge = sum(times * offer.net_charge_cents for offer, times in chosen)
    return Purchase(
        bought={offer.key: times for offer, times in chosen},
        units=units,
        served=served,
        value_cents=value,
        charge_cents=charge,
        spent_cents=sum(times * offer.price_cents for offer, times in chosen),
        bound_cents=None if bound_cents is None else max(value - charge, bound_cents),
        useful=_useful(problem, chosen, served),
    )


def _chosen(problem: PurchaseProblem, bought: Mapping[Key, int]) -> list[tuple[Offer, int]]:
    """The offers bought, in the order of the problem, each as often as it may be."""
    unknown = bought.keys() - {offer.key for offer in problem.offers}
    if unknown:
        message = f"unknown offer {min(unknown, key=str)!r}; the problem has {len(problem.offers)}"
        raise UnknownName(message)
    chosen = [(offer, bought[offer.key]) for offer in problem.offers if bought.get(offer.key)]
    for offer, times in chosen:
        if not offer.least <= times <= offer.most:
            message = f"offer {offer.key!r}: times={times} must be {offer.least} to {offer.most}"
            raise BadValue(message)
    groups = [offer.exclusive for offer, _times in chosen if offer.exclusive]
    _require_unlike("exclusive group in one purchase", groups)
    return chosen


def _units(chosen: Iterable[tuple[Offer, int]]) -> dict[Item, int]:
    units: dict[Item, int] = {}
    for offer, times in chosen:
        for item, quantity in offer.contents:
            units[item] = units.get(item, 0) + times * quantity
    return units


def _way(use: Use, there: frozenset[Item]) -> frozenset[Item] | None:
    return next((way for way in use.ways if way <= there), None)


def _useful(
    problem: PurchaseProblem,
    chosen: Iterable[tuple[Offer, int]],
    served: Mapping[int, frozenset[Item]],
) -> dict[Key, tuple[int, int]]:
    """Pieces that serve, and all that come, for each bought offer of several pieces."""
    wanted = {
        stock.item: sum(marginal > 0 for marginal in stock.marginal_cents)
        for stock in problem.stocks
    }
    for way in served.values():
        wanted.update({item: max(1, wanted.get(item, 0)) for item in way})
    return {
        offer.key: (
            sum(min(times * quantity, wanted.get(item, 0)) for item, quantity in offer.contents),
            times * offer.pieces,
        )
        for offer, times in chosen
        if offer.pieces > 1
    }


def _require_unlike(what: str, names: list[Item] | list[Key] | list[str]) -> None:
    seen: set[Hashable] = set()
    for name in names:
        if name in seen:
            message = f"{what}: {name!r} is given twice, once is the most"
            raise BadValue(message)
        seen.add(name)
