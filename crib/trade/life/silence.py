"""What silence at a grind says of edges: a shop may tell of sharp and dull ones alike, or not.

An edge ground without a word was sharp or dull. How often a shop says so of either is learned with
its edges: where both are told of alike, silence says nothing; where mostly dull ones are told of,
most of the silent ones were sharp.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from math import exp, fsum, lgamma, log

from crib.trade.common.guards import require_not_negative

TELLS_ALIKE = 0.75
"""How sure it is, before a shop is known, that it tells of sharp and dull edges alike. Shop rule.

Its price and its worth were played (``tests/validation/life_chances.py``): where silence tells
nothing a belief is learned a little later, where it tells something the ranges hold the truth."""
_POINTS = 128
_APART = 0.05
"""Silent edges whose shares of the interval lie so near are taken together."""


@dataclass(frozen=True, slots=True)
class Silence:
    """A kind's own edges that nobody told of, and how many were told sharp or dull at a grind.

    ``strokes`` of an edge are those at which it was ground without a word.
    """

    strokes: tuple[float, ...] = ()
    sharp: int = 0
    dull: int = 0

    @property
    def teaches(self) -> bool:
        """Whether there is silence and anything said to learn from what silence means."""
        return bool(self.strokes) and self.sharp + self.dull > 0

    def shares(self, interval_strokes: float, most: float) -> tuple[tuple[float, float], ...]:
        """Shares of the interval up to ``most``, each with the part of the silent edges there."""
        near = Counter(
            max(1, round(min(strokes / interval_strokes, most) / _APART))
            for strokes in self.strokes
        )
        return tuple((at * _APART, count / len(self.strokes)) for at, count in sorted(near.items()))


NOTHING = Silence()
"""Every edge was told of, or none was ground."""


def log_silence(silence: Silence, sharp_share: float) -> float:
    """How likely what was told and not told is, where so many of the silent edges were sharp.

    Source: shop rule (the chances to tell of a sharp and of a dull edge are one and the same, or
    each is anything, evenly), integrated in closed form.

    With one chance r for both, ``r**told (1 - r)**silent`` does not hold the share: silence says
    nothing. With a chance for either, k of n silent edges being sharp has the weight
    ``C(n, k) S**k (1 - S)**(n - k) B(sharp + 1, k + 1) B(dull + 1, n - k + 1)``, summed over k.
    That all silent edges have the mean share S is exact where they were ground at one count, and
    elsewhere their spread is taken a few parts in a hundred too wide.

    Args:
        silence: What was told and what not [-].
        sharp_share: Share of the silent edges that were sharp, 0 to 1 [-].

    Returns:
        The logarithm of the likelihood, beside one that tells alike; 0 where nothing was told [-].

    Raises:
        BadValue: When the share is negative.

    Example:
        >>> log_silence(Silence((5000.0,) * 9), 0.9)
        0.0
        >>> only_dull = Silence((5000.0,) * 9, dull=3)
        >>> log_silence(only_dull, 0.9) > 0 > log_silence(only_dull, 0.1)
        True
    """
    require_not_negative(sharp_share=sharp_share)
    if not silence.teaches:
        return 0.0
    return log_at(silence_table(silence), sharp_share)


def silence_table(silence: Silence) -> tuple[float, ...]:
    """The values of ``log_silence`` at even shares from 0 to 1, for ``log_at``.

    Source: ``log_silence``; between two of the shares it is taken as straight.

    Args:
        silence: What was told and what not [-].

    Returns:
        The logarithms [-].

    Example:
        >>> len(silence_table(Silence((5000.0,), sharp=1)))
        129
    """
    return _table(len(silence.strokes), silence.sharp, silence.dull)


def log_at(table: tuple[float, ...], share: float) -> float:
    """A value of ``silence_table`` at any share.

    Source: linear interpolation.

    Args:
        table: Values at even shares from 0 to 1 [-].
        share: The share, 0 to 1 [-].

    Returns:
        The value [-].

    Example:
        >>> log_at(tuple(range(129)), 0.25)
        32.0
    """
    at = min(max(share, 0.0), 1.0) * _POINTS
    left = min(int(at), _POINTS - 1)
    return table[left] + (at - left) * (table[left + 1] - table[left])


def silent_dull(silence: Silence, sharp_share: float) -> float:
    """How many of the silent edges were dull, by what is believed and by how the shop tells.

    Source: ``log_silence``, the mean of what is left of n when k were sharp.

    Args:
        silence: What was told and what not [-].
        sharp_share: Share of such edges that are sharp as believed, 0 to 1 [-].

    Returns:
        The edges [edges].

    Example:
        >>> round(silent_dull(Silence((5000.0,) * 10, sharp=9, dull=1), 0.9), 1)
        1.0
        >>> silent_dull(Silence((5000.0,) * 10, sharp=1, dull=9), 0.9) < 0.6
        True
    """
    number, dull = len(silence.strokes), 1 - sharp_share
    if not silence.teaches or not 0 < sharp_share < 1:
        return number * dull
    terms = _terms(number, silence.sharp, silence.dull, sharp_share)
    alike = TELLS_ALIKE * exp(-max(terms))
    weights = [(1 - TELLS_ALIKE) * exp(one - max(terms)) for one in terms]
    told = fsum(weight * (number - sharp) for sharp, weight in enumerate(weights))
    return (alike * number * dull + told) / (alike + fsum(weights))


@lru_cache(maxsize=256)
def _table(number: int, sharp: int, dull: int) -> tuple[float, ...]:
    found = []
    for point in range(_POINTS + 1):
        terms = _terms(number, sharp, dull, point / _POINTS)
        top = max(0.0, *terms)
        apart = fsum(exp(one - top) for one in terms)
        found.append(top + log(TELLS_ALIKE * exp(-top) + (1 - TELLS_ALIKE) * apart))
    return tuple(found)


def _terms(number: int, sharp: int, dull: int, share: float) -> list[float]:
    """Logarithms of the weights of k sharp edges among the silent, beside telling alike."""
    alike = _log_beta(sharp + dull + 1, number + 1)
    some = log(max(share, 1e-9)), log(max(1 - share, 1e-9))
    return [
        _log_choose(number, k)
        + k * some[0]
        + (number - k) * some[1]
        + _log_beta(sharp + 1, k + 1)
        + _log_beta(dull + 1, number - k + 1)
        - alike
        for k in range(number + 1)
    ]


def _log_beta(a: float, b: float) -> float:
    return lgamma(a) + lgamma(b) - lgamma(a + b)


def _log_choose(number: int, k: int) -> float:
    return -_log_beta(k + 1, number - k + 1) - log(number + 1)
