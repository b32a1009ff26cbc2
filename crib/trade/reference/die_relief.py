"""How grinding opens a die that is relieved below its land."""

from __future__ import annotations

from math import radians, tan

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative


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
