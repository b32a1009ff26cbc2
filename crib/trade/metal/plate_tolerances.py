"""How much thicker than asked for a plate may be delivered."""

from __future__ import annotations

from dataclasses import dataclass

from crib.errors import UnknownName
from crib.trade.common.guards import require_positive
from crib.trade.common.published_tables import read_table, table_length_mm
from crib.trade.common.verdicts import exceeds, falls_short

SHEET_BELOW_MM = 3.0
"""What is thinner is sheet, cut from strip: neither plate standard is for it."""

# EN 10051 widens category A for steels that are harder to roll, by their yield strength.
_CATEGORIES = ((420.0, 1.40), (360.0, 1.30), (300.0, 1.15))


@dataclass(frozen=True, slots=True)
class Overthickness:
    """How much thicker a plate may be, and where that is printed."""

    over_mm: float
    source: str


def overthickness(
    standard: str, thickness_mm: float, yield_mpa: float | None = None
) -> Overthickness | None:
    """The upper tolerance of a plate's or a sheet's thickness.

    Source: table plate_tolerances.csv (ASTM A6/A6M Table 1; EN 10029:1991 Table 1, class A;
    EN 10051:2010 for sheet of either, 15, 30 or 40 % wider above a yield of 300, 360 or 420 MPa,
    as a public page gives it).

    Args:
        standard: The standard that plate is delivered to, ``ASTM A6`` or ``EN 10029`` [text].
        thickness_mm: Thickness as it was ordered [mm].
        yield_mpa: The steel's yield strength, for sheet; None counts as the widest [MPa].

    Returns:
        The tolerance [mm], or ``None`` where no table goes so far.

    Raises:
        BadValue: When the thickness is not above zero.
        UnknownName: When no table is known for the standard.

    Example:
        >>> round(overthickness("ASTM A6", 9.525).over_mm, 3)
        0.762
        >>> overthickness("EN 10029", 10.0).over_mm
        1.2
    """
    require_positive(thickness_mm=thickness_mm)
    known = {row["standard"] for row in read_table("plate_tolerances")} - {"EN 10051"}
    if standard not in known:
        message = f"unknown plate standard {standard!r}; known: {', '.join(sorted(known))}"
        raise UnknownName(message)
    if falls_short(thickness_mm, SHEET_BELOW_MM):
        found = _in_table("EN 10051", thickness_mm)
        return found and Overthickness(found.over_mm * _category(yield_mpa), found.source)
    return _in_table(standard, thickness_mm)


def _in_table(standard: str, thickness_mm: float) -> Overthickness | None:
    for row in read_table("plate_tolerances"):
        least_mm, below_mm, over_mm = (
            table_length_mm(row[name], row["unit"]) for name in ("from", "below", "over")
        )
        within = not falls_short(thickness_mm, least_mm) and falls_short(thickness_mm, below_mm)
        if row["standard"] == standard and within:
            return Overthickness(over_mm, row["source"])
    return None


def _category(yield_mpa: float | None) -> float:
    if yield_mpa is None:
        return _CATEGORIES[0][1]
    return next((times for above, times in _CATEGORIES if exceeds(yield_mpa, above)), 1.0)
