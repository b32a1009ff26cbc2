"""Good purchases near a good one: a part of it given back by chance, the rest filled up anew."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crib.trade.money.purchase_filling import Filling
from crib.trade.money.purchase_reduced import Reduced

# Found by trials on fifty offers and two hundred uses.
_GIVEN_BACK, _LESS_GIVEN_BACK, _ADDED = 0.4, 0.25, 0.3
_WORSE, _FROM_THE_BEST = 0.01, 10
# A linear congruence (Park and Miller 1988, with their later factor).
_FACTOR, _MODULUS = 48271, 2147483647


def shaken(
    reduced: Reduced, filling: Filling, times: Sequence[int], rounds: int
) -> Iterator[list[int]]:
    """Purchases found by shaking one, each from the last that was not much worse.

    Source: common practice (iterated local search).

    Args:
        reduced: The problem with what cannot matter left out [cents].
        filling: What fills a purchase up, or thins it out [-].
        times: How often each offer is bought at first [-].
        rounds: How often to shake [-].

    Returns:
        How often each offer is bought, one purchase after the other [-].

    Example:
        >>> from crib.trade.money.purchase import Offer, PurchaseProblem, Use
        >>> offers = (Offer("p", (("p", 1),), 40), Offer("b", (("b", 1),), 60))
        >>> uses = (Use(90, (frozenset({"p"}),)), Use(80, (frozenset({"b"}),)))
        >>> reduced = Reduced(PurchaseProblem(uses, (), offers), 60)
        >>> max(shaken(reduced, Filling(reduced), [0, 1], 4), key=reduced.net)
        [1, 0]
    """
    chances = draws()
    best = now = list(times)
    for shake in range(1, rounds + 1):
        part = _LESS_GIVEN_BACK if shake % 2 else _GIVEN_BACK
        kept = [n if n and next(chances) > part else 0 for n in now]
        if shake % 2:
            more = [number for number in range(len(kept)) if next(chances) < _ADDED]
            found = filling.thinned(filling.added(kept, more))
        else:
            found = filling.improved(kept)
        yield found
        best = max(best, found, key=reduced.rank)
        if reduced.net(found) >= reduced.net(now) * (1 - _WORSE):
            now = found
        if shake % _FROM_THE_BEST == 0:
            now = best


def draws() -> Iterator[float]:
    """Numbers between 0 and 1 that look random and are always the same.

    Source: Park and Miller 1988, with their later factor, from memory.

    Returns:
        One number after the other, without end [-].

    Example:
        >>> round(next(draws()), 6)
        0.017465
    """
    state = 777
    while True:
        state = state * _FACTOR % _MODULUS
        yield state / _MODULUS
