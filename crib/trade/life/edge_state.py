"""The word for an edge: sharp, dulling, dull or spent."""

from __future__ import annotations

from typing import Literal

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.verdicts import falls_short

EdgeState = Literal["sharp", "dulling", "dull", "spent"]


def edge_state(
    used: float, plan: float = 0.70, dull: float = 1.0, grinds_left: int | None = None
) -> EdgeState:
    """The state of an edge from its wear and from what is left to grind.

    Source: shop rule (a grind is planned at 70 % of the interval, due at 100 %; an edge that needs
    a grind and has none left is spent).

    Args:
        used: Share of the interval used up, 1 is due [-].
        plan: Share from which a grind is planned and the edge is dulling [-].
        dull: Share from which the edge is dull [-].
        grinds_left: Whole grinds, or fresh edges, still in the piece; ``None`` when not known [-].

    Returns:
        The state [text].

    Raises:
        BadValue: When a share or the grinds are negative, or ``plan`` is above ``dull``.

    Example:
        >>> edge_state(0.1), edge_state(0.7), edge_state(1.0), edge_state(0.7, grinds_left=0)
        ('sharp', 'dulling', 'dull', 'spent')
    """
    require_not_negative(used=used, grinds_left=grinds_left or 0)
    require_positive(plan=plan, dull=dull)
    if plan > dull:
        message = f"plan={plan:g} must be at most dull={dull:g}"
        raise BadValue(message)
    if falls_short(used, plan):
        return "sharp"
    if grinds_left == 0:
        return "spent"
    return "dulling" if falls_short(used, dull) else "dull"
