"""The gamma distribution: the share of it below a value, and the value below which a share lies.

In plain Python, because it is asked at the window and SciPy takes longer to load than the answer.
"""

from __future__ import annotations

from math import exp, lgamma, log

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive

_CLOSE = 1e-15
_MOST_TERMS = 100_000
_MOST_STEPS = 200
_SERIES_FROM = 10.0


def gamma_share(shape: float, value: float) -> float:
    """The share of a gamma distribution of rate 1 that lies below a value.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 6.5.29 (series, below the
    shape) and 6.5.31 (continued fraction, above it); from memory.

    Args:
        shape: Shape of the distribution, which is also its mean [-].
        value: The value [-].

    Returns:
        The share, 0 to 1 [-].

    Raises:
        BadValue: When the shape is not above zero or the value is negative.

    Example:
        >>> round(gamma_share(4.0, 4.0), 6)
        0.56653
    """
    require_positive(shape=shape)
    require_not_negative(value=value)
    if value == 0:
        return 0.0
    height = exp(shape * log(value) - value - lgamma(shape))
    if value < shape + 1:
        return min(1.0, height * _series(shape, value))
    return max(0.0, 1.0 - height * _fraction(shape, value))


def _series(shape: float, value: float) -> float:
    term = total = 1 / shape
    for step in range(1, _MOST_TERMS):
        term *= value / (shape + step)
        total += term
        if term < total * _CLOSE:
            break
    return total


def _fraction(shape: float, value: float) -> float:
    # Lentz's way: from the front, so that it may stop as soon as it stands still.
    below = value + 1 - shape
    upper, lower = 1e300, 1 / below
    total = lower
    for step in range(1, _MOST_TERMS):
        part = -step * (step - shape)
        below += 2
        lower = 1 / (part * lower + below)
        upper = below + part / upper
        total *= upper * lower
        if abs(upper * lower - 1) < _CLOSE:
            break
    return total


def gamma_value(shape: float, share: float) -> float:
    """The value below which a share of a gamma distribution of rate 1 lies.

    Source: the inverse of ``gamma_share``, by Newton's steps inside a bracket.

    Args:
        shape: Shape of the distribution, which is also its mean [-].
        share: The share, above 0 and below 1 [-].

    Returns:
        The value [-].

    Raises:
        BadValue: When the shape is not above zero or the share is not between 0 and 1.

    Example:
        >>> round(gamma_value(4.0, 0.05), 4), round(gamma_value(4.0, 0.95), 4)
        (1.3663, 7.7537)
    """
    require_positive(shape=shape)
    require_share(share=share)
    low, high = 0.0, shape + 1
    while gamma_share(shape, high) < share:
        low, high = high, 2 * high
    value = (low + high) / 2
    for _ in range(_MOST_STEPS):
        miss = gamma_share(shape, value) - share
        low, high = (low, value) if miss > 0 else (value, high)
        nearer = _newton(shape, value, miss)
        if not low < nearer < high:
            nearer = (low + high) / 2
        if abs(nearer - value) <= _CLOSE * value:
            break
        value = nearer
    return value


def _newton(shape: float, value: float, miss: float) -> float:
    height = exp((shape - 1) * log(value) - value - lgamma(shape))
    return value - miss / height if height > 0 else 0.0


def chance_up_to(count: int, mean: float) -> float:
    """The chance that at most so many pieces are asked for; 0 below none.

    Source: the Poisson distribution, by its relation to the gamma distribution (Abramowitz and
    Stegun, Handbook of Mathematical Functions, 26.4.21; from memory).

    Args:
        count: Pieces [pieces].
        mean: Mean demand [pieces].

    Returns:
        The chance [-].

    Raises:
        BadValue: When the mean is not above zero.

    Example:
        >>> round(chance_up_to(14, 10.0), 5)
        0.91654
    """
    require_positive(mean=mean)
    return 0.0 if count < 0 else 1 - gamma_share(count + 1.0, mean)


def trigamma(shape: float) -> float:
    """The variance of the logarithm of a gamma distributed value.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 6.4.6 (recurrence) and 6.4.12
    (asymptotic series); from memory.

    Args:
        shape: Shape of the distribution [-].

    Returns:
        The variance [-].

    Raises:
        BadValue: When the shape is not above zero.

    Example:
        >>> round(trigamma(1.0), 6)
        1.644934
    """
    require_positive(shape=shape)
    total = 0.0
    while shape < _SERIES_FROM:
        total += 1 / shape**2
        shape += 1
    part = 1 / shape**2
    series = 1 / 6 - part * (1 / 30 - part * (1 / 42 - part / 30))
    return total + 1 / shape + part / 2 + part / shape * series


def require_share(**shares: float) -> None:
    """Refuse a share that is not between 0 and 1.

    Source: shop rule (a risk of nothing, or a certainty, has no count of strokes).

    Args:
        **shares: The shares by the names they are known by [-].

    Raises:
        BadValue: For the first share that is not above 0 and below 1.

    Example:
        >>> require_share(risk=0.1)
    """
    for name, share in shares.items():
        if not 0 < share < 1:
            message = f"{name}={share:g} must be > 0 and < 1"
            raise BadValue(message)
