"""Shape and scale of greatest likelihood, against SciPy's own fit of censored data."""

from __future__ import annotations

import random
from math import exp, log

import numpy as np
import pytest
from scipy import optimize, stats

from crib.errors import BadValue, UnknownName
from crib.trade.life.edge_life import Observation, Outcome
from crib.trade.life.weibull_fit import (
    WeibullFit,
    fitted_life,
    shape_seen,
)


def _edges(chance: random.Random, shape: float, number: int, unit: float) -> list[Observation]:
    """Edges that were looked at once at random, half of the overdue ones noticed in time."""
    found = []
    for _ in range(number):
        life, looked = chance.weibullvariate(unit, shape), chance.uniform(0.3, 1.5) * unit
        if life > looked:
            found.append(Observation(looked, "right"))
        elif chance.random() < 0.5:
            found.append(Observation(life, "dull"))
        else:
            found.append(Observation(looked, "left"))
    return found


def _strokes(edges: list[Observation], kind: Outcome) -> list[float]:
    return [one.strokes for one in edges if one.kind == kind]


def _log_likelihood(edges: list[Observation], shape: float, scale: float) -> float:
    life = stats.weibull_min(shape, scale=scale)
    return float(
        sum(life.logpdf(_strokes(edges, "dull")))
        + sum(life.logsf(_strokes(edges, "right")))
        + sum(life.logcdf(_strokes(edges, "left")))
    )


@pytest.mark.parametrize("shape", [1.0, 2.5, 4.0])
@pytest.mark.parametrize("unit", [0.8, 12000.0])
def test_the_fit_is_scipys(shape: float, unit: float) -> None:
    edges = _edges(random.Random(7), shape, 200, unit)
    fit = fitted_life(edges)
    data: stats.CensoredData[np.float64] = stats.CensoredData(
        uncensored=_strokes(edges, "dull"),
        left=_strokes(edges, "left"),
        right=_strokes(edges, "right"),
    )
    theirs, _, scale = stats.weibull_min.fit(data, floc=0)
    assert fit.shape == pytest.approx(theirs, rel=1e-3)
    assert fit.scale == pytest.approx(scale, rel=1e-3)
    assert fit.events == len(_strokes(edges, "dull"))


def test_no_neighbour_is_more_likely_and_the_errors_are_the_bend_of_the_top() -> None:
    edges = _edges(random.Random(11), 2.5, 120, 12000.0)
    fit = fitted_life(edges)
    top = _log_likelihood(edges, fit.shape, fit.scale)
    assert fit.log_likelihood == pytest.approx(top, rel=1e-12)
    for error, shift in _profiles(edges, fit):
        assert shift == pytest.approx(error, rel=0.03)


def _profiles(edges: list[Observation], fit: WeibullFit) -> list[tuple[float, float]]:
    """Each error, and the shift along its profile that costs an eighth, made a whole error."""
    top, pairs = fit.log_likelihood, []
    shape = fit.shape + fit.shape_error / 2
    along_shape = _most_likely_at(edges, shape, fit.scale)
    pairs.append((fit.shape_error, fit.shape_error * (8 * (top - along_shape)) ** 0.5))
    scale = fit.scale + fit.scale_error / 2
    shapes = [fit.shape * exp(step / 1000) for step in range(-150, 151)]
    along_scale = max(_log_likelihood(edges, shape, scale) for shape in shapes)
    pairs.append((fit.scale_error, fit.scale_error * (8 * (top - along_scale)) ** 0.5))
    return pairs


def _most_likely_at(edges: list[Observation], shape: float, near: float) -> float:
    """The log-likelihood of the best scale to a shape."""
    best = optimize.minimize_scalar(
        lambda log_scale: -_log_likelihood(edges, shape, exp(log_scale)),
        bounds=(log(near) - 1, log(near) + 1),
        method="bounded",
    )
    return -float(best.fun)


@pytest.mark.parametrize("factor", [1e-3, 1.0, 1e4])
def test_the_unit_of_the_strokes_does_not_matter(factor: float) -> None:
    edges = _edges(random.Random(3), 2.5, 60, 1.0)
    plain = fitted_life(edges, 10)
    fit = fitted_life([Observation(one.strokes * factor, one.kind) for one in edges], 10)
    assert fit.shape == pytest.approx(plain.shape, rel=1e-9)
    assert fit.scale == pytest.approx(plain.scale * factor, rel=1e-9)
    assert fit.log_likelihood == pytest.approx(plain.log_likelihood - fit.events * log(factor))


@pytest.mark.parametrize("shape", [0.05, 0.3, 30.0, 120.0])
def test_a_far_shape_is_found(shape: float) -> None:
    lives = [1000.0 * (-log(1 - (n + 0.5) / 50)) ** (1 / shape) for n in range(50)]
    fit = fitted_life([Observation(life, "dull") for life in lives])
    assert fit.shape == pytest.approx(shape, rel=0.05)


def _shape(edges: list[Observation]) -> float:
    seen = shape_seen(edges)
    assert seen is not None
    return seen.shape


def test_too_few_dull_edges_are_refused() -> None:
    with pytest.raises(BadValue, match="19 edges were found dull, must be >= 20"):
        fitted_life([Observation(5000.0 + 100 * n, "dull") for n in range(19)])


@pytest.mark.parametrize("shape", [1.5, 2.5, 4.0])
@pytest.mark.parametrize("strokes", [1.0, 50.0, 3000.0, 12000.0, 1e6])
def test_one_more_edge_moves_the_shape_by_at_most_a_seventh(shape: float, strokes: float) -> None:
    edges = _edges(random.Random(13), shape, 150, 12000.0)
    before = _shape(edges)
    outcomes: tuple[Outcome, ...] = ("dull", "right", "left")
    for kind in outcomes:
        assert _shape([*edges, Observation(strokes, kind)]) == pytest.approx(before, rel=1 / 7), (
            kind
        )


@pytest.mark.parametrize("shape", [2.5, 4.0])
def test_the_shape_that_is_seen_comes_to_the_true_one(shape: float) -> None:
    edges = _edges(random.Random(17), shape, 1500, 12000.0)
    assert _shape(edges) == pytest.approx(shape, rel=0.08)


def test_an_edge_not_used_yet_does_not_stop_a_shape_from_being_seen() -> None:
    edges = _edges(random.Random(13), 2.5, 150, 12000.0)
    assert _shape([*edges, Observation(0.0, "right")]) == _shape(edges)


def test_edges_that_leave_the_shape_open_show_none() -> None:
    edges = [Observation(5000.0, "dull")] * 30
    assert shape_seen(edges) is None
    assert shape_seen([*edges, Observation(5200.0, "dull")]) is None
    with pytest.raises(BadValue, match="the edges leave the life open"):
        fitted_life(edges)


def test_without_a_dull_edge_there_is_no_fit() -> None:
    edges = [Observation(5000.0, "right"), Observation(6000.0, "left")]
    with pytest.raises(BadValue, match="0 edges were found dull, must be >= 1"):
        fitted_life(edges, 1)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(BadValue, match="least_events=0 must be > 0"):
        shape_seen([], 0)
    with pytest.raises(BadValue, match="strokes=0 must be > 0"):
        fitted_life([Observation(5000.0, "dull"), Observation(0.0, "dull")], 1)
    with pytest.raises(BadValue, match="strokes=-1 must be >= 0"):
        shape_seen([Observation(-1.0, "right")])
    bad = Observation(1.0, "chipped")  # type: ignore[arg-type]
    with pytest.raises(UnknownName, match="unknown kind 'chipped'"):
        fitted_life([Observation(5000.0, "dull"), bad], 1)


@pytest.mark.parametrize("shape", [1.5, 2.5, 4.0])
def test_nine_intervals_in_ten_hold_the_true_shape(shape: float) -> None:
    held = 0
    for seed in range(60):
        seen = shape_seen(_edges(random.Random(seed), shape, 160, 12000.0))
        assert seen is not None
        assert seen.low < seen.shape < seen.high
        held += seen.low <= shape <= seen.high
    # 54 are expected; the chance of fewer than 47 or of all is below 1 in 100.
    assert 47 <= held <= 60


def test_as_many_intervals_lie_above_the_true_shape_as_below_it() -> None:
    above = below = 0
    for seed in range(200):
        chance = random.Random(seed)
        edges = [Observation(chance.weibullvariate(9000.0, 2.5), "dull") for _ in range(25)]
        seen = shape_seen(edges, least_events=15)
        assert seen is not None
        above, below = above + (seen.low > 2.5), below + (seen.high < 2.5)
    # 10 of each are expected; the chance of fewer than 3 or more than 19 is below 1 in 100.
    assert 3 <= above <= 19
    assert 3 <= below <= 19


def test_a_surer_interval_is_wider() -> None:
    edges = _edges(random.Random(3), 2.5, 120, 12000.0)
    wide, narrow = shape_seen(edges, sure=0.99), shape_seen(edges, sure=0.5)
    assert wide is not None
    assert narrow is not None
    assert wide.low < narrow.low < narrow.high < wide.high


@pytest.mark.parametrize(("events", "seen"), [(19, False), (20, True), (21, True)])
def test_no_shape_is_seen_below_the_least_number_of_dull_edges(events: int, seen: bool) -> None:
    edges = [Observation(5000.0 + 100 * n, "dull") for n in range(events)]
    found = shape_seen([*edges, Observation(9000.0, "right"), Observation(9000.0, "left")])
    assert (found is not None) is seen


@pytest.mark.parametrize("sure", [0.0, 1.0])
def test_nothing_is_wholly_sure(sure: float) -> None:
    with pytest.raises(BadValue, match="sure="):
        shape_seen([], sure=sure)
