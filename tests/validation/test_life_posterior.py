"""The closed forms of learning, against the same integrals done by number.

The posterior of the rate is the prior gamma density times every edge's own likelihood; nothing of
the closed form enters it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, log

import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from crib.trade.life.edge_life import Belief, Observation, Prior, learn
from crib.trade.life.risks import chance_within
from crib.trade.reference.held_shape import dulling_belief, range_at_risk, strokes_at_risk

_START = dulling_belief(Prior(5000.0, weight=4.0))
# None so long that it would not be followed to its end.
_DULL = [Observation(strokes, "dull") for strokes in (3100.0, 4200.0, 5200.0, 5900.0)]
_SHARP = [Observation(strokes, "right") for strokes in (800.0, 5000.0, 5000.0, 5600.0) * 3]
_OVERDUE = [Observation(strokes, "left") for strokes in (2600.0, 5000.0, 7000.0, 11000.0)]


class _ByNumber:
    """The posterior of the rate by integration over ln(rate x the prior's exposure)."""

    def __init__(self, start: Belief, edges: Sequence[Observation]) -> None:
        self.start, self.edges = start, edges
        self.top = 0.0
        self.top = max(log(self.density(step / 50)) for step in range(-200, 250))
        self.total = self._integral(lambda _: 1.0)

    def density(self, log_rate: float) -> float:
        """The posterior density, but for a factor."""
        scaled = exp(log_rate)
        text = self.start.events * log_rate - scaled - self.top
        for one in self.edges:
            hazard = scaled * one.strokes**self.start.shape / self.start.exposure
            if one.kind == "left":
                text += log(1 - exp(-hazard))
            else:
                text += (log_rate if one.kind == "dull" else 0.0) - hazard
        return exp(max(text, -700.0))

    def mean(self, figure: Callable[[float], float]) -> float:
        """The mean of a figure of the rate."""
        return self._integral(lambda at: figure(exp(at) / self.start.exposure)) / self.total

    def share_below(self, rate: float) -> float:
        """The share of the posterior below a rate."""
        edge = log(rate * self.start.exposure)
        return float(quad(self.density, -8.0, edge, limit=400)[0]) / self.total

    def _integral(self, figure: Callable[[float], float]) -> float:
        parts = ((-8.0, -1.0), (-1.0, 1.0), (1.0, 2.0), (2.0, 5.0))
        return sum(
            float(quad(lambda at: self.density(at) * figure(at), low, high, limit=400)[0])
            for low, high in parts
        )

    def chance_within(self, wear: float, more: float) -> float:
        """The mean chance of being dull within some more strokes."""
        shape = self.start.shape
        added = (wear + more) ** shape - wear**shape
        return self.mean(lambda rate: 1 - exp(-rate * added))


@pytest.mark.parametrize(
    "edges",
    [[], _DULL, _SHARP, _SHARP + _DULL, (_SHARP + _DULL) * 4],
    ids=["none", "dull", "sharp", "both", "many"],
)
@pytest.mark.parametrize(("wear", "more"), [(0.0, 5000.0), (4000.0, 2500.0), (9000.0, 100.0)])
def test_with_dull_and_sharp_edges_the_closed_form_is_exact(
    edges: list[Observation], wear: float, more: float
) -> None:
    expected = _ByNumber(_START, edges).chance_within(wear, more)
    assert chance_within(learn(_START, edges), wear, more) == pytest.approx(expected, rel=1e-7)


@pytest.mark.parametrize("sure", [0.5, 0.9])
def test_the_interval_leaves_out_equal_shares_on_either_side(sure: float) -> None:
    edges = _DULL + _SHARP
    by_number = _ByNumber(_START, edges)
    low, high = range_at_risk(learn(_START, edges), 0.1, sure)
    below, above = (
        by_number.share_below(-log(0.9) / strokes**_START.shape) for strokes in (high, low)
    )
    assert below == pytest.approx((1 - sure) / 2, rel=1e-6)
    assert 1 - above == pytest.approx((1 - sure) / 2, rel=1e-6)


@pytest.mark.parametrize("overdue", _OVERDUE, ids=lambda one: f"{one.strokes:g}")
def test_one_overdue_edge_has_its_mean_and_variance_exactly(overdue: Observation) -> None:
    before = learn(_START, _DULL)
    after = learn(before, [overdue])
    by_number = _ByNumber(_START, [*_DULL, overdue])
    mean, square = by_number.mean(lambda rate: rate), by_number.mean(lambda rate: rate**2)
    assert after.events / after.exposure == pytest.approx(mean, rel=1e-7)
    assert after.events / after.exposure**2 == pytest.approx(square - mean**2, rel=1e-6)


@pytest.mark.parametrize(
    ("edges", "within"),
    [
        (_OVERDUE[:1], 1e-3),
        (_OVERDUE, 1e-3),
        (_OVERDUE * 2, 1e-3),
        (_DULL + _SHARP + _OVERDUE, 1e-3),
        (_OVERDUE + _SHARP + _DULL, 1e-3),
        ((_OVERDUE[1:2] + _SHARP[1:2] * 4) * 20, 1e-3),
        (_OVERDUE * 10, 2e-2),
    ],
    ids=["one", "four", "eight", "last", "first", "one in five", "forty and nothing else"],
)
@pytest.mark.parametrize("risk", [0.1, 0.5])
def test_with_overdue_edges_a_count_stays_close(
    edges: list[Observation], within: float, risk: float
) -> None:
    by_number = _ByNumber(_START, edges)
    expected = float(
        brentq(lambda strokes: by_number.chance_within(0.0, strokes) - risk, 500.0, 30000.0)
    )
    assert strokes_at_risk(learn(_START, edges), 0.0, risk) == pytest.approx(expected, rel=within)
