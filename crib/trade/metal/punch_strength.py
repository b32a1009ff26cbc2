"""Whether the punch stands the hole: compressive stress, hole against thickness, buckling."""

from __future__ import annotations

from math import pi, sqrt

from crib.errors import BadValue
from crib.trade.common.guards import require_positive
from crib.trade.common.verdicts import Verdict, exceeds, falls_short

# Design of Jigs, Fixtures and Press Tools, Section 4.2.3: the length formula holds from here on.
_LEAST_RATIO_FOR_LENGTH = 1.1


def punch_stress_mpa(force_n: float, area_mm2: float) -> float:
    """The compressive stress in the punch's point.

    Source: Singer and Pytel, Strength of Materials, Problem 116 (force over area).

    Args:
        force_n: Force of the stroke [N].
        area_mm2: Area of the point [mm²].

    Returns:
        The compressive stress [MPa].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> round(punch_stress_mpa(157_079.6, 314.159))
        500
    """
    require_positive(force_n=force_n, area_mm2=area_mm2)
    return force_n / area_mm2


def round_punch_stress_mpa(diameter_mm: float, thickness_mm: float, shear_mpa: float) -> float:
    """The compressive stress in a round punch, straight from the hole.

    Source: Singer and Pytel, Strength of Materials, Problem 116 (sigma = 4 tau t / d).

    Args:
        diameter_mm: Diameter of the punch [mm].
        thickness_mm: Plate thickness [mm].
        shear_mpa: Shear strength of the plate [MPa].

    Returns:
        The compressive stress [MPa].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> round_punch_stress_mpa(20.0, 10.0, 250.0)
        500.0
    """
    require_positive(diameter_mm=diameter_mm, thickness_mm=thickness_mm, shear_mpa=shear_mpa)
    return 4 * shear_mpa * thickness_mm / diameter_mm


def least_round_hole_mm(thickness_mm: float, shear_mpa: float, allowable_mpa: float) -> float:
    """The smallest round hole whose punch stays within an allowable stress.

    Source: Singer and Pytel, Strength of Materials, Problem 116 (d = 4 tau t / sigma).

    Args:
        thickness_mm: Plate thickness [mm].
        shear_mpa: Shear strength of the plate [MPa].
        allowable_mpa: Stress the punch may take [MPa].

    Returns:
        The least diameter [mm].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> least_round_hole_mm(10.0, 300.0, 800.0)
        15.0
    """
    require_positive(thickness_mm=thickness_mm, shear_mpa=shear_mpa, allowable_mpa=allowable_mpa)
    return 4 * shear_mpa * thickness_mm / allowable_mpa


def thickest_plate_mm(diameter_mm: float, shear_mpa: float, allowable_mpa: float) -> float:
    """The thickest plate through which a round punch stays within an allowable stress.

    Source: Singer and Pytel, Strength of Materials, Problem 116 (t = sigma d / (4 tau)).

    Args:
        diameter_mm: Diameter of the punch [mm].
        shear_mpa: Shear strength of the plate [MPa].
        allowable_mpa: Stress the punch may take [MPa].

    Returns:
        The greatest thickness [mm].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> thickest_plate_mm(15.0, 300.0, 800.0)
        10.0
    """
    require_positive(diameter_mm=diameter_mm, shear_mpa=shear_mpa, allowable_mpa=allowable_mpa)
    return allowable_mpa * diameter_mm / (4 * shear_mpa)


def hole_ratio(narrowest_mm: float, thickness_mm: float) -> float:
    """The narrowest size of a hole over the plate's thickness.

    Source: common practice (a hole not smaller than the thickness in mild steel).

    Args:
        narrowest_mm: Least size across the hole [mm].
        thickness_mm: Plate thickness [mm].

    Returns:
        The ratio [-].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> round(hole_ratio(7.9375, 9.525), 2)
        0.83
    """
    require_positive(narrowest_mm=narrowest_mm, thickness_mm=thickness_mm)
    return narrowest_mm / thickness_mm


def ratio_verdict(ratio: float, least: float) -> Verdict:
    """What a hole's ratio means: below the material's least ratio the answer is to drill it.

    Source: shop rule (hydraulic machines forgive a little less; the default does not rely on it).

    Args:
        ratio: Narrowest size over thickness [-].
        least: Least ratio of the material [-].

    Returns:
        The verdict, ``ok`` or ``refuse`` [text].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> ratio_verdict(1.0, 1.0), ratio_verdict(0.83, 1.0)
        ('ok', 'refuse')
    """
    require_positive(ratio=ratio, least=least)
    return "refuse" if falls_short(ratio, least) else "ok"


def stress_verdict(stress_mpa: float, ok_to_mpa: float, refuse_above_mpa: float) -> Verdict:
    """What the stress in a punch means.

    Source: shop rule (shock-resisting steel: ok to 1380 MPa or 200 ksi, refused above 1655 MPa or
    240 ksi); 1400 to 2000 MPa as the allowable range is from memory.

    Args:
        stress_mpa: Compressive stress in the point [MPa].
        ok_to_mpa: Stress up to which nothing is said [MPa].
        refuse_above_mpa: Stress above which the hole is refused [MPa].

    Returns:
        The verdict [text].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> stress_verdict(881.0, 1380.0, 1655.0), stress_verdict(1685.0, 1380.0, 1655.0)
        ('ok', 'refuse')
    """
    require_positive(stress_mpa=stress_mpa, ok_to_mpa=ok_to_mpa, refuse_above_mpa=refuse_above_mpa)
    if exceeds(stress_mpa, refuse_above_mpa):
        return "refuse"
    return "caution" if exceeds(stress_mpa, ok_to_mpa) else "ok"


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
