"""Edges as they were found, what the settings say of them, and how breakage is learned.

Breakage is chance: a constant rate in weighted strokes (a Weibull life of shape 1). What is
believed of the rate is a gamma distribution: ``events`` edges seen to break in an ``exposure``,
both counted with what the shop's settings are worth before anything is seen. The same forms hold
for dulling as long as its shape is held, ``r = scale ** -shape`` being the rate; how it is learned
when the shape is not known is in ``dulling_learned``.

SciPy is never loaded here: this is asked at the window.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import expm1, log1p
from typing import Literal

from crib.errors import UnknownName
from crib.trade.common.guards import require_not_negative, require_positive

Outcome = Literal["dull", "right", "left"]
_OUTCOMES = ("dull", "right", "left")
BREAKS_WEIGHT = 4.0
"""Breakages that the setting is worth beside what the crib has seen. Shop rule."""


@dataclass(frozen=True, slots=True)
class Observation:
    """One edge from one grind to the next, and how it was found.

    ``dull`` about then; ``right``: still sharp, running or broken by accident, so dull only later;
    ``left``: overdue, so dull some time before. ``broken`` counts for breakage alone.
    """

    strokes: float
    kind: Outcome
    broken: bool = False


@dataclass(frozen=True, slots=True)
class Prior:
    """What the settings say before anything is seen.

    ``dull_at_share`` of the edges are dull by the interval, which is known as well as a gamma
    distributed rate of ``weight`` edges found dull: at 1.1 within a factor of two.
    """

    interval_strokes: float
    shape: float = 2.5
    weight: float = 1.1
    dull_at_share: float = 0.1


@dataclass(frozen=True, slots=True)
class Belief:
    """A gamma distribution of the rate: ``events`` in an ``exposure`` of strokes ** shape."""

    shape: float
    events: float
    exposure: float


def breakage_belief(strokes_per_break: float, weight: float = BREAKS_WEIGHT) -> Belief:
    """What is believed of breakage when nothing was seen yet.

    Source: shop rule (breakage is chance: shape 1, a constant rate).

    Args:
        strokes_per_break: Weighted strokes between two breakages, by the settings [strokes].
        weight: Breakages that the settings are worth [-].

    Returns:
        The belief; its exposure in [strokes].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> breakage_belief(25000.0)
        Belief(shape=1.0, events=4.0, exposure=100000.0)
    """
    require_positive(strokes_per_break=strokes_per_break, weight=weight)
    return Belief(1.0, weight, weight * strokes_per_break)


def as_breakage(observations: Iterable[Observation]) -> list[Observation]:
    """The same edges as breakage sees them: broken, or not broken yet.

    Source: shop rule (dulling and breakage are competing causes, each censors the other).

    Args:
        observations: Edges as they were found [strokes].

    Returns:
        The edges; one broken by accident is an event, every other is still running [strokes].

    Example:
        >>> as_breakage([Observation(900.0, "right", broken=True), Observation(800.0, "dull")])[1]
        Observation(strokes=800.0, kind='right', broken=False)
    """
    return [
        Observation(observation.strokes, "dull" if observation.broken else "right")
        for observation in observations
    ]


def learn(belief: Belief, observations: Iterable[Observation]) -> Belief:
    """What is believed after some edges were seen, one after the other.

    Source: conjugate prior of a Weibull rate with the shape held (Martz and Waller, Bayesian
    Reliability Analysis, 1982; from memory), and shop rules for what is overdue or out of the way.

    With shape s and rate r, an edge found dull at t has the likelihood
    ``s t**(s-1) r exp(-r t**s)`` and one still sharp at t has ``exp(-r t**s)``. Of d dull ones and
    all the others the product is, but for what does not hold r, ``r**d exp(-r sum t**s)``. The
    belief before is ``r**(k-1) exp(-r b)``. Multiplied: a gamma distribution again, with k + d
    events in the exposure ``b + sum t**s``. Nothing is approximated.

    One overdue at t has ``1 - exp(-r t**s)``. The belief after it is the difference of two gamma
    distributions, whose mean and variance have closed forms; the one gamma distribution with that
    mean and variance takes its place. It is exact at both ends: overdue at a low count it is an
    event, at a high one it says nothing. In between, the counts at 10 % and 50 % stay within a
    thousandth of the exact ones, and within 2 % if forty edges were overdue and none was not.

    No edge is followed beyond one life, ``(b / k) ** (1/s)`` as believed before it: what is dull or
    sharp beyond is still sharp there. An edge seen for less long is a fair observation, so this
    costs some speed of learning and shifts nothing, and bounds what one edge can do. The order
    counts a little, so give the oldest first.

    Args:
        belief: What is believed before; its exposure in [strokes ** shape].
        observations: The edges, oldest first [strokes].

    Returns:
        What is believed after; its exposure in [strokes ** shape].

    Raises:
        BadValue: When strokes are negative, or zero for an edge found dull.
        UnknownName: When it is not known how an edge was found.

    Example:
        >>> start = Belief(2.0, 4.0, 900.0)
        >>> learn(start, [Observation(10.0, "dull"), Observation(12.0, "right")])
        Belief(shape=2.0, events=5.0, exposure=1144.0)
    """
    for observation in observations:
        belief = _after(belief, observation)
    return belief


def _after(belief: Belief, one: Observation) -> Belief:
    require_sound(one)
    seen = one.strokes**belief.shape
    if one.kind == "left":
        return _after_overdue(belief, seen)
    one_life = belief.exposure / belief.events
    if one.kind == "dull" and seen <= one_life:
        return Belief(belief.shape, belief.events + 1, belief.exposure + seen)
    return Belief(belief.shape, belief.events, belief.exposure + min(seen, one_life))


def _after_overdue(belief: Belief, seen: float) -> Belief:
    events, exposure = belief.events, belief.exposure
    # What is left of each moment: 1 - r ** (events + i), r = exposure / (exposure + seen).
    shrink = -log1p(seen / exposure)
    some, more, most = (-expm1((events + i) * shrink) for i in range(3))
    mean = events / exposure * more / some
    spread = (events + 1) / events * (most / more) * (some / more) - 1
    return Belief(belief.shape, 1 / spread, 1 / (spread * mean))


def require_sound(observation: Observation) -> None:
    """Refuse an edge that cannot have been found so.

    Source: shop rule (an edge found dull has done at least something).

    Args:
        observation: The edge as it was found [strokes].

    Raises:
        BadValue: When its strokes are negative, or zero for one found dull.
        UnknownName: When it is not known how it was found.

    Example:
        >>> require_sound(Observation(0.0, "right"))
    """
    kind = observation.kind
    if kind not in _OUTCOMES:
        message = f"unknown kind {kind!r}; known: {', '.join(_OUTCOMES)}"
        raise UnknownName(message)
    require_not_negative(strokes=observation.strokes)
    if kind != "right":
        require_positive(strokes=observation.strokes)


def lent(belief: Belief, weight: float) -> Belief:
    """A belief as the next narrower pool starts from it: the same mean rate, at a fixed weight.

    Source: shop rule (shrinkage: n events of its own weigh n / (n + weight)).

    Args:
        belief: What a wider pool taught; its exposure in [strokes ** shape].
        weight: Events that it is worth to the narrower pool [-].

    Returns:
        The belief; its exposure in [strokes ** shape].

    Raises:
        BadValue: When the weight is not above zero.

    Example:
        >>> lent(Belief(1.0, 20.0, 100000.0), 4.0)
        Belief(shape=1.0, events=4.0, exposure=20000.0)
    """
    require_positive(weight=weight)
    if belief.events <= weight:
        return belief
    return Belief(belief.shape, weight, belief.exposure / belief.events * weight)
