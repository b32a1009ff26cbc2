"""What is believed of dulling while its shape is held: closed forms to hold the grid against.

Kept for checks only: nobody knows the shape, so ``life.dulling_learned`` integrates over it.
"""

from __future__ import annotations

from math import expm1, log1p

from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.life.edge_life import Belief, Prior
from crib.trade.life.gamma import gamma_value, require_share


def dulling_belief(prior: Prior) -> Belief:
    """What is believed of dulling when nothing was seen yet.

    Source: shop rule (the exposure is the one with which the stated share is dull by the interval).

    With k events in an exposure b, the share dull by t is ``1 - (b / (b + t**shape)) ** k``; set to
    the stated share at the interval and solved for b.

    Args:
        prior: The settings; the interval in [strokes].

    Returns:
        The belief; its exposure in [strokes ** shape].

    Raises:
        BadValue: When a figure is not above zero, or the share not between 0 and 1.

    Example:
        >>> belief = dulling_belief(Prior(5000.0, weight=4.0))
        >>> round((belief.exposure * growth(4.0, 0.1)) ** (1 / 2.5))
        5000
    """
    require_positive(
        interval_strokes=prior.interval_strokes, shape=prior.shape, weight=prior.weight
    )
    require_share(dull_at_share=prior.dull_at_share)
    by_interval = prior.interval_strokes**prior.shape
    return Belief(
        prior.shape, prior.weight, by_interval / growth(prior.weight, prior.dull_at_share)
    )


def strokes_at_risk(belief: Belief, wear: float, risk: float) -> float:
    """How many more strokes an edge may do before its chance of being dull reaches a risk.

    Source: ``chance_within`` set to the risk and solved for the strokes to come.

    Args:
        belief: What is believed; its exposure in [strokes ** shape].
        wear: Weighted strokes of the edge up to now; 0 gives the count for a fresh edge [strokes].
        risk: The chance, above 0 and below 1 [-].

    Returns:
        The strokes to come [strokes].

    Raises:
        BadValue: When the wear is negative or the risk not between 0 and 1.

    Example:
        >>> belief = dulling_belief(Prior(5000.0, weight=4.0))
        >>> round(strokes_at_risk(belief, 0.0, 0.1)), round(strokes_at_risk(belief, 5000.0, 0.1))
        (5000, 1598)
    """
    require_not_negative(wear=wear)
    added = belief.exposure * growth(belief.events, risk)
    return max(0.0, float((wear**belief.shape + added) ** (1 / belief.shape)) - wear)


def range_at_risk(belief: Belief, risk: float, sure: float = 0.9) -> tuple[float, float]:
    """Between which counts the true count at a risk lies, for a fresh edge.

    Source: equal-tailed interval of the belief: the count of a rate r is
    ``(-ln(1 - risk) / r) ** (1/s)``, taken at the two outer shares of the gamma distribution.

    Args:
        belief: What is believed; its exposure in [strokes ** shape].
        risk: The share of edges dull by the count, above 0 and below 1 [-].
        sure: How sure the interval shall be, above 0 and below 1 [-].

    Returns:
        The lower and the upper count [strokes].

    Raises:
        BadValue: When the risk or the sureness is not between 0 and 1.

    Example:
        >>> low, high = range_at_risk(dulling_belief(Prior(5000.0, weight=4.0)), 0.1)
        >>> round(low), round(high)
        (3817, 7643)
    """
    require_share(risk=risk, sure=sure)
    hazard = -log1p(-risk) * belief.exposure
    tails = ((1 + sure) / 2, (1 - sure) / 2)
    low, high = (hazard / gamma_value(belief.events, tail) for tail in tails)
    return float(low ** (1 / belief.shape)), float(high ** (1 / belief.shape))


def growth(events: float, risk: float) -> float:
    """How much of its exposure a belief has to see more before a risk is reached.

    Source: the chance of ``learn``'s gamma distribution, ``1 - (1 + growth) ** -events``, set to
    the risk and solved.

    Args:
        events: Events of the belief [-].
        risk: The chance, above 0 and below 1 [-].

    Returns:
        The share of the exposure [-].

    Raises:
        BadValue: When the events are not above zero or the risk is not between 0 and 1.

    Example:
        >>> round(growth(4.0, 0.1), 4)
        0.0267
    """
    require_positive(events=events)
    require_share(risk=risk)
    return expm1(-log1p(-risk) / events)


def at_most_moved(belief: Belief, risk: float) -> tuple[float, float]:
    """By what factors one more edge can move a count at a risk, whatever is found of it.

    Source: derived from ``learn``, which follows no edge beyond one life. With k events before it,
    a count at a risk p rises by at most ``(1 + 1/k) ** (1/s)`` and falls by at most
    ``(g(k + 1) / g(k)) ** (1/s)``, ``g(k) = (1-p) ** (-1/k) - 1``.

    Args:
        belief: What is believed before it; its exposure in [strokes ** shape].
        risk: The risk of the count, above 0 and below 1 [-].

    Returns:
        The lowest and the highest factor [-].

    Raises:
        BadValue: When the risk is not between 0 and 1.

    Example:
        >>> low, high = at_most_moved(Belief(2.5, 4.0, 1.0), 0.1)
        >>> round(low, 3), round(high, 3)
        (0.914, 1.093)
    """
    events = belief.events
    down = growth(events + 1, risk) / growth(events, risk)
    return float(down ** (1 / belief.shape)), float((1 + 1 / events) ** (1 / belief.shape))
