"""The share of edges still sharp as it was seen, with no curve laid through it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative
from crib.trade.life.edge_life import Observation


@dataclass(frozen=True, slots=True)
class SeenSharp:
    """The share still sharp from a count on, which is one at which an edge was found dull."""

    strokes: float
    share: float


def seen_sharp(observations: Sequence[Observation]) -> tuple[SeenSharp, ...]:
    """The share still sharp after each count at which an edge was found dull.

    Source: Kaplan and Meier, Journal of the American Statistical Association 53 (1958): of the
    edges still followed at each count, those found dull then are taken off; an edge found sharp at
    the same count was followed that far.

    Args:
        observations: Edges found dull or still sharp, in any order [strokes].

    Returns:
        The steps, by rising count [strokes].

    Raises:
        BadValue: When strokes are negative, or an edge was overdue, which has no count of its own.

    Example:
        >>> edges = [Observation(4000.0, "dull"), Observation(5000.0, "right")]
        >>> seen_sharp([*edges, Observation(6000.0, "dull")])[0]
        SeenSharp(strokes=4000.0, share=0.6666666666666667)
    """
    for one in observations:
        require_not_negative(strokes=one.strokes)
        if one.kind == "left":
            message = f"strokes={one.strokes:g} of an overdue edge is not where it grew dull"
            raise BadValue(message, way_out="leave overdue edges out, or lay a curve through them")
    share, steps = 1.0, []
    for strokes in sorted({one.strokes for one in observations if one.kind == "dull"}):
        followed = sum(one.strokes >= strokes for one in observations)
        dull = sum(one.kind == "dull" and one.strokes == strokes for one in observations)
        share *= 1 - dull / followed
        steps.append(SeenSharp(strokes, share))
    return tuple(steps)
