"""How long an edge lasts when neither the count nor how steeply dulling comes is known.

Dulling is a Weibull life in weighted strokes. What is believed of it is a grid of pairs: a shape,
and the count by which the settings' share of the edges is dull, each with its weight. So whatever
is asked is a sum over pairs, and nothing has to have a closed form.

SciPy is never loaded here: this is asked at the window.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import exp, fsum, log, log1p, sqrt

from crib.trade.common.guards import require_not_negative
from crib.trade.life.gamma import require_share

_HALVINGS = 60
_CLOSE, _LEAST_SHARP = 1e-11, 1e-300
_STEEPEST = 600.0
"""Logarithm of a hazard beyond which no sum holds it."""


@dataclass(frozen=True, slots=True)
class ShapeRow:
    """The pairs of one shape: logarithms of counts [strokes], and their weights."""

    shape: float
    log_counts: tuple[float, ...]
    weights: tuple[float, ...]
    rates: tuple[float, ...]

    @classmethod
    def of(cls, shape: float, log_counts: Sequence[float], weights: Sequence[float]) -> ShapeRow:
        """A row with the rates of its counts, ``count ** -shape``, reckoned once."""
        rates = tuple(exp(-shape * count) for count in log_counts)
        return cls(shape, tuple(log_counts), tuple(weights), rates)

    def sharp(self, hazard: float) -> float:
        """The weight of edges still sharp, by a hazard [strokes ** shape]."""
        return sum(map(float.__mul__, self.weights, [exp(-hazard * one) for one in self.rates]))


@dataclass(frozen=True, slots=True)
class DullingBelief:
    """Pairs of shape and count with their weights, which sum to 1.

    A count is the one by which ``dull_at_share`` of the edges are dull; ``step`` lies between two.
    """

    rows: tuple[ShapeRow, ...]
    dull_at_share: float
    step: float

    @property
    def shape(self) -> float:
        """The mean shape."""
        return fsum(row.shape * fsum(row.weights) for row in self.rows)

    @property
    def middle(self) -> float:
        """The count by which the settings' share is dull, as the mean of its logarithm says."""
        return exp(sum(count * weight for count, weight in self._counts()))

    @property
    def spread(self) -> float:
        """The standard deviation of that count's logarithm."""
        mean = log(self.middle)
        return sqrt(sum((count - mean) ** 2 * weight for count, weight in self._counts()))

    def _counts(self) -> Iterator[tuple[float, float]]:
        for row in self.rows:
            yield from zip(row.log_counts, row.weights, strict=True)

    def sharp(self, strokes: float) -> float:
        """The share of edges still sharp after so many strokes, by all pairs."""
        if strokes <= 0:
            return 1.0
        hazard, reached = hazard_of(self.dull_at_share), log(strokes)
        return sum(
            row.sharp(hazard * exp(min(row.shape * reached, _STEEPEST))) for row in self.rows
        )


def hazard_of(share: float) -> float:
    """The hazard at which a share of the edges is dull.

    Source: Weibull distribution (the share sharp is ``exp(-hazard)``).

    Args:
        share: The share of edges dull, above 0 and below 1 [-].

    Returns:
        The hazard [-].

    Raises:
        BadValue: When the share is not between 0 and 1.

    Example:
        >>> round(hazard_of(0.1), 4)
        0.1054
    """
    require_share(share=share)
    return -log1p(-share)


def chance_dull_by(belief: DullingBelief, wear: float, more: float) -> float:
    """The chance that an edge still sharp after its wear is dull after some more strokes.

    Source: one less the share sharp after all strokes over the share sharp now, each a sum over the
    pairs; being sharp at its wear is itself a sign of a longer life.

    Args:
        belief: What is believed; its counts in [strokes].
        wear: Weighted strokes of the edge up to now [strokes].
        more: Weighted strokes to come [strokes].

    Returns:
        The chance, 0 to 1 [-].

    Raises:
        BadValue: When strokes are negative.

    Example:
        >>> belief = DullingBelief((ShapeRow.of(2.5, [log(5000.0)], [1.0]),), 0.1, 0.1)
        >>> round(chance_dull_by(belief, 0.0, 5000.0), 6)
        0.1
    """
    require_not_negative(wear=wear, more=more)
    now = belief.sharp(wear)
    return 1 - belief.sharp(wear + more) / now if now > 0 else 1.0


def count_at_risk(belief: DullingBelief, wear: float, risk: float) -> float:
    """How many more strokes an edge may do before its chance of being dull reaches a risk.

    Source: ``chance_dull_by`` set to the risk and solved for the strokes to come.

    Args:
        belief: What is believed; its counts in [strokes].
        wear: Weighted strokes of the edge up to now; 0 gives the count for a fresh edge [strokes].
        risk: The chance, above 0 and below 1 [-].

    Returns:
        The strokes to come [strokes].

    Raises:
        BadValue: When the wear is negative or the risk not between 0 and 1.

    Example:
        >>> belief = DullingBelief((ShapeRow.of(2.5, [log(5000.0)], [1.0]),), 0.1, 0.1)
        >>> round(count_at_risk(belief, 5000.0, 0.1))
        1598
    """
    require_not_negative(wear=wear)
    require_share(risk=risk)
    now, wanted = belief.sharp(wear), log(hazard_of(risk))

    def miss(log_more: float) -> float:
        # Nearly a straight line, as it is one where all pairs are the same and the edge is fresh.
        sharp = belief.sharp(wear + exp(log_more)) / now
        return log(-log(max(sharp, _LEAST_SHARP))) - wanted if sharp < 1 else -_STEEPEST

    start = belief.rows[0].log_counts[0]
    return exp(_root(miss, start - 1.0, start + 1.0))


def _root(miss: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising figure is nothing: false position, each end halved that stands too long."""
    below, above = miss(low), miss(high)
    while below > 0:
        low, below = low - (high - low), miss(low - (high - low))
    while above < 0:
        high, above = high + (high - low), miss(high + (high - low))
    high_moved, middle = False, low
    for _ in range(_HALVINGS):
        middle = (low * above - high * below) / (above - below)
        here = miss(middle)
        if abs(here) < _CLOSE or high - low < _CLOSE:
            break
        if here > 0:
            below = below / 2 if high_moved else below
            high, above, high_moved = middle, here, True
        else:
            above = above if high_moved else above / 2
            low, below, high_moved = middle, here, False
    return middle


def count_range(belief: DullingBelief, risk: float, sure: float = 0.9) -> tuple[float, float]:
    """Between which counts the true count at a risk lies, for a fresh edge.

    Source: equal-tailed interval of the belief. A pair's count at a risk p is its own times
    ``(ln(1 - p) / ln(1 - share)) ** (1 / shape)``; each is spread over its cell of the grid.

    Args:
        belief: What is believed; its counts in [strokes].
        risk: The share of edges dull by the count, above 0 and below 1 [-].
        sure: How sure the interval shall be, above 0 and below 1 [-].

    Returns:
        The lower and the upper count [strokes].

    Raises:
        BadValue: When the risk or the sureness is not between 0 and 1.

    Example:
        >>> belief = DullingBelief((ShapeRow.of(2.5, [log(5000.0)], [1.0]),), 0.1, 0.1)
        >>> [round(count) for count in count_range(belief, 0.1)]
        [4780, 5230]
    """
    require_share(risk=risk, sure=sure)
    further = log(hazard_of(risk) / hazard_of(belief.dull_at_share))
    points = [
        (count + further / row.shape, weight)
        for row in belief.rows
        for count, weight in zip(row.log_counts, row.weights, strict=True)
    ]
    tail = (1 - sure) / 2
    return _quantile(points, belief.step, tail), _quantile(points, belief.step, 1 - tail)


def _quantile(points: Sequence[tuple[float, float]], step: float, share: float) -> float:
    low, high = min(points)[0] - step, max(points)[0] + step
    for _ in range(_HALVINGS // 2):
        middle = (low + high) / 2
        below = sum(
            weight * min(1.0, max(0.0, (middle - at) / step + 0.5)) for at, weight in points
        )
        low, high = (middle, high) if below < share else (low, middle)
    return exp((low + high) / 2)
