"""Between what a mill certificate of a grade can say: its standard's range, a little widened."""

from __future__ import annotations

from crib.errors import BadValue
from crib.trade.metal.materials import Family, Material, known_materials, yield_at_mpa


def certified_tensile_mpa(material: Material, beyond_pct: float) -> tuple[float, float] | None:
    """The least and most tensile strength that a certificate of a material may show.

    Where no standard asks for a least, it is that of the softest of its family.

    Source: table materials.csv for the range; shop rule for how far beyond it is still taken.

    Args:
        material: The material, strengths in [MPa].
        beyond_pct: How far beyond its range on both sides [%].

    Returns:
        Least and most, ``None`` for a material of which no strength is known [MPa].

    Raises:
        BadValue: When the share is not 0 to below 100.

    Example:
        >>> from crib.trade.metal.materials import find_material
        >>> certified_tensile_mpa(find_material("A36"), 10.0)
        (360.0, 605.0)
    """
    least_mpa = material.tensile_mpa or _softest_mpa(material.family)
    if least_mpa is None or material.upper_tensile_mpa is None:
        return None
    return _widened(least_mpa, material.upper_tensile_mpa, beyond_pct)


def certified_yield_mpa(
    material: Material, thickness_mm: float, beyond_pct: float
) -> tuple[float, float] | None:
    """The least and most yield strength that a certificate of a material may show.

    No grade yields above the most that it breaks at.

    Source: tables materials.csv and plate_yields.csv for the range; shop rule for how far beyond
    it is still taken.

    Args:
        material: The material, strengths in [MPa].
        thickness_mm: Plate thickness [mm].
        beyond_pct: How far beyond its range on both sides [%].

    Returns:
        Least and most, ``None`` for a material of which no yield strength is known [MPa].

    Raises:
        BadValue: When the share is not 0 to below 100, or the thickness is not above zero.

    Example:
        >>> from crib.trade.metal.materials import find_material
        >>> certified_yield_mpa(find_material("S355"), 20.0, 10.0)
        (310.5, 693.0)
    """
    least_mpa = yield_at_mpa(material, thickness_mm)
    if least_mpa is None or material.upper_tensile_mpa is None:
        return None
    return _widened(least_mpa, material.upper_tensile_mpa, beyond_pct)


def _softest_mpa(family: Family) -> float | None:
    same = [one.tensile_mpa for one in known_materials() if one.family == family]
    return min((mpa for mpa in same if mpa is not None), default=None)


def _widened(least_mpa: float, most_mpa: float, beyond_pct: float) -> tuple[float, float]:
    if not 0 <= beyond_pct < 100:
        message = f"beyond_pct={beyond_pct:g} must be 0 to below 100"
        raise BadValue(message)
    below, above = round(least_mpa * (100 - beyond_pct), 6), round(most_mpa * (100 + beyond_pct), 6)
    return below / 100, above / 100
