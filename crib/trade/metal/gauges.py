"""Sheet gauges: a number that means a different thickness for each kind of sheet."""

from __future__ import annotations

from functools import lru_cache

from crib.errors import BadValue, UnknownName
from crib.trade.common.published_tables import read_table, table_length_mm


def gauge_thickness_mm(gauge: int, system: str) -> float:
    """The thickness that a gauge number stands for.

    Source: table sheet_gauges.csv, where each row names its own (Machinery's Handbook; the Act of
    3 March 1893 for USG).

    Args:
        gauge: The gauge number [-].
        system: MSG for steel sheet, USG stainless, GSG galvanized, AWG aluminium and copper alloys,
            BWG tube walls [text].

    Returns:
        The thickness [mm].

    Raises:
        UnknownName: When there is no such system of gauges.
        BadValue: When the system's table has no such number.

    Example:
        >>> round(gauge_thickness_mm(10, "MSG"), 3)
        3.416
    """
    table = _systems().get(system.strip().upper())
    if table is None:
        message = f"unknown gauge system {system!r}; known: {', '.join(_systems())}"
        raise UnknownName(message, way_out="give the thickness in inches or mm")
    if gauge not in table:
        message = f"gauge={gauge} must be {min(table)} to {max(table)} in {system.strip().upper()}"
        raise BadValue(message, way_out="give the thickness in inches or mm")
    return table[gauge]


@lru_cache(maxsize=1)
def _systems() -> dict[str, dict[int, float]]:
    systems: dict[str, dict[int, float]] = {}
    for row in read_table("sheet_gauges"):
        thickness_mm = table_length_mm(row["thickness_in"], "in")
        systems.setdefault(row["system"], {})[int(row["gauge"])] = thickness_mm
    return systems
