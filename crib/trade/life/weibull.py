"""The Weibull life of an edge whose scale and shape are known.

The scale is the count by which 63 % of the edges are dull. A shape above 1 is wear-out, a shape
of 1 is chance.
"""

from __future__ import annotations

from math import exp, expm1, gamma, log1p

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


def hazard_per_stroke(strokes: float, scale: float, shape: float) -> float:
    """The chance that an edge which is still sharp is dulled by its next stroke.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.6.2 (Weibull failure rate).

    Args:
        strokes: Weighted strokes since the edge was ground [strokes].
        scale: Count by which 63 % are dull [strokes].
        shape: Shape of the life [-].

    Returns:
        The hazard [1/stroke].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> round(hazard_per_stroke(5000.0, 12300.0, 2.5) * 1000, 3)
        0.053
    """
    require_positive(strokes=strokes, scale=scale, shape=shape)
    return float(shape / scale * (strokes / scale) ** (shape - 1))


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


def mean_strokes(scale: float, shape: float) -> float:
    """The mean life.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.6.2 (mean).

    Args:
        scale: Count by which 63 % are dull [strokes].
        shape: Shape of the life [-].

    Returns:
        The mean [strokes].

    Raises:
        BadValue: When scale or shape are not above zero.

    Example:
        >>> round(mean_strokes(12300.0, 2.5))
        10913
    """
    require_positive(scale=scale, shape=shape)
    return scale * gamma(1 + 1 / shape)
