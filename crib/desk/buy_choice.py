"""From drafts to lines bought: what goes together, what the budget takes, what each is worth."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from crib.desk.buy_budget import Parcel, choose
from crib.desk.buy_drafts import Draft, Wish
from crib.desk.buy_prices import Price
from crib.desk.buy_worth import Worth

MOST_TAKEN_APART = 8
"""Lines that hang together by wants; more of them are bought all or none."""

_FAR = 1e18


@dataclass(frozen=True, slots=True, eq=False)
class Costed:
    """A draft with its price, and its worth by itself, without what was wanted."""

    draft: Draft
    price: Price
    alone: Worth

    @property
    def place(self) -> int:
        """The draft's place on the board."""
        return self.draft.place


@dataclass(frozen=True, slots=True)
class Group:
    """Lines that stand together in the list, all bought or all not, with each one's worth."""

    lines: tuple[Costed, ...]
    cents: tuple[int, ...]
    bought: bool

    @property
    def cost_cents(self) -> int | None:
        """What all of it costs; None when a price is not known."""
        return _cost(self.lines)

    @property
    def order(self) -> tuple[bool, bool, bool, float, int, int]:
        """Bought before not, priced before not, repeated sizes first, then worth for its cost."""
        cost, value = self.cost_cents, sum(self.cents)
        ratio = value / cost if cost else _FAR * (cost == 0)
        repeated = any(one.draft.repeated for one in self.lines)
        return (not self.bought, cost is None, not repeated, -ratio, -value, self.lines[0].place)


def decide(lines: Sequence[Costed], budget_cents: int | None) -> list[Group]:
    """What is bought and what is not, in the order to show it."""
    parts = [[one for one in lines if one.place in part] for part in _parts(lines)]
    bought = _all_priced(lines) if budget_cents is None else _within(parts, budget_cents)
    inside = [one for one in lines if one.place in bought]
    outside = [one for one in lines if one.place not in bought]
    groups = [*_groups(inside, bought), *_groups(outside, bought)]
    return sorted(groups, key=lambda one: one.order)


def _all_priced(lines: Sequence[Costed]) -> set[int]:
    """Every place with a price, without what would be half of a pair."""
    bought = {one.place for one in lines if one.price.total_cents is not None}
    while bought != (sound := _sound(lines, bought)):
        bought = sound
    return bought


def _within(parts: Sequence[Sequence[Costed]], budget_cents: int) -> set[int]:
    """The places that a budget buys."""
    options = [list(_options(part)) for part in parts]
    chosen = choose([[_parcel(one) for one in each] for each in options], budget_cents)
    return {one.place for place, option in chosen.items() for one in options[place][option]}


def _parts(lines: Sequence[Costed]) -> Iterator[set[int]]:
    """Places that hang together, directly or by others, because a want lacks both."""
    left = {one.place: one for one in lines}
    while left:
        part, edge = set[int](), {next(iter(left))}
        while edge:
            part |= edge
            near = {two for one in edge for wish in left[one].draft.wishes for two in wish.places}
            edge = (near & left.keys()) - part
        for place in part:
            del left[place]
        yield part


def _options(part: Sequence[Costed]) -> Iterator[tuple[Costed, ...]]:
    """The ways to buy some of a part: each line for its own sake or with all that a want lacks."""
    sizes = range(1, len(part) + 1) if len(part) <= MOST_TAKEN_APART else [len(part)]
    for size in sizes:
        for some in combinations(part, size):
            places = {one.place for one in some}
            if _cost(some) is not None and _sound(some, places) == places:
                yield some


def _sound(lines: Iterable[Costed], places: set[int]) -> set[int]:
    """The places without those that would be halves of a pair."""
    return {
        one.place
        for one in lines
        if one.place in places
        and (one.draft.own or any(wish.places <= places for wish in one.draft.wishes))
    }


def _parcel(some: Sequence[Costed]) -> Parcel:
    places = {one.place for one in some}
    wishes = {id(wish): wish for one in some for wish in one.draft.wishes}
    wanted = sum(wish.cents for wish in wishes.values() if wish.places <= places)
    alone = sum(one.alone.cents for one in some)
    return Parcel(_cost(some) or 0, wanted + alone, len(some))


def _cost(lines: Sequence[Costed]) -> int | None:
    known = [one.price.total_cents for one in lines if one.price.total_cents is not None]
    return sum(known) if len(known) == len(lines) else None


def _groups(lines: Sequence[Costed], bought: set[int]) -> Iterator[Group]:
    for part in _parts(lines):
        some = tuple(
            sorted(
                (one for one in lines if one.place in part),
                key=lambda one: (one.draft.spec.role != "punch", one.place),
            )
        )
        cents = tuple(
            one.alone.cents + sum(_share(wish, one.place, bought) for wish in one.draft.wishes)
            for one in some
        )
        yield Group(some, cents, some[0].place in bought)


def _share(wish: Wish, place: int, bought: set[int]) -> int:
    """A line's part of what a want is worth: shared by all it lacks, or by what is left of it.

    A want that is not served yet is worth nothing to the lines that are bought already.
    """
    bearers = sorted(wish.places - bought or wish.places)
    if place not in bearers:
        return 0
    each, more = divmod(wish.cents, len(bearers))
    return each + (bearers.index(place) < more)
