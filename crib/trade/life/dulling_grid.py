"""A belief of dulling on its grid of shapes and counts, as logarithms, and on finer grids.

Counts are logarithms over the interval of the settings. Where a belief has become finer than its
grid it is laid out again on one of its own, along straight lines of the logarithms.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, fsum, log, sqrt

from crib.trade.life.dulling import DullingBelief, ShapeRow

LEAST = 1e-12
"""Weights below it are as good as none."""
# Below so many steps a belief is finer than the grid.
_FINE, _FINE_COUNTS, _FINE_SHAPES, _FINE_REACH = 1.5, 33, 13, 4.5


@dataclass(frozen=True, slots=True)
class BeliefGrid:
    """What is believed of a shape and its counts: logarithms of weights, but for a constant."""

    shapes: tuple[float, ...]
    counts: tuple[float, ...]
    logs: tuple[tuple[float, ...], ...]

    def weights(self) -> list[list[float]]:
        """The weights, which sum to 1."""
        best = max(max(row) for row in self.logs)
        rows = [[exp(one - best) for one in row] for row in self.logs]
        total = fsum(fsum(row) for row in rows)
        return [[one / total for one in row] for row in rows]

    def finer(self) -> tuple[tuple[float, ...], tuple[float, ...]] | None:
        """Shapes and counts around what is believed; None where the grid is fine enough."""
        weights = self.weights()
        shapes = [(log(shape), sum(row)) for shape, row in zip(self.shapes, weights, strict=True)]
        counts = list(zip(self.counts, map(sum, zip(*weights, strict=True)), strict=True))
        if min(_spread(shapes) / _gap(shapes), _spread(counts) / _gap(counts)) >= _FINE:
            return None
        around = [exp(one) for one in _around(shapes, _FINE_SHAPES)]
        return tuple(around), tuple(_around(counts, _FINE_COUNTS))

    def laid_out(self, shapes: tuple[float, ...], counts: tuple[float, ...]) -> BeliefGrid:
        """The same belief on another grid inside of it."""
        usual = [log(shape) for shape in self.shapes]
        across = [[_between(self.counts, row, count) for count in counts] for row in self.logs]
        columns = [
            [_between(usual, column, log(shape)) for shape in shapes]
            for column in zip(*across, strict=True)
        ]
        return BeliefGrid(shapes, counts, tuple(zip(*columns, strict=True)))

    def belief(self, interval_strokes: float, dull_at_share: float) -> DullingBelief:
        """The pairs that count, their counts in strokes."""
        unit, rows = log(interval_strokes), []
        for shape, row in zip(self.shapes, self.weights(), strict=True):
            pairs = zip(self.counts, row, strict=True)
            kept = [(unit + at, one) for at, one in pairs if one > LEAST]
            if kept:
                rows.append(ShapeRow.of(shape, *zip(*kept, strict=True)))
        return DullingBelief(tuple(rows), dull_at_share, self.counts[1] - self.counts[0])


def _gap(points: Sequence[tuple[float, float]]) -> float:
    return points[1][0] - points[0][0]


def _spread(points: Sequence[tuple[float, float]]) -> float:
    mean = sum(at * weight for at, weight in points)
    return sqrt(sum((at - mean) ** 2 * weight for at, weight in points))


def _around(points: Sequence[tuple[float, float]], number: int) -> list[float]:
    mean = sum(at * weight for at, weight in points)
    reach = _FINE_REACH * max(_spread(points), 0.4 * _gap(points))
    low, high = max(points[0][0], mean - reach), min(points[-1][0], mean + reach)
    return [low + (high - low) * step / (number - 1) for step in range(number)]


def _between(places: Sequence[float], heights: Sequence[float], at: float) -> float:
    gap = places[1] - places[0]
    left = min(max(int((at - places[0]) / gap), 0), len(places) - 2)
    part = (at - places[left]) / gap
    return heights[left] * (1 - part) + heights[left + 1] * part
