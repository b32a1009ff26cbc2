"""How long the edges of one kind last, from the shop's settings and from wider to narrower pools.

The pools are given from the widest to the narrowest: all other kinds, the same steel, the same
shape and size, the kind itself. Each edge stands once, in the narrowest pool it belongs to, so that
nothing is counted twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crib.trade.life.edge_life import (
    Belief,
    Observation,
    Prior,
    as_breakage,
    breakage_belief,
    dulling_belief,
    learn,
    lent,
)
from crib.trade.life.risks import chance_within, range_at_risk, strokes_at_risk

SETTINGS = "settings"


@dataclass(frozen=True, slots=True)
class Pool:
    """Edges that are taken together, oldest first, and what to call them."""

    name: str
    edges: tuple[Observation, ...]

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

    ``rests_on`` names the narrowest pool that has more to say than all before it: at least as many
    dull edges as the settings weigh. ``events`` and ``exposure`` are the dull edges and the strokes
    of all pools.
    """

    dulling: Belief
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
        """The shape that was held."""
        return self.dulling.shape

    def chance_dull(self, wear: float, more: float) -> float:
        """The chance that an edge sharp after ``wear`` strokes is dull after ``more``."""
        return chance_within(self.dulling, wear, more)

    def chance_broken(self, more: float) -> float:
        """The chance that an edge breaks by accident within ``more`` strokes."""
        return chance_within(self.breakage, 0.0, more)

    def chance_lost(self, wear: float, more: float) -> float:
        """The chance that an edge is dull or broken after ``more`` strokes, whichever is first."""
        return 1 - (1 - self.chance_dull(wear, more)) * (1 - self.chance_broken(more))

    def strokes_at_risk(self, wear: float, risk: float) -> float:
        """The strokes to come until the chance of being dull reaches a risk."""
        return strokes_at_risk(self.dulling, wear, risk)


def pooled_belief(start: Belief, pools: Sequence[Sequence[Observation]]) -> Belief:
    """What is believed after the pools, each starting from what the wider one taught.

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
        >>> start = dulling_belief(Prior(5000.0))
        >>> wide, own = [Observation(9000.0, "right")] * 8, [Observation(4000.0, "dull")]
        >>> round(strokes_at_risk(pooled_belief(start, [wide, own]), 0.0, 0.1))
        5959
    """
    belief = start
    for pool in pools:
        belief = learn(lent(belief, start.events), pool)
    return belief


def life_estimate(
    pools: Sequence[Pool], prior: Prior, strokes_per_break: float, sure: float = 0.9
) -> LifeEstimate:
    """How long the edges of the narrowest pool last.

    Source: ``learn`` and ``pooled_belief``, for dulling and for breakage.

    Args:
        pools: From the widest to the narrowest [strokes].
        prior: The settings; the interval in [strokes].
        strokes_per_break: Weighted strokes between two breakages, by the settings [strokes].
        sure: How sure the intervals shall be, above 0 and below 1 [-].

    Returns:
        The estimate; its counts in [strokes].

    Raises:
        BadValue: When a setting is out of its limits or an observation cannot be.
        UnknownName: When it is not known how an edge was found.

    Example:
        >>> own = Pool("this kind", (Observation(5600.0, "dull"),) * 5)
        >>> estimate = life_estimate([own], Prior(5000.0), 25000.0)
        >>> round(estimate.scale_10), estimate.rests_on
        (3847, 'this kind')
        >>> round(estimate.chance_dull(3000.0, 1000.0), 3)
        0.058
    """
    edges = [pool.edges for pool in pools]
    dulling = pooled_belief(dulling_belief(prior), edges)
    breakage = breakage_belief(strokes_per_break, prior.weight)
    low_10, high_10 = range_at_risk(dulling, 0.1, sure)
    low_50, high_50 = range_at_risk(dulling, 0.5, sure)
    return LifeEstimate(
        dulling=dulling,
        breakage=pooled_belief(breakage, [as_breakage(edge) for edge in edges]),
        scale_10=strokes_at_risk(dulling, 0.0, 0.1),
        low_10=low_10,
        high_10=high_10,
        scale_50=strokes_at_risk(dulling, 0.0, 0.5),
        low_50=low_50,
        high_50=high_50,
        events=sum(pool.dull for pool in pools),
        broken=sum(pool.broken for pool in pools),
        exposure=sum(pool.strokes for pool in pools),
        rests_on=_rests_on(pools, prior.weight),
    )


def _rests_on(pools: Sequence[Pool], weight: float) -> str:
    telling = [pool.name for pool in pools if pool.dull >= weight]
    return telling[-1] if telling else SETTINGS
