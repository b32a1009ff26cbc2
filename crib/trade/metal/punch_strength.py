"""Whether the punch stands the hole: compressive stress, and hole against thickness."""

from __future__ import annotations

from crib.trade.common.guards import require_positive
from crib.trade.common.verdicts import Verdict, exceeds, falls_short


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
