"""How long the edges of one kind last, from the shop's settings and from wider to narrower pools.

The pools are given from the widest to the narrowest: all other kinds, the same steel, the same
shape and size, the kind itself. Each edge stands once, in the narrowest pool it belongs to, so that
nothing is counted twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from crib.trade.life.dulling import DullingBelief, count_range
from crib.trade.life.dulling_learned import Kinds, learned_dulling
from crib.trade.life.edge_life import (
    Belief,
    Observation,
    Prior,
    as_breakage,
    breakage_belief,
    learn,
    lent,
)
from crib.trade.life.kept_life import KeptLife, kept_life
from crib.trade.life.risks import chance_within
from crib.trade.life.silence import NOTHING, Silence, silent_dull

SETTINGS = "settings"
LEAST_TELLING = 4
"""Dull edges of a pool from which it has more to say than what it starts from. Shop rule."""


@dataclass(frozen=True, slots=True)
class Pool:
    """Edges that are taken together, oldest first, and what to call them.

    ``kinds`` tells which edges are of one kind, by any mark; with none they all are.
    """

    name: str
    edges: tuple[Observation, ...]
    kinds: tuple[int, ...] = ()

    @property
    def by_kind(self) -> Kinds:
        """The edges of each kind."""
        found: dict[int, list[Observation]] = {}
        for mark, edge in zip(self.kinds or (0,) * len(self.edges), self.edges, strict=True):
            found.setdefault(mark, []).append(edge)
        return list(found.values())

    @property
    def dull(self) -> int:
        """Edges found dull, just then or some time before."""
        return sum(edge.kind != "right" for edge in self.edges)

    @property
    def broken(self) -> int:
        """Edges broken by accident."""
        return sum(edge.broken for edge in self.edges)

    @property
    def strokes(self) -> float:
        """Weighted strokes of all of them."""
        return sum(edge.strokes for edge in self.edges)


@dataclass(frozen=True, slots=True)
class LifeEstimate:
    """How long a fresh edge lasts: counts at 10 % and 50 % risk, each with its interval.

    ``rests_on`` names the narrowest pool that has more to say than all before it: some dull edges
    of its own. ``events`` and ``exposure`` are the dull edges and the strokes
    of all pools. ``life`` is what chances are told by.
    """

    dulling: DullingBelief
    life: KeptLife
    breakage: Belief
    scale_10: float
    low_10: float
    high_10: float
    scale_50: float
    low_50: float
    high_50: float
    events: int
    broken: int
    exposure: float
    rests_on: str

    @property
    def shape(self) -> float:
        """The mean of what is believed of the shape."""
        return self.dulling.shape

    def chance_dull(self, wear: float, more: float) -> float:
        """The chance that an edge sharp after ``wear`` strokes is dull after ``more``."""
        return self.life.chance_dull(wear, more)

    def chance_broken(self, more: float) -> float:
        """The chance that an edge breaks by accident within ``more`` strokes."""
        return chance_within(self.breakage, 0.0, more)

    def chance_lost(self, wear: float, more: float) -> float:
        """The chance that an edge is dull or broken after ``more`` strokes, whichever is first."""
        return 1 - (1 - self.chance_dull(wear, more)) * (1 - self.chance_broken(more))

    def silent_dull(self, silence: Silence) -> float:
        """How many of the edges that nobody told of were dull."""
        number = len(silence.strokes)
        if not number:
            return 0.0
        sharp = sum(self.dulling.sharp(strokes) for strokes in silence.strokes) / number
        return silent_dull(silence, sharp)

    def strokes_at_risk(self, wear: float, risk: float) -> float:
        """The strokes to come until the chance of being dull reaches a risk."""
        return self.life.strokes_at_risk(wear, risk)

    def told_by(self, life: KeptLife) -> LifeEstimate:
        """The same with the chances and counts of another life; its ranges hold these counts."""
        at_10, at_50 = life.strokes_at_risk(0.0, 0.1), life.strokes_at_risk(0.0, 0.5)
        return replace(
            self,
            life=life,
            scale_10=at_10,
            low_10=min(self.low_10, at_10),
            high_10=max(self.high_10, at_10),
            scale_50=at_50,
            low_50=min(self.low_50, at_50),
            high_50=max(self.high_50, at_50),
        )


def pooled_belief(start: Belief, pools: Sequence[Sequence[Observation]]) -> Belief:
    """What is believed of breakage after the pools, each starting from what the wider one taught.

    Source: shop rule (shrinkage: what the wider pool taught is worth the settings' weight to the
    narrower one, so n events of its own weigh n / (n + weight)).

    Args:
        start: What the settings say; its exposure in [strokes ** shape].
        pools: The edges, from the widest pool to the narrowest, oldest first [strokes].

    Returns:
        What is believed of the narrowest pool; its exposure in [strokes ** shape].

    Raises:
        BadValue: When strokes are negative, or zero for an edge found dull.
        UnknownName: When it is not known how an edge was found.

    Example:
        >>> wide, own = [Observation(50000.0, "right")] * 2, [Observation(4000.0, "dull")]
        >>> pooled_belief(breakage_belief(25000.0), [wide, own])
        Belief(shape=1.0, events=5.0, exposure=160250.0)
    """
    belief = start
    for pool in pools:
        belief = learn(lent(belief, start.events), pool)
    return belief


def life_estimate(
    pools: Sequence[Pool],
    prior: Prior,
    strokes_per_break: float,
    sure: float = 0.9,
    silence: Silence = NOTHING,
) -> LifeEstimate:
    """How long the edges of the narrowest pool last.

    Source: ``learned_dulling`` for dulling, ``pooled_belief`` for breakage.

    Args:
        pools: From the widest to the narrowest [strokes].
        prior: The settings; the interval in [strokes].
        strokes_per_break: Weighted strokes between two breakages, by the settings [strokes].
        sure: How sure the intervals shall be, above 0 and below 1 [-].
        silence: Of the narrowest pool the edges that nobody told of [strokes].

    Returns:
        The estimate; its counts in [strokes].

    Raises:
        BadValue: When a setting is out of its limits or an observation cannot be.
        UnknownName: When it is not known how an edge was found.

    Example:
        >>> own = Pool("this kind", (Observation(5600.0, "dull"),) * 5)
        >>> estimate = life_estimate([own], Prior(5000.0), 25000.0)
        >>> round(estimate.scale_10), estimate.rests_on
        (3206, 'this kind')
        >>> round(estimate.chance_dull(3000.0, 1000.0), 3)
        0.154
    """
    dulling = learned_dulling(prior, [pool.by_kind for pool in pools], silence)
    life = kept_life(dulling)
    breakage = breakage_belief(strokes_per_break)
    low_10, high_10 = count_range(dulling, 0.1, sure)
    low_50, high_50 = count_range(dulling, 0.5, sure)
    return LifeEstimate(
        dulling=dulling,
        life=life,
        breakage=pooled_belief(breakage, [as_breakage(pool.edges) for pool in pools]),
        scale_10=life.strokes_at_risk(0.0, 0.1),
        low_10=low_10,
        high_10=high_10,
        scale_50=life.strokes_at_risk(0.0, 0.5),
        low_50=low_50,
        high_50=high_50,
        events=sum(pool.dull for pool in pools),
        broken=sum(pool.broken for pool in pools),
        exposure=sum(pool.strokes for pool in pools),
        rests_on=_rests_on(pools),
    )


def _rests_on(pools: Sequence[Pool]) -> str:
    telling = [pool.name for pool in pools if pool.dull >= LEAST_TELLING]
    return telling[-1] if telling else SETTINGS
