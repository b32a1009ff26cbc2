"""What a cut through a bar, a flat or a section costs, and how the blades are set for it."""

from __future__ import annotations

from math import cos, radians

from crib.errors import BadValue
from crib.trade.common.guards import require_positive
from crib.trade.common.verdicts import Verdict, exceeds, falls_short


def shear_force_n(area_mm2: float, shear_mpa: float) -> float:
    """The force to shear a whole section at once, with blades of its own profile.

    Source: Groover, Fundamentals of Modern Manufacturing, 5th ed., Eq. 19.4 (F = S t L), with the
    section's area for t L.

    Args:
        area_mm2: Area of the section that is cut [mm²].
        shear_mpa: Shear strength of the bar [MPa].

    Returns:
        The greatest force of the cut [N].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> shear_force_n(500.0, 350.0)
        175000.0
    """
    require_positive(area_mm2=area_mm2, shear_mpa=shear_mpa)
    return shear_mpa * area_mm2


def mitre_width_mm(width_mm: float, angle_deg: float) -> float:
    """The width along a mitred cut.

    Source: plane geometry, w / cos(angle).

    Args:
        width_mm: Width of the stock, square across [mm].
        angle_deg: Angle of the cut from square, 0 to below 90 [deg].

    Returns:
        The width along the cut [mm].

    Raises:
        BadValue: When the width is not above zero or the angle is not 0 to below 90.

    Example:
        >>> round(mitre_width_mm(200.0, 45.0))
        283
    """
    require_positive(width_mm=width_mm)
    if not 0 <= angle_deg < 90:
        message = f"angle_deg={angle_deg:g} must be 0 to below 90"
        raise BadValue(message, way_out="count the angle from a square cut")
    return width_mm / cos(radians(angle_deg))


def blade_gap_mm(
    thickness_mm: float, low_pct: float = 5.0, high_pct: float = 8.0, least_mm: float = 0.1
) -> tuple[float, float]:
    """The gap between the blades, from low to high; the machine's manual comes first.

    Source: common practice (5 to 8 % of the thickness, some say 10, never under 0.1 mm).

    Args:
        thickness_mm: Thickness of the stock [mm].
        low_pct: Low end in percent of the thickness [%].
        high_pct: High end in percent of the thickness [%].
        least_mm: The gap that is never gone below [mm].

    Returns:
        The low and the high end of the gap [mm].

    Raises:
        BadValue: When an argument is not above zero or the ends are the wrong way round.

    Example:
        >>> blade_gap_mm(10.0), blade_gap_mm(1.0)
        ((0.5, 0.8), (0.1, 0.1))
    """
    require_positive(
        thickness_mm=thickness_mm, low_pct=low_pct, high_pct=high_pct, least_mm=least_mm
    )
    if exceeds(low_pct, high_pct):
        message = f"low_pct={low_pct:g} must be <= high_pct={high_pct:g}"
        raise BadValue(message)
    low_mm, high_mm = (thickness_mm * share / 100 for share in (low_pct, high_pct))
    return max(least_mm, low_mm), max(least_mm, high_mm)


def tube_wall_verdict(wall_mm: float, least_mm: float, most_mm: float) -> Verdict:
    """Whether a tube-shear set takes a wall: a thin one dimples in, a thick one overloads it.

    Source: common practice (a set is stated for a least and a greatest wall).

    Args:
        wall_mm: Wall of the tube [mm].
        least_mm: Least wall the set is stated for [mm].
        most_mm: Greatest wall the set is stated for [mm].

    Returns:
        The verdict [text].

    Raises:
        BadValue: When an argument is not above zero or the limits are the wrong way round.

    Example:
        >>> tube_wall_verdict(1.5, 1.2, 3.0), tube_wall_verdict(3.2, 1.2, 3.0)
        ('ok', 'refuse')
    """
    require_positive(wall_mm=wall_mm, least_mm=least_mm, most_mm=most_mm)
    if exceeds(least_mm, most_mm):
        message = f"least_mm={least_mm:g} must be <= most_mm={most_mm:g}"
        raise BadValue(message)
    outside = falls_short(wall_mm, least_mm) or exceeds(wall_mm, most_mm)
    return "refuse" if outside else "ok"
