"""What a belief of a rate says of the strokes to come."""

from __future__ import annotations

from math import expm1, log1p

from crib.trade.common.guards import require_not_negative
from crib.trade.life.edge_life import Belief


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
        >>> round(chance_within(Belief(1.0, 4.0, 100000.0), 0.0, 1000.0), 4)
        0.039
    """
    require_not_negative(wear=wear, more=more)
    added = (wear + more) ** belief.shape - wear**belief.shape
    return -expm1(-belief.events * log1p(added / belief.exposure))
