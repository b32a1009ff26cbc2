"""How far a shop's reminders follow what its edges taught.

The reminders stand at shares of an interval; the interval is where a stated share of the edges is
dull (``life.dull_at_share``, one in ten). What the ledger teaches of that count may move the
interval, but never far at once and never far in all.
"""

from __future__ import annotations

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.life.edge_life import Prior, dulling_belief
from crib.trade.life.risks import at_most_moved

_MOST_STEPS = 500
"""So many steps reach any stretch; more would only overflow."""


def followed_interval(
    learned: float, prior: Prior, own_edges: int, most_stretch: float = 2.0
) -> float:
    """The interval that reminders follow, from the count that the ledger teaches.

    Source: shop rule (each edge of a kind's own opens the way by as much as one edge can teach, and
    the whole way is limited).

    With u and d the factors by which one edge can raise and lower a count (``at_most_moved``), n
    edges of its own may take the interval of the settings from ``d**n`` to ``u**n`` of it, and the
    stretch limits both. What a kind's own edges teach stays inside of that by itself, because the
    same factors bound each of them; so it holds back only what other kinds lend it at once with its
    first edges. At shape 2.5 and weight 4 that is 9 % for the first edge, and a stretch of 2 from
    the eighth edge on.

    Args:
        learned: Count by which the settings' share of edges is dull, as learned [strokes].
        prior: The settings; the interval in [strokes].
        own_edges: Edges of the kind itself of which somebody saw how they were [-].
        most_stretch: Most times that the interval may become longer or shorter, 1 or more [-].

    Returns:
        The interval [strokes].

    Raises:
        BadValue: When a figure is not above zero, the edges are negative or the stretch below 1.

    Example:
        >>> prior = Prior(5000.0)
        >>> [round(followed_interval(9000.0, prior, n)) for n in (0, 1, 4, 8)]
        [5000, 5467, 7145, 9000]
    """
    require_positive(learned=learned)
    require_not_negative(own_edges=own_edges)
    if most_stretch < 1:
        message = f"most_stretch={most_stretch:g} must be >= 1"
        raise BadValue(message)
    low, high = at_most_moved(dulling_belief(prior), prior.dull_at_share)
    steps = min(own_edges, _MOST_STEPS)
    least, most = max(low**steps, 1 / most_stretch), min(high**steps, most_stretch)
    interval = prior.interval_strokes
    return min(max(learned, least * interval), most * interval)
