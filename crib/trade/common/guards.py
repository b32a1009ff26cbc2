"""Refusals that every formula shares: a length of zero, a negative force, not a number."""

from __future__ import annotations

from math import isfinite

from crib.errors import BadValue


def require_positive(**values: float) -> None:
    """Refuse a value that is not a finite number above zero.

    Source: shop rule (no formula of the trade means anything at or below zero).

    Args:
        **values: The values by the names they are known by, each in its own unit [-].

    Raises:
        BadValue: For the first value that is zero, negative, infinite or not a number.

    Example:
        >>> require_positive(thickness_mm=9.525)
    """
    for name, value in values.items():
        if not (isfinite(value) and value > 0):
            message = f"{name}={value:g} must be > 0"
            raise BadValue(message)


def require_not_negative(**values: float) -> None:
    """Refuse a value that is not a finite number of zero or more.

    Source: shop rule (counts, depths and wear start at zero).

    Args:
        **values: The values by the names they are known by, each in its own unit [-].

    Raises:
        BadValue: For the first value that is negative, infinite or not a number.

    Example:
        >>> require_not_negative(bevel_depth_mm=0.0)
    """
    for name, value in values.items():
        if not (isfinite(value) and value >= 0):
            message = f"{name}={value:g} must be >= 0"
            raise BadValue(message)
