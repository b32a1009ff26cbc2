"""The die's own metal: the wall that is left around the opening."""

from __future__ import annotations

from crib.trade.common.guards import require_positive
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
