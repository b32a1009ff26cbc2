"""The grid of shapes and counts, against the same posterior summed far finer and by other means.

Every edge has its own likelihood here, written once more; the settings are a normal distribution of
the count's logarithm (SciPy's) and a log-normal one of the shape. Nothing of the grid enters it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import polygamma
from scipy.stats import norm

from crib.trade.life.dulling import chance_dull_by, count_at_risk, count_range
from crib.trade.life.dulling_learned import learned_dulling, setting_spread
from crib.trade.life.edge_life import Observation, Prior

_PRIOR = Prior(5000.0)
_HAZARD = -log(0.9)
_HALF_CELL = log(2.08 / 0.48) / 16
_SHAPES = np.exp(np.linspace(log(1.2) - _HALF_CELL, log(5.2) + _HALF_CELL, 181))
_COUNTS = np.linspace(-1.8, 2.2, 1201)
_SPREAD = float(np.sqrt(polygamma(1, _PRIOR.weight))) / _PRIOR.shape
_TAKEN_AS = {"dull": 0.95, "left": 0.85, "right": 1.0}

_DULL = [Observation(strokes, "dull") for strokes in (4100.0, 5200.0, 7900.0, 9500.0)]
_SHARP = [Observation(strokes, "right") for strokes in (1800.0, 5000.0, 5600.0) * 2]
_OVERDUE = [Observation(strokes, "left") for strokes in (3600.0, 7000.0)]
_SETS = {
    "none": [],
    "dull": _DULL,
    "sharp": _SHARP,
    "all sorts": [*_DULL, *_SHARP, *_OVERDUE],
    "many": [*_DULL, *_SHARP, *_OVERDUE] * 6,
}

Table = NDArray[np.float64]


def _setting(shape: float, spread: float) -> Table:
    """Weights of the counts, so that one edge in ten is dull by the interval."""
    dull = -np.expm1(-_HAZARD * np.exp(-shape * _COUNTS))

    def bell(middle: float) -> Table:
        heights: Table = norm.pdf(_COUNTS, middle, spread)
        weights: Table = heights / heights.sum()
        return weights

    middle = brentq(lambda at: float(bell(at) @ dull) - 0.1, -0.5, 1.5)
    return bell(float(middle))


def _hazards(strokes: float) -> Table:
    """At every shape (down) and count (across)."""
    shares: Table = np.log(strokes / 5000.0) - _COUNTS[None, :]
    return _HAZARD * np.exp(_SHAPES[:, None] * shares)


def _likelihood(edges: Sequence[Observation]) -> Table:
    logs = np.zeros((len(_SHAPES), len(_COUNTS)))
    for one in edges:
        hazard = _hazards(one.strokes * _TAKEN_AS[one.kind])
        if one.kind == "left":
            logs += np.log(-np.expm1(-hazard))
        else:
            density = np.log(_SHAPES[:, None] * hazard) if one.kind == "dull" else 0.0
            logs += density - hazard
    found: Table = np.exp(logs - logs.max())
    return found


def _posterior(edges: Sequence[Observation]) -> Table:
    shapes = norm.pdf(np.log(_SHAPES / 2.5), 0.0, 0.4)
    counts = np.array([_setting(shape, _SPREAD) for shape in _SHAPES])
    heights: Table = shapes[:, None] * counts * _likelihood(edges)
    weights: Table = heights / heights.sum()
    return weights


@pytest.mark.parametrize("edges", _SETS.values(), ids=_SETS)
def test_chances_and_ranges_are_the_integrals(edges: list[Observation]) -> None:
    posterior, belief = _posterior(edges), learned_dulling(_PRIOR, [[edges]])
    now, then = ((posterior * np.exp(-_hazards(strokes))).sum() for strokes in (3000.0, 6000.0))
    assert chance_dull_by(belief, 3000.0, 3000.0) == pytest.approx(1 - then / now, abs=0.003)
    low, high = count_range(belief, 0.1)
    below = np.cumsum(posterior.sum(axis=0))
    for count, share in ((low, 0.05), (high, 0.95)):
        assert np.interp(log(count / 5000.0), _COUNTS, below) == pytest.approx(share, abs=0.008)


def test_the_spread_of_the_settings_is_that_of_a_gamma_distributed_rate() -> None:
    assert setting_spread(_PRIOR) == pytest.approx(_SPREAD, rel=1e-9)


def test_a_kind_lies_about_its_like_and_that_about_the_setting() -> None:
    # So many edges of the neighbour that its count is known: then the kind's is normal about what
    # it has in common with it, by the textbook; shape held by as many edges.
    like = [Observation(9000.0 * (-log(1 - share)) ** 0.4 / 0.95, "dull") for share in _EVEN]
    known, _ = count_range(learned_dulling(_PRIOR, [[like]]), 0.1, 0.01)
    told = learned_dulling(_PRIOR, [[like], [[]]])
    variance, at = _SPREAD**2, log(known / 5000.0)
    middle = float(np.sum(_setting(2.5, _SPREAD) * _COUNTS))
    ways = []
    for common in (0.25, 0.75):
        heard = norm.pdf(at, middle, _SPREAD)
        mean = middle + common * (at - middle)
        ways.append((heard, mean, variance * (1 - common**2)))
    total = sum(heard for heard, *_ in ways)
    mean = sum(heard * mean for heard, mean, _ in ways) / total
    assert log(told.middle / 5000.0) == pytest.approx(mean, abs=0.06)
    square = sum(heard * (one + (at_one - mean) ** 2) for heard, at_one, one in ways) / total
    assert told.spread == pytest.approx(float(np.sqrt(square)), rel=0.08)
    assert count_at_risk(told, 0.0, 0.1) < 5000.0


_EVEN = [(one + 0.5) / 300 for one in range(300)]
