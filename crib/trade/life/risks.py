"""What a belief of edge life says of the strokes to come: chances, counts at a risk, intervals."""

from __future__ import annotations

from math import expm1, log1p

from crib.trade.common.guards import require_not_negative
from crib.trade.life.edge_life import Belief, growth
from crib.trade.life.gamma import gamma_value, require_share


def chance_within(belief: Belief, wear: float, more: float) -> float:
    """The chance that what has not happened yet happens within some more strokes.

    Source: the mean of the Weibull's own chance over the belief, in closed form: with the added
    exposure ``x = (wear + more)**s - wear**s`` it is ``1 - E[exp(-r x)] = 1 - (b / (b + x)) ** k``.

    An edge's own strokes up to now are an observation like any other (``right``). Where they are
    among those learned from the chance is exact; where not, it is a little high.

    Args:
        belief: What is believed; its exposure in [strokes ** shape].
        wear: Weighted strokes of the edge up to now [strokes].
        more: Weighted strokes to come [strokes].

    Returns:
        The chance, 0 to 1 [-].

    Raises:
        BadValue: When strokes are negative.

    Example:
        >>> from crib.trade.life.edge_life import Prior, dulling_belief
        >>> round(chance_within(dulling_belief(Prior(5000.0)), 0.0, 5000.0), 6)
        0.1
    """
    require_not_negative(wear=wear, more=more)
    added = (wear + more) ** belief.shape - wear**belief.shape
    return -expm1(-belief.events * log1p(added / belief.exposure))


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
        >>> from crib.trade.life.edge_life import Prior, dulling_belief
        >>> belief = dulling_belief(Prior(5000.0))
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
        >>> from crib.trade.life.edge_life import Prior, dulling_belief
        >>> low, high = range_at_risk(dulling_belief(Prior(5000.0)), 0.1)
        >>> round(low), round(high)
        (3817, 7643)
    """
    require_share(risk=risk, sure=sure)
    hazard = -log1p(-risk) * belief.exposure
    tails = ((1 + sure) / 2, (1 - sure) / 2)
    low, high = (hazard / gamma_value(belief.events, tail) for tail in tails)
    return float(low ** (1 / belief.shape)), float(high ** (1 / belief.shape))


def at_most_moved(belief: Belief, risk: float) -> tuple[float, float]:
    """By what factors one more edge can move a count at a risk, whatever is found of it.

    Source: the bounds derived in ``learn``.

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
