"""Better purchases near a good one: most offers held as they are, the others solved anew."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import cycle, islice

from crib.trade.money.purchase_model import PurchaseModel
from crib.trade.money.purchase_reduced import Reduced
from crib.trade.money.purchase_shaking import draws

# Found by trials on five hundred offers and five thousand uses: how many offers are free at
# first and at least, and how that changes after a solve that took long, or took little.
_FREE, _LEAST_FREE = 0.1, 0.02
_FEWER, _MORE = 0.8, 1.15
# Shares of the time: of one solve the longest, and what is little.
_LONGEST, _LITTLE = 0.05, 0.02


def near_purchases(
    model: PurchaseModel,
    reduced: Reduced,
    times: Sequence[int],
    shares: Sequence[float],
    left: Callable[[], float],
) -> Iterator[Sequence[int]]:
    """Better and better purchases, each from the last, as long as there is time.

    In turn those offers are free that the relaxed purchase has otherwise, some by chance, and some
    that have to do with each other.

    Source: common practice (large neighbourhood search; relaxation induced neighbourhoods, Danna,
    Rothberg and Le Pape 2005).

    Args:
        model: The program of the problem [-].
        reduced: The problem with what cannot matter left out [cents].
        times: How often each offer is bought at first [-].
        shares: How often the relaxed purchase buys each offer [-].
        left: How many seconds there are left [s].

    Returns:
        How often each offer is bought, one purchase after the other [-].

    Example:
        >>> from crib.trade.money.purchase import Offer, PurchaseProblem, Use
        >>> offers = (Offer("p", (("p", 1),), 40), Offer("b", (("b", 1),), 60))
        >>> uses = (Use(90, (frozenset({"p"}),)), Use(80, (frozenset({"b"}),)))
        >>> reduced = Reduced(PurchaseProblem(uses, (), offers), 60)
        >>> seconds = iter([1.0] * 200 + [0.0] * 200)
        >>> model = PurchaseModel(reduced)
        >>> near = near_purchases(model, reduced, [0, 1], [1.0, 0.3], lambda: next(seconds))
        >>> max(near, key=reduced.net, default=[0, 1])
        [1, 0]
    """
    chances = draws()
    now, whole = list(times), left()
    part = dict.fromkeys(_KINDS, _FREE)
    for kind in cycle(_KINDS):
        begun = left()
        if begun <= 0:
            return
        order = kind(reduced, chances, now, shares)
        free = list(islice(order, max(2, round(part[kind] * len(now)))))
        end = max(0.0, begun - _LONGEST * whole)
        solved = model.near(partial(_is_up, left, end), now, free, reduced.net(now))
        found = solved.times
        if found is not None and reduced.fits(found) and reduced.net(found) > reduced.net(now):
            now = list(found)
            yield now
        if solved.none and len(free) == len(now):
            return
        took = begun - left()
        if took >= _LONGEST * whole:
            part[kind] = max(_LEAST_FREE, part[kind] * _FEWER)
        elif took <= _LITTLE * whole:
            part[kind] = min(1.0, part[kind] * _MORE)


def _is_up(left: Callable[[], float], end: float) -> bool:
    return left() <= end


def _unlike(
    reduced: Reduced, chances: Iterator[float], now: Sequence[int], shares: Sequence[float]
) -> Iterable[int]:
    """Those first that the relaxed purchase has otherwise, with some chance in it."""
    weights = [abs(s - n) + next(chances) for s, n in zip(shares, now, strict=True)]
    return sorted(range(len(now)), key=lambda number: -weights[number])


def _by_chance(
    reduced: Reduced, chances: Iterator[float], now: Sequence[int], shares: Sequence[float]
) -> Iterable[int]:
    weights = [next(chances) for _number in now]
    return sorted(range(len(now)), key=lambda number: weights[number])


def _together(
    reduced: Reduced, chances: Iterator[float], now: Sequence[int], shares: Sequence[float]
) -> Iterator[int]:
    """One by chance, those of the same items and uses, and so on outwards."""
    first = int(next(chances) * len(now))
    seen, queue = {first}, deque([first])
    while queue:
        number = queue.popleft()
        yield number
        near = _beside(reduced, number) - seen
        seen |= near
        queue.extend(sorted(near, key=lambda _other: next(chances)))


def _beside(reduced: Reduced, number: int) -> set[int]:
    items = {item for item, _quantity in reduced.offers[number].contents}
    items |= {
        item
        for own in tuple(items)
        for use in reduced.uses_of[own]
        for way in reduced.uses[use].ways
        if own in way
        for item in way
    }
    return {other for item in items for other in reduced.offers_of[item]}


_KINDS = (_unlike, _by_chance, _together)
