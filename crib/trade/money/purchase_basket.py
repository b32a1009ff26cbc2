"""A basket of offers that knows what one more, or one less, would bring."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from crib.trade.money.purchase_reduced import Reduced

# Offers and how many purchases of each come to the basket; fewer than none are taken out.
Move = tuple[tuple[int, int], ...]


class Basket:
    """How often each offer is bought, the items that are there, and the uses they serve."""

    def __init__(self, reduced: Reduced, times: Sequence[int] | None = None) -> None:
        self.reduced = reduced
        self.times = [0] * len(reduced.offers)
        self.net = self.spent = 0
        self.there = 0
        self.shut: int | None = None
        self._units = [0] * len(reduced.margins)
        self._served = [False] * len(reduced.uses)
        self._taken: dict[str, int] = {}
        if times is not None:
            self.apply(tuple((offer, n) for offer, n in enumerate(times) if n))

    def apply(self, move: Move) -> None:
        """Put offers in, or take them out."""
        self.net += self.gain(move)
        self.spent += self.price(move)
        changes, before = self._changes(move), self.there
        self.there = self._after(changes)
        for item, change in changes.items():
            self._units[item] += change
        for use in self._touched(before ^ self.there):
            masks = self.reduced.uses[use].masks
            self._served[use] = any(not mask & ~self.there for mask in masks)
        for number, change in move:
            self.times[number] += change
            exclusive = self.reduced.offers[number].exclusive
            if exclusive:
                self._hold(exclusive, number)

    def _hold(self, exclusive: str, number: int) -> None:
        if self.times[number]:
            self._taken[exclusive] = number
        elif self._taken.get(exclusive) == number:
            del self._taken[exclusive]

    def price(self, move: Move) -> int:
        """What a move spends."""
        return sum(change * self.reduced.offers[number].price for number, change in move)

    def gain(self, move: Move) -> int:
        """What a move adds to the net; less than nothing when it loses."""
        changes = self._changes(move)
        gain = -sum(change * self.reduced.offers[number].charge for number, change in move)
        for item, change in changes.items():
            margins, now = self.reduced.margins[item], self._units[item]
            if margins:
                gain += sum(margins[: now + change]) - sum(margins[:now])
        after = self._after(changes)
        gained = self._lost_or_won(after) if self.there & ~after else self._won(after)
        return gain + gained

    def _won(self, after: int) -> int:
        """The value of the uses that more items serve."""
        new: set[int] = set()
        won, missing = 0, ~after
        for item in _bits(after & ~self.there):
            for use, value, masks in self.reduced.index[item]:
                if self._served[use] or use in new:
                    continue
                for mask in masks:
                    if not mask & missing:
                        new.add(use)
                        won += value
                        break
        return won

    def _lost_or_won(self, after: int) -> int:
        won, missing = 0, ~after
        for use in self._touched(self.there ^ after):
            known = self.reduced.uses[use]
            serves = False
            for mask in known.masks:
                if not mask & missing:
                    serves = True
                    break
            if serves is not self._served[use]:
                won += known.value if serves else -known.value
        return won

    def step(self, number: int) -> int:
        """The fewest purchases that can be added of an offer; none when it is at its most."""
        offer, now = self.reduced.offers[number], self.times[number]
        taken = offer.exclusive and self._taken.get(offer.exclusive, number) != number
        if taken or number == self.shut:
            return 0
        if not now:
            return offer.least
        return 1 if now < offer.most else 0

    def back_step(self, number: int) -> int:
        """The fewest purchases that can be taken out of an offer."""
        offer, now = self.reduced.offers[number], self.times[number]
        return 1 if now > offer.least else now

    def allows(self, move: Move) -> bool:
        """Whether the limits and the budget let a move be made; it only puts in."""
        groups = [g for number, _n in move if (g := self.reduced.offers[number].exclusive)]
        return (
            len(set(groups)) == len(groups)
            and all(self.step(number) == change for number, change in move)
            and self.reduced.affords(self.spent + self.price(move))
        )

    def holder(self, exclusive: str) -> int | None:
        """The offer that takes up an exclusive group."""
        return self._taken.get(exclusive) if exclusive else None

    def cheapest(self, item: int, beside: frozenset[str] = frozenset()) -> int | None:
        """The offer that brings an item for the least charge."""
        open_offers = [
            (step * offer.charge, step * offer.price, number)
            for number in self.reduced.offers_of[item]
            if (step := self.step(number))
            and (offer := self.reduced.offers[number]).exclusive not in beside
        ]
        return min(open_offers)[2] if open_offers else None

    def moves_for(self, mask: int) -> Iterator[Move]:
        """The cheapest move that brings the missing items of a way."""
        missing = _bits(mask & ~self.there)
        numbers: list[int] = []
        for item in missing:
            if not any(item == i for n in numbers for i, _q in self.reduced.offers[n].contents):
                found = self.cheapest(item, self._groups(numbers))
                if found is None:
                    return
                numbers.append(found)
        if numbers:
            yield tuple(sorted((number, self.step(number)) for number in numbers))

    def moves_of(self, number: int) -> Iterator[Move]:
        """The move that buys an offer once more."""
        if step := self.step(number):
            yield ((number, step),)

    def unserved(self, items: Iterable[int]) -> Iterator[int]:
        """The uses of some items that nothing serves yet."""
        uses = {use for item in items for use in self.reduced.uses_of[item]}
        return (use for use in sorted(uses) if not self._served[use])

    def _groups(self, numbers: Iterable[int]) -> frozenset[str]:
        return frozenset(self.reduced.offers[number].exclusive for number in numbers) - {""}

    def _changes(self, move: Move) -> Mapping[int, int]:
        changes: dict[int, int] = {}
        for number, change in move:
            for item, quantity in self.reduced.offers[number].contents:
                changes[item] = changes.get(item, 0) + change * quantity
        return changes

    def _after(self, changes: Mapping[int, int]) -> int:
        there = self.there
        for item, change in changes.items():
            left = self._units[item] + change
            there = there | 1 << item if left else there & ~(1 << item)
        return there

    def _touched(self, flipped: int) -> set[int]:
        return {use for item in _bits(flipped) for use in self.reduced.uses_of[item]}


def _bits(mask: int) -> Iterator[int]:
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low
