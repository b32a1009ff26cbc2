"""Invented shops whose edges have a known life: what they do, and what their crib learns of it."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import exp, log

from crib.trade.life.edge_life import Belief, Observation, Prior, learn
from crib.trade.reference.held_shape import dulling_belief, strokes_at_risk
from crib.trade.reference.known_lives import share_sharp

INTERVAL = 5000.0
START = dulling_belief(Prior(INTERVAL, weight=4.0))


@dataclass(frozen=True)
class Shop:
    """The true life of a shop's edges, and how often somebody notices a dull one in time."""

    scale: float
    shape: float
    notices: float = 0.5

    def risk(self, strokes: float) -> float:
        """The true share of edges dull by a count."""
        return 1 - share_sharp(strokes, self.scale, self.shape)


@dataclass(frozen=True)
class Edge:
    """One edge: its true life, when it was to be looked at, and how it was found."""

    life: float
    looked_at: float
    found: Observation

    @property
    def unused(self) -> float:
        """Strokes it would still have done sharp."""
        return max(0.0, self.life - self.looked_at)

    @property
    def done_dull(self) -> float:
        """Strokes it did after it was dull."""
        return max(0.0, self.found.strokes - self.life)


def shops(number: int, seed: int, *, spread: float | None, shape: float = 2.5) -> list[Shop]:
    """Shops whose true 10 % count lies around the settings.

    With no spread given, as far around as the settings themselves claim.
    """
    chance = random.Random(seed)
    return [Shop(_scale(chance, spread, shape), shape) for _ in range(number)]


def _scale(chance: random.Random, spread: float | None, shape: float) -> float:
    if spread is None:
        rate = chance.gammavariate(START.events, 1 / START.exposure)
        return float(rate ** (-1 / START.shape))
    return INTERVAL * exp(chance.gauss(0.0, spread)) / float((-log(0.9)) ** (1 / shape))


Look = Callable[[Belief, random.Random], float]


def at_the_limit(belief: Belief, _: random.Random) -> float:
    """Look at an edge, and grind it, at the learned 10 % count."""
    return strokes_at_risk(belief, 0.0, 0.1)


def at_an_interval(strokes: float) -> Look:
    """Look at an edge, and grind it, always at the same count, whatever was seen."""
    return lambda _, __: strokes


def when_it_suits(_: Belief, chance: random.Random) -> float:
    """Look at an edge, and grind it, when there is time for it."""
    return INTERVAL * chance.uniform(0.5, 3.0)


def work(shop: Shop, look: Look, seed: int) -> Iterator[tuple[Belief, Edge]]:
    """Edge after edge: what was believed before it, and the edge."""
    chance, belief = random.Random(seed), START
    while True:
        looked_at = look(belief, chance)
        life = chance.weibullvariate(shop.scale, shop.shape)
        if life > looked_at:
            found = Observation(looked_at, "right")
        elif chance.random() < shop.notices:
            found = Observation(life, "dull")
        else:
            found = Observation(looked_at, "left")
        yield belief, Edge(life, looked_at, found)
        belief = learn(belief, [found])
