"""The outside of a pipe as inches name it, to the last bit, and as its DN names it in Europe.

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


# EN 10220:2002 Table 1, series 1, with the DN of EN ISO 6708, from memory.
_EN_OUTSIDE_MM = {
    6: 10.2,
    8: 13.5,
    10: 17.2,
    15: 21.3,
    20: 26.9,
    25: 33.7,
    32: 42.4,
    40: 48.3,
    50: 60.3,
    65: 76.1,
    80: 88.9,
    90: 101.6,
    100: 114.3,
    125: 139.7,
    150: 168.3,
    200: 219.1,
    250: 273.0,
    300: 323.9,
}


def european_outside_mm(dn: int) -> float:
    """The outside of a European steel pipe by its DN; that of an inch pipe may be another.

    Source: EN 10220:2002 Table 1, series 1, from memory.

    Args:
        dn: Nominal diameter, 6 to 300 [-].

    Returns:
        The outside diameter [mm].

    Raises:
        UnknownName: When the size is not in the table.

    Example:
        >>> european_outside_mm(65), european_outside_mm(40)
        (76.1, 48.3)
    """
    outside_mm = _EN_OUTSIDE_MM.get(dn)
    if outside_mm is None:
        message = (
            f"unknown pipe size DN{dn}; known: {', '.join(f'DN{one}' for one in _EN_OUTSIDE_MM)}"
        )
        raise UnknownName(message, way_out="a tube is named by its measured outside and wall")
    return outside_mm
