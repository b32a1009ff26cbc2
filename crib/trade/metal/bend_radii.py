"""The least inside radius that a plate is bent to without cracking, by grade and thickness."""

from __future__ import annotations

from dataclasses import dataclass

from crib.trade.common.guards import require_positive
from crib.trade.common.published_tables import read_table
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.materials import Material

# ASTM A6/A6M Appendix X4, note to Table X4.2: bend lines along the rolling take 1.5 times.
ALONG_THE_ROLLING = 1.5


@dataclass(frozen=True, slots=True)
class LeastRadius:
    """The least inside radius with the bend line across the rolling, and along it.

    ``along_mm`` is ``None`` where the table does not tell.
    """

    across_mm: float
    along_mm: float | None
    source: str


def least_bend_radius(material: Material, thickness_mm: float) -> LeastRadius | None:
    """The least inside radius of a cold bend.

    Source: table bend_radii.csv, where each row names its own (ASTM A6/A6M Appendix X4, EN 10025-2
    Table 12, Aluminum Design Manual VII Table 3-1); a shop's own material brings its own figure.

    Args:
        material: What is bent [-].
        thickness_mm: Plate thickness; between two of a table the thicker one counts [mm].

    Returns:
        The radii, ``None`` where no table has that grade in that thickness [mm].

    Raises:
        BadValue: When the thickness is not above zero.

    Example:
        >>> from crib.trade.metal.materials import find_material
        >>> radius = least_bend_radius(find_material("S355"), 6.0)
        >>> (radius.across_mm, radius.along_mm) if radius else None
        (10.0, 12.0)
    """
    require_positive(thickness_mm=thickness_mm)
    if material.bend_radius_t is not None:
        across_mm = material.bend_radius_t * thickness_mm
        return LeastRadius(across_mm, ALONG_THE_ROLLING * across_mm, material.source)
    for row in read_table("bend_radii"):
        if material.name not in row["materials"].split("|"):
            continue
        if not exceeds(thickness_mm, float(row["to_mm"])):
            across_mm = _radius_mm(row["across_mm"], row["across_t"], thickness_mm) or 0.0
            along_mm = _radius_mm(row["along_mm"], row["along_t"], thickness_mm)
            return LeastRadius(across_mm, along_mm, row["source"])
    return None


def _radius_mm(fixed: str, thicknesses: str, thickness_mm: float) -> float | None:
    if fixed:
        return float(fixed)
    return float(thicknesses) * thickness_mm if thicknesses else None
