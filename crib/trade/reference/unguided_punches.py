"""How long a punch may be before it buckles."""

from __future__ import annotations

from math import pi, sqrt

from crib.errors import BadValue
from crib.trade.common.guards import require_positive
from crib.trade.common.verdicts import falls_short
from crib.trade.metal.punch_strength import hole_ratio

# Design of Jigs, Fixtures and Press Tools, Section 4.2.3: the length formula holds from here on.
_LEAST_RATIO_FOR_LENGTH = 1.1


def longest_unguided_punch_mm(
    diameter_mm: float, thickness_mm: float, shear_mpa: float, elastic_mpa: float
) -> float:
    """The longest round punch that does not buckle without a guide.

    Source: Design of Jigs, Fixtures and Press Tools, Section 4.2.3 (L = (pi d / 8)
    sqrt(E d / (S t)), for d / t of 1.1 and more).

    Args:
        diameter_mm: Diameter of the punch [mm].
        thickness_mm: Plate thickness [mm].
        shear_mpa: Shear strength of the plate [MPa].
        elastic_mpa: Modulus of elasticity of the punch [MPa].

    Returns:
        The greatest length [mm].

    Raises:
        BadValue: When an argument is not above zero, or the hole is less than 1.1 times the
            thickness.

    Example:
        >>> round(longest_unguided_punch_mm(15.0, 12.0, 345.0, 207_000.0), 1)
        161.3
    """
    require_positive(shear_mpa=shear_mpa, elastic_mpa=elastic_mpa)
    ratio = hole_ratio(diameter_mm, thickness_mm)
    if falls_short(ratio, _LEAST_RATIO_FOR_LENGTH):
        message = f"diameter over thickness={ratio:.3g} must be >= {_LEAST_RATIO_FOR_LENGTH:g}"
        raise BadValue(message)
    return pi * diameter_mm / 8 * sqrt(elastic_mpa * ratio / shear_mpa)
