"""How far a shop's reminders follow what its edges taught.

The reminders stand at shares of an interval; the interval is where a stated share of the edges is
dull (``life.dull_at_share``, one in ten). What the ledger teaches of that count may move the
interval, but never far at once and never far in all.
"""

from __future__ import annotations

from math import exp, log

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive

UP_SLOWER = 3
"""So many times as many edges take the interval up as take it down. Shop rule."""


def followed_interval(
    learned: float,
    setting: float,
    own_edges: int,
    most_stretch: float = 2.0,
    whole_way: int = 11,
) -> float:
    """The interval that reminders follow, from the count that the ledger teaches.

    Source: shop rule (each edge of a kind's own opens an even part of the way, and the whole way is
    limited; a dull edge costs more than an early grind, so the way up opens a third as fast).

    The way goes from the setting to the learned count, which the stretch limits, and is divided by
    its logarithm. With a stretch of 2 and eleven edges for the whole way down, the first edge may
    take the interval 6 % down or 2 % up, whatever its like was taught before it. Eleven is the
    fewest with which the first three edges move it no further, on the root mean square of shops
    whose setting is right, than a setting worth four dull edges let them.

    Args:
        learned: Count by which the settings' share of edges is dull, as learned [strokes].
        setting: The interval of the settings [strokes].
        own_edges: Edges of the kind itself of which somebody saw how they were [-].
        most_stretch: Most times that the interval may become longer or shorter, 1 or more [-].
        whole_way: Own edges from which the way down is open wholly, 1 or more [-].

    Returns:
        The interval [strokes].

    Raises:
        BadValue: When a figure is not above zero, the edges are negative or the stretch below 1.

    Example:
        >>> [round(followed_interval(2500.0, 5000.0, n)) for n in (0, 1, 5, 11)]
        [5000, 4695, 3649, 2500]
        >>> [round(followed_interval(9000.0, 5000.0, n)) for n in (0, 1, 15, 33)]
        [5000, 5090, 6531, 9000]
    """
    require_positive(learned=learned, setting=setting, whole_way=whole_way)
    require_not_negative(own_edges=own_edges)
    if most_stretch < 1:
        message = f"most_stretch={most_stretch:g} must be >= 1"
        raise BadValue(message)
    widest = log(most_stretch)
    way = min(max(log(learned / setting), -widest), widest)
    needed = whole_way * (UP_SLOWER if way > 0 else 1)
    return setting * exp(way * min(1.0, own_edges / needed))
