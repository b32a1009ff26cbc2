"""The outside of a pipe as inches name it, to the last bit.

The millimetre columns are these figures rounded to a tenth; a nest, a depth or a cut length that
is worked out from them would read 1.902 in where everybody knows 1.900.
"""

from __future__ import annotations

from crib.errors import UnknownName
from crib.trade.common.published_tables import table_length_mm

# ASME B36.10M, customary inch columns of the dimension table, from memory.
_OUTSIDE_IN = {
    "1/8": "0.405",
    "1/4": "0.540",
    "3/8": "0.675",
    "1/2": "0.840",
    "3/4": "1.050",
    "1": "1.315",
    "1-1/4": "1.660",
    "1-1/2": "1.900",
    "2": "2.375",
    "2-1/2": "2.875",
    "3": "3.500",
    "3-1/2": "4.000",
    "4": "4.500",
    "5": "5.563",
    "6": "6.625",
    "8": "8.625",
    "10": "10.750",
    "12": "12.750",
}


def pipe_outside_mm(nps: str) -> float:
    """The outside of a pipe by its inch name, exact in inches.

    Source: ASME B36.10M, customary inch columns of the dimension table, from memory.

    Args:
        nps: Nominal size as the table prints it, such as ``1-1/2`` [text].

    Returns:
        The outside diameter [mm].

    Raises:
        UnknownName: When the size is not in the table.

    Example:
        >>> pipe_outside_mm("1-1/2"), pipe_outside_mm("2")
        (48.26, 60.325)
    """
    printed = _OUTSIDE_IN.get(nps)
    if printed is None:
        message = f"unknown pipe size {nps!r}; known: {', '.join(_OUTSIDE_IN)}"
        raise UnknownName(message, way_out="a tube is named by its measured outside and wall")
    return table_length_mm(printed, "in")
