"""The chance that an edge is dull, from its interval alone: what a reminder or a job risks.

Here the life is a plain Weibull whose interval is where a stated share of the edges is dull
(``life.dull_at_share``, one in ten). It takes a moment at the window, where a belief learned from
many edges would have to be read first.
"""

from __future__ import annotations

from math import log1p

from crib.trade.common.guards import require_positive
from crib.trade.life.gamma import require_share
from crib.trade.life.weibull import chance_dull_within


def chance_dull(
    wear: float, more: float, interval: float, shape: float = 2.5, dull_at_share: float = 0.1
) -> float:
    """The chance that an edge sharp after its wear is dull after some more strokes.

    Source: Weibull distribution whose share dull at the interval is the stated one. The share sharp
    after t is ``(1 - p) ** ((t / interval) ** shape)``; of those sharp after the wear it is the one
    after all strokes over the one after the wear.

    Args:
        wear: Weighted strokes of the edge up to now [strokes].
        more: Weighted strokes to come [strokes].
        interval: Weighted strokes by which the stated share is dull [strokes].
        shape: How steeply dulling comes [-].
        dull_at_share: Share of edges dull by the interval, above 0 and below 1 [-].

    Returns:
        The chance, 0 to 1 [-].

    Raises:
        BadValue: When strokes are negative, a figure is not above zero or the share is not between
            0 and 1.

    Example:
        >>> round(chance_dull(0.0, 5000.0, 5000.0), 6)
        0.1
        >>> round(chance_dull(4100.0, 2000.0, 5000.0), 3)
        0.103
    """
    require_positive(interval=interval, shape=shape)
    require_share(dull_at_share=dull_at_share)
    scale = interval / (-log1p(-dull_at_share)) ** (1 / shape)
    return chance_dull_within(wear, more, scale, shape)


def chance_at_level(share: float, shape: float = 2.5, dull_at_share: float = 0.1) -> float:
    """The chance that an edge is dull by a share of its interval, counted from fresh.

    Source: ``chance_dull`` of a fresh edge; so the reminders at 70, 90, 100 and 120 % of the
    interval stand at chances of 4, 8, 10 and 15 %.

    Args:
        share: Share of the interval [-].
        shape: How steeply dulling comes [-].
        dull_at_share: Share of edges dull by the interval, above 0 and below 1 [-].

    Returns:
        The chance, 0 to 1 [-].

    Raises:
        BadValue: When the share is negative, the shape not above zero or the share dull is not
            between 0 and 1.

    Example:
        >>> [round(chance_at_level(share), 3) for share in (0.7, 0.9, 1.0, 1.2)]
        [0.042, 0.078, 0.1, 0.153]
    """
    return chance_dull(0.0, share, 1.0, shape, dull_at_share)
