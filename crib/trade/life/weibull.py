"""The Weibull life of an edge whose scale and shape are known.

The scale is the count by which 63 % of the edges are dull. A shape above 1 is wear-out, a shape
of 1 is chance.
"""

from __future__ import annotations

from math import expm1

from crib.trade.common.guards import require_not_negative, require_positive


def chance_dull_within(wear: float, more: float, scale: float, shape: float) -> float:
    """The chance that an edge which is still sharp is dull after some more strokes.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.6.2 (one less the share sharp after
    all strokes over the share sharp now).

    Args:
        wear: Weighted strokes up to now [strokes].
        more: Weighted strokes to come [strokes].
        scale: Count by which 63 % are dull [strokes].
        shape: Shape of the life [-].

    Returns:
        The chance, 0 to 1 [-].

    Raises:
        BadValue: When the strokes are negative, or scale or shape are not above zero.

    Example:
        >>> round(chance_dull_within(5000.0, 2000.0, 12300.0, 2.5), 3)
        0.13
    """
    require_not_negative(wear=wear, more=more)
    require_positive(scale=scale, shape=shape)
    return -expm1((wear / scale) ** shape - ((wear + more) / scale) ** shape)
