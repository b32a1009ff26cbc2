"""The life that is kept beside a kind: the counts by which stated shares of its edges are dull.

What edges taught is a belief of hundreds of pairs (``dulling``), which takes a moment to learn.
What anybody asks of it is a chance, for which the share sharp after so many strokes is enough. It
is learned where evidence comes in and read wherever a chance is told, so that all tell the same.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import exp, expm1, isfinite, log

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative
from crib.trade.life.dulling import DullingBelief, count_at_risk, hazard_of
from crib.trade.life.edge_life import Prior
from crib.trade.life.gamma import require_share

SHARES = (
    *(0.001, 0.003, 0.01, 0.03, 0.06, 0.1, 0.2),
    *(0.35, 0.5, 0.7, 0.85, 0.95, 0.99, 0.999),
)
"""The shares dull whose counts are kept; between them the curve is drawn, beyond them carried on.
Shop rule; so close together that no chance is off by more than 1 in 100."""

_HAZARDS = tuple(log(hazard_of(share)) for share in SHARES)
_HALVINGS, _SECANTS = 60, 12
_CLOSE = 1e-11
_DIGITS = 8

_USUAL = Prior(1.0)
_OF_USUAL = (
    *(0.0973582499, 0.183313428, 0.343764479, 0.577545013, 0.790340769, 1.0, 1.41394701),
    *(1.97868113, 2.60796229, 3.79990179, 5.55523776, 9.00115971, 16.2542432, 32.5048204),
)
"""The counts of the usual settings, as shares of their interval: they need not be learned."""


@dataclass(frozen=True, slots=True)
class KeptLife:
    """Logarithms of the counts at ``SHARES`` [strokes], and how steeply the hazard rises there."""

    log_counts: tuple[float, ...]
    slopes: tuple[float, ...]

    @classmethod
    def of(cls, counts: Sequence[float]) -> KeptLife:
        """The life with these counts [strokes]."""
        logs = tuple(map(log, counts))
        return cls(logs, _slopes(logs))

    @property
    def counts(self) -> tuple[float, ...]:
        """The counts by which ``SHARES`` of the edges are dull [strokes]."""
        return tuple(map(exp, self.log_counts))

    def hazard(self, strokes: float) -> float:
        """What is sharp after so many strokes is ``exp(-hazard)``."""
        return exp(self._log_hazard(log(strokes))) if strokes > 0 else 0.0

    def chance_dull(self, wear: float, more: float) -> float:
        """The chance that an edge sharp after its wear is dull after some more strokes."""
        require_not_negative(wear=wear, more=more)
        return -expm1(self.hazard(wear) - self.hazard(wear + more))

    def strokes_at_risk(self, wear: float, risk: float) -> float:
        """The strokes to come until the chance of being dull reaches a risk."""
        require_not_negative(wear=wear)
        require_share(risk=risk)
        return max(0.0, exp(self._log_count(log(self.hazard(wear) + hazard_of(risk)))) - wear)

    def _log_hazard(self, at: float) -> float:
        """Cubic between two counts; as steep as at the end beyond them."""
        logs = self.log_counts
        if at <= logs[0]:
            return _HAZARDS[0] + self.slopes[0] * (at - logs[0])
        if at >= logs[-1]:
            return _HAZARDS[-1] + self.slopes[-1] * (at - logs[-1])
        left = bisect_right(logs, at) - 1
        gap = logs[left + 1] - logs[left]
        part = (at - logs[left]) / gap
        low, high = _HAZARDS[left], _HAZARDS[left + 1]
        up = part * part * (3 - 2 * part)
        bend = self.slopes[left] * (1 - part) - self.slopes[left + 1] * part
        return low + (high - low) * up + gap * part * (1 - part) * bend

    def _log_count(self, hazard: float) -> float:
        """Where the logarithm of the hazard is reached."""
        logs = self.log_counts
        if hazard <= _HAZARDS[0]:
            return logs[0] + (hazard - _HAZARDS[0]) / self.slopes[0]
        if hazard >= _HAZARDS[-1]:
            return logs[-1] + (hazard - _HAZARDS[-1]) / self.slopes[-1]
        left = bisect_right(_HAZARDS, hazard) - 1
        low, high = logs[left], logs[left + 1]
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if self._log_hazard(middle) <= hazard else (low, middle)
        return low


@lru_cache(maxsize=64)
def kept_life(belief: DullingBelief) -> KeptLife:
    """What is kept of a belief.

    Source: ``count_at_risk`` at each of ``SHARES``; the hazard between them by a monotone cubic
    of logarithms (Fritsch and Butland's slopes, SIAM J. Sci. Stat. Comput. 5 (1984); from memory).

    Args:
        belief: What is believed; its counts in [strokes].

    Returns:
        The life; its counts in [strokes].

    Example:
        >>> from crib.trade.life.dulling_learned import learned_dulling
        >>> life = kept_life(learned_dulling(Prior(5000.0), []))
        >>> round(life.chance_dull(0.0, 5000.0), 6), round(life.strokes_at_risk(5000.0, 0.1))
        (0.1, 1877)
    """
    found = [log(count_at_risk(belief, 0.0, share)) for share in SHARES[:2]]
    for wanted in _HAZARDS[2:]:
        found.append(_reached(belief, wanted, found))
    return KeptLife.of([exp(at) for at in found])


def _reached(belief: DullingBelief, wanted: float, found: Sequence[float]) -> float:
    """The logarithm of the count of a hazard, by secants from the counts of the two before it."""
    before, at = found[-2:]
    low, here = _HAZARDS[len(found) - 2 : len(found)]
    for _ in range(_SECANTS):
        before, at, low = at, at + (wanted - here) * (at - before) / (here - low), here
        sharp = belief.sharp(exp(at))
        if not 0 < sharp < 1:
            break
        here = log(-log(sharp))
        if abs(here - wanted) < _CLOSE:
            return at
    return log(count_at_risk(belief, 0.0, -expm1(-exp(wanted))))


@lru_cache(maxsize=512)
def settings_life(prior: Prior) -> KeptLife:
    """The life of a kind of which nothing was seen.

    Source: ``learned_dulling`` without an edge.

    Args:
        prior: The settings; the interval in [strokes].

    Returns:
        The life; its counts in [strokes].

    Raises:
        BadValue: When a setting is out of its limits.

    Example:
        >>> round(settings_life(Prior(4000.0)).strokes_at_risk(0.0, 0.1))
        4000
    """
    shares = _settings_shares(prior.shape, prior.weight, prior.dull_at_share)
    return scaled(KeptLife.of(shares), prior.interval_strokes)


def scaled(life: KeptLife, times: float) -> KeptLife:
    """A life of counts so many times as long, such as one in shares of an interval.

    Source: a count's logarithm, and the logarithm of the times added; the slopes stay.

    Args:
        life: The life; its counts in [strokes], or in shares of an interval [-].
        times: How many times as long, or the interval [strokes].

    Returns:
        The life; its counts in [strokes].

    Example:
        >>> round(scaled(settings_life(Prior(4000.0)), 2.0).strokes_at_risk(0.0, 0.1))
        8000
    """
    further = log(times)
    return KeptLife(tuple(one + further for one in life.log_counts), life.slopes)


def life_in_force(text: str, prior: Prior) -> KeptLife:
    """The life by which every chance of a kind's edges is told.

    Source: what is kept of it, else ``settings_life``.

    Args:
        text: What is kept beside the kind, empty where nothing is; counts in [strokes].
        prior: The settings, the interval being the one that reminders use [strokes].

    Returns:
        The life; its counts in [strokes].

    Raises:
        BadValue: When what is kept cannot be a life, or a setting is out of its limits.

    Example:
        >>> kept = life_text(settings_life(Prior(4000.0)))
        >>> round(life_in_force(kept, Prior(5000.0)).strokes_at_risk(0.0, 0.1))
        4000
    """
    return life_of_text(text) if text else settings_life(prior)


def life_text(life: KeptLife) -> str:
    """A life as it is kept: its counts in plain decimal numbers, with blanks between.

    Source: shop rule.

    Args:
        life: The life; its counts in [strokes].

    Returns:
        The text; its counts in [strokes].

    Example:
        >>> life_text(settings_life(Prior(5000.0)))[:29]
        '486.79125 916.56714 1718.8224'
    """
    return " ".join(map(_plain, life.counts))


@lru_cache(maxsize=512)
def life_of_text(text: str) -> KeptLife:
    """A life from its text.

    Source: ``life_text``.

    Args:
        text: Rising counts, one for each of ``SHARES`` [strokes].

    Returns:
        The life; its counts in [strokes].

    Raises:
        BadValue: When the text is none.

    Example:
        >>> life_of_text("100 200")
        Traceback (most recent call last):
        crib.errors.BadValue: '100 200' is no life: 14 rising counts
    """
    try:
        counts = [float(word) for word in text.split()]
    except ValueError:
        counts = []
    rising = all(low < high for low, high in pairwise([0.0, *counts]))
    if len(counts) != len(SHARES) or not rising or not isfinite(counts[-1]):
        message = f"{text[:60]!r} is no life: {len(SHARES)} rising counts"
        raise BadValue(message)
    return KeptLife.of(counts)


def _plain(count: float) -> str:
    return f"{count:.{max(0, _DIGITS - 1 - _tens(count))}f}"


def _tens(count: float) -> int:
    return int(f"{count:e}".partition("e")[2])


@lru_cache(maxsize=16)
def _settings_shares(shape: float, weight: float, dull_at_share: float) -> tuple[float, ...]:
    prior = Prior(1.0, shape, weight, dull_at_share)
    if prior == _USUAL:
        return _OF_USUAL
    # Only a shop with settings of its own waits for what learns them.
    from crib.trade.life.dulling_learned import learned_dulling

    return kept_life(learned_dulling(prior, [])).counts


def _slopes(logs: Sequence[float]) -> tuple[float, ...]:
    """How steep the logarithm of the hazard is at each count; never falling between them."""
    gaps = [high - low for low, high in pairwise(logs)]
    rises = [high - low for low, high in pairwise(_HAZARDS)]
    steep = [rise / gap for rise, gap in zip(rises, gaps, strict=True)]
    inner = [_between(gaps[at : at + 2], steep[at : at + 2]) for at in range(len(gaps) - 1)]
    return (_at_end(gaps[:2], steep[:2]), *inner, _at_end(gaps[:-3:-1], steep[:-3:-1]))


def _between(gaps: Sequence[float], steep: Sequence[float]) -> float:
    """A weighted harmonic mean of two slopes."""
    first, second = 2 * gaps[1] + gaps[0], gaps[1] + 2 * gaps[0]
    return (first + second) / (first / steep[0] + second / steep[1])


def _at_end(gaps: Sequence[float], steep: Sequence[float]) -> float:
    """As a parabola through three points has it, within what keeps the curve rising."""
    bent = ((2 * gaps[0] + gaps[1]) * steep[0] - gaps[0] * steep[1]) / (gaps[0] + gaps[1])
    return min(max(bent, 0.1 * steep[0]), 3 * steep[0])
