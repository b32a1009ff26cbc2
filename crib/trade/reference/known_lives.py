"""A Weibull life whose scale and shape are known: what beliefs about edges are held against."""

from __future__ import annotations

from math import exp, log1p

from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.life.gamma import require_share


def share_sharp(strokes: float, scale: float, shape: float) -> float:
    """The share of edges still sharp after some strokes.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.6.2 (Weibull).

    Args:
        strokes: Weighted strokes since the edge was ground [strokes].
        scale: Count by which 63 % are dull [strokes].
        shape: Shape of the life [-].

    Returns:
        The share, 0 to 1 [-].

    Raises:
        BadValue: When the strokes are negative, or scale or shape are not above zero.

    Example:
        >>> round(share_sharp(5000.0, 12300.0, 2.5), 3)
        0.9
    """
    require_not_negative(strokes=strokes)
    require_positive(scale=scale, shape=shape)
    return exp(-((strokes / scale) ** shape))


def strokes_at_share(share_dull: float, scale: float, shape: float) -> float:
    """The count by which a share of the edges is dull.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.6.2 (percent point function).

    Args:
        share_dull: The share, above 0 and below 1 [-].
        scale: Count by which 63 % are dull [strokes].
        shape: Shape of the life [-].

    Returns:
        The count [strokes].

    Raises:
        BadValue: When the share is not between 0 and 1, or scale or shape are not above zero.

    Example:
        >>> round(strokes_at_share(0.1, 1.0, 2.5), 2), round(strokes_at_share(0.1, 1.0, 3.0), 2)
        (0.41, 0.47)
    """
    require_share(share_dull=share_dull)
    require_positive(scale=scale, shape=shape)
    return float(scale * (-log1p(-share_dull)) ** (1 / shape))
