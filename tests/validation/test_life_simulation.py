"""500 shops with a known life: the 10 % limit is right, pays, and comes to the truth."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from math import log
from statistics import fmean

import pytest

from crib.trade.life.edge_life import Prior, learn
from crib.trade.life.weibull_fit import shape_seen
from crib.trade.reference.held_shape import dulling_belief, strokes_at_risk
from crib.trade.reference.known_lives import strokes_at_share
from tests.validation.life_shops import (
    INTERVAL,
    START,
    Edge,
    Look,
    Shop,
    at_an_interval,
    at_the_limit,
    shops,
    when_it_suits,
    work,
)

pytestmark = pytest.mark.slow

_SHOPS = 500
_STAGES = (0, 10, 40, 160)


def _limits(some: list[Shop], look: Look, stages: tuple[int, ...]) -> dict[int, list[float]]:
    """The 10 % limit of each shop after so many edges."""
    limits: dict[int, list[float]] = {stage: [] for stage in stages}
    for seed, shop in enumerate(some):
        beliefs = [belief for belief, _ in islice(work(shop, look, seed), max(stages) + 1)]
        for stage in stages:
            limits[stage].append(strokes_at_risk(beliefs[stage], 0.0, 0.1))
    return limits


def _mean_risk(some: list[Shop], limits: list[float]) -> float:
    return fmean(shop.risk(limit) for shop, limit in zip(some, limits, strict=True))


def _mean_miss(some: list[Shop], limits: list[float]) -> float:
    """How far the limits are from the true 10 % counts, as a share of them."""
    pairs = zip(some, limits, strict=True)
    return fmean(abs(log(limit / _true_limit(shop))) for shop, limit in pairs)


def _true_limit(shop: Shop) -> float:
    return strokes_at_share(0.1, shop.scale, shop.shape)


@pytest.mark.parametrize("look", [at_the_limit, when_it_suits])
def test_where_the_settings_are_as_good_as_they_claim_10_percent_is_right_from_the_start(
    look: Look,
) -> None:
    some = shops(_SHOPS, 1, spread=None)
    for stage, limits in _limits(some, look, _STAGES).items():
        assert 0.08 <= _mean_risk(some, limits) <= 0.12, stage


@pytest.mark.parametrize("look", [at_the_limit, when_it_suits])
def test_where_the_settings_are_off_by_half_as_much_again_10_percent_is_right_once_learnt(
    look: Look,
) -> None:
    some = shops(_SHOPS, 2, spread=0.4)
    limits = _limits(some, look, _STAGES)
    assert _mean_risk(some, limits[0]) > 0.12
    assert 0.08 <= _mean_risk(some, limits[160]) <= 0.12


@pytest.mark.parametrize("shape", [2.0, 2.5, 3.5])
def test_of_the_edges_ground_at_the_limit_8_to_12_percent_are_dull_whatever_the_true_shape(
    shape: float,
) -> None:
    some = shops(_SHOPS, 3, spread=0.2, shape=shape)
    dull = [
        edge.life <= edge.looked_at
        for seed, shop in enumerate(some)
        for _, edge in islice(work(shop, at_the_limit, seed), 40, 160)
    ]
    assert 0.08 <= fmean(dull) <= 0.12


def _after_strokes(shop: Shop, look: Look, seed: int, strokes: float) -> list[Edge]:
    """The edges that a workload takes."""
    edges, done = [], 0.0
    for _, edge in work(shop, look, seed):
        edges.append(edge)
        done += edge.found.strokes
        if done >= strokes:
            return edges
    return edges


@dataclass(frozen=True)
class Cost:
    """What a way of looking costs all shops for the same work."""

    done_dull: float
    ground_sharp: int
    ground_early: int
    unused: float


def _cost(some: list[Shop], look: Look) -> Cost:
    pairs = [
        (shop, edge)
        for seed, shop in enumerate(some)
        for edge in _after_strokes(shop, look, seed, 160 * INTERVAL)
    ]
    sharp = [(shop, edge) for shop, edge in pairs if edge.life > edge.looked_at]
    return Cost(
        done_dull=sum(edge.done_dull for _, edge in pairs),
        ground_sharp=len(sharp),
        ground_early=sum(edge.looked_at < 0.9 * _true_limit(shop) for shop, edge in sharp),
        unused=sum(edge.unused for _, edge in pairs),
    )


@pytest.fixture(scope="module")
def costs() -> dict[str, Cost]:
    """What learning costs, and what two fixed intervals do, in the same 500 shops."""
    some = shops(_SHOPS, 4, spread=0.4)
    looks = {
        "learned": at_the_limit,
        "settings": at_an_interval(INTERVAL),
        "shorter": at_an_interval(0.9 * INTERVAL),
    }
    return {name: _cost(some, look) for name, look in looks.items()}


def test_learning_beats_the_settings_interval_on_early_grinds_and_on_dull_strokes(
    costs: dict[str, Cost],
) -> None:
    learned, fixed = costs["learned"], costs["settings"]
    assert learned.done_dull < 0.8 * fixed.done_dull
    assert learned.ground_early < 0.75 * fixed.ground_early
    assert learned.unused < 0.95 * fixed.unused


def test_learning_beats_an_interval_that_is_nearly_as_safe_on_all_grinds_of_sharp_edges(
    costs: dict[str, Cost],
) -> None:
    learned, fixed = costs["learned"], costs["shorter"]
    assert learned.done_dull < 0.95 * fixed.done_dull
    assert learned.ground_sharp < 0.95 * fixed.ground_sharp
    assert learned.ground_early < 0.5 * fixed.ground_early


@pytest.mark.parametrize("look", [at_the_limit, when_it_suits])
def test_the_limit_comes_to_the_true_count(look: Look) -> None:
    some = shops(150, 5, spread=0.4)
    limits = _limits(some, look, (0, 40, 160, 640))
    misses = [_mean_miss(some, found) for found in limits.values()]
    assert misses == sorted(misses, reverse=True)
    assert misses[-1] < 0.05 < 0.25 < misses[0]


def test_a_shape_that_is_seen_puts_right_what_a_held_one_gets_wrong() -> None:
    some = shops(40, 6, spread=0.2, shape=3.5)
    held, learned = [], []
    for seed, shop in enumerate(some):
        edges = [edge.found for _, edge in islice(work(shop, when_it_suits, seed), 400)]
        seen = shape_seen(edges)
        assert seen is not None
        held.append(strokes_at_risk(learn(START, edges), 0.0, 0.1))
        start = dulling_belief(Prior(INTERVAL, seen.shape, 4.0))
        learned.append(strokes_at_risk(learn(start, edges), 0.0, 0.1))
    assert not 0.08 <= _mean_risk(some, held) <= 0.12
    assert 0.08 <= _mean_risk(some, learned) <= 0.12


def test_with_no_history_the_limit_is_the_interval_of_the_settings() -> None:
    some = shops(5, 7, spread=0.4)
    for limit in _limits(some, at_the_limit, (0,))[0]:
        assert limit == pytest.approx(INTERVAL, rel=1e-12)
