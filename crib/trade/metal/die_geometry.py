"""The die's own metal: the wall that is left around the opening, and how grinding opens it."""

from __future__ import annotations

from math import radians, tan

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.common.verdicts import exceeds


def die_wall_mm(die_outside_mm: float, die_diagonal_mm: float) -> float:
    """The metal left between a die's opening and its outside, at the thinnest place.

    Source: plane geometry ((outside diameter - greatest size of the opening) / 2).

    Args:
        die_outside_mm: Outside diameter of the die [mm].
        die_diagonal_mm: Greatest size across the opening [mm].

    Returns:
        The wall, zero or less when the opening does not fit into the die [mm].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> die_wall_mm(50.0, 30.0)
        10.0
    """
    require_positive(die_outside_mm=die_outside_mm, die_diagonal_mm=die_diagonal_mm)
    return (die_outside_mm - die_diagonal_mm) / 2


def least_die_wall_mm(
    thickness_mm: float,
    thin_wall_mm: float = 5.0,
    thick_wall_mm: float = 6.0,
    step_mm: float = 6.35,
) -> float:
    """The wall a die must have left for a plate of a given thickness.

    Source: shop rule (3/16 in or 5 mm for plate to 1/4 in, 1/4 in or 6 mm above).

    Args:
        thickness_mm: Plate thickness [mm].
        thin_wall_mm: Wall for plate up to the step [mm].
        thick_wall_mm: Wall for plate above the step [mm].
        step_mm: Thickness above which the thicker wall is needed [mm].

    Returns:
        The least wall [mm].

    Raises:
        BadValue: When an argument is not above zero.

    Example:
        >>> least_die_wall_mm(6.35), least_die_wall_mm(9.525)
        (5.0, 6.0)
    """
    require_positive(
        thickness_mm=thickness_mm,
        thin_wall_mm=thin_wall_mm,
        thick_wall_mm=thick_wall_mm,
        step_mm=step_mm,
    )
    return thick_wall_mm if exceeds(thickness_mm, step_mm) else thin_wall_mm


def die_growth_mm(ground_mm: float, land_mm: float, relief_deg: float) -> float:
    """How much wider a die's opening is after grinding its top down.

    Source: plane geometry (nothing while in the straight land, then 2 h tan of the relief angle);
    Groover, 5th ed., Section 19.1.2 gives the relief as 0.25 to 1.5 degrees per side.

    Args:
        ground_mm: Total taken off the top [mm].
        land_mm: Length of the straight part below the edge when new [mm].
        relief_deg: Relief angle on each side below the land [°].

    Returns:
        The growth of the opening [mm].

    Raises:
        BadValue: When a length is negative or the angle is not 0 to below 45 degrees.

    Example:
        >>> die_growth_mm(2.0, 3.0, 1.0)
        0.0
        >>> round(die_growth_mm(4.0, 3.0, 1.0), 3)
        0.035
    """
    require_not_negative(ground_mm=ground_mm, land_mm=land_mm)
    if not 0 <= relief_deg < 45:
        message = f"relief_deg={relief_deg:g} must be 0 to below 45"
        raise BadValue(message)
    below_land_mm = max(0.0, ground_mm - land_mm)
    return 2 * below_land_mm * tan(radians(relief_deg))
