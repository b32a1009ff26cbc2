"""How far a hole may be from its nominal size, by the standard that it is made to."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from crib.trade.common.guards import require_positive
from crib.trade.common.published_tables import known_name, read_table, table_length_mm
from crib.trade.common.verdicts import exceeds

_EDITION = re.compile(r"(AISC 360)\b.*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class HoleTolerance:
    """How far over and under its nominal size a hole may be [mm]."""

    plus_mm: float
    minus_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class _Row:
    standard: str
    hole_type: str
    above_mm: float
    to_mm: float
    tolerance: HoleTolerance


def hole_tolerance(
    standard: str, size_mm: float, hole_type: str = "standard"
) -> HoleTolerance | None:
    """The tolerance of a hole by a standard for bolts or a code of practice.

    Source: table hole_tolerances.csv, each row with its own.

    Args:
        standard: As ``AISC 360-22``, ``EN 1090-2`` or ``ISO 273`` [text].
        size_mm: Nominal size of the hole [mm].
        hole_type: ``standard`` (medium in ISO 273), ``fine`` or ``coarse`` [text].

    Returns:
        The tolerance [mm]; ``None`` where the tables have none.

    Raises:
        BadValue: When the size is not above zero.

    Example:
        >>> hole_tolerance("ISO 273", 22.0).plus_mm
        0.33
        >>> hole_tolerance("CSA S16", 22.0) is None
        True
    """
    require_positive(size_mm=size_mm)
    plain = _EDITION.sub(r"\1", standard)
    named = known_name(plain, {row.standard for row in _rows()})
    fitting = (
        row.tolerance
        for row in _rows()
        if row.standard == named
        and row.hole_type in ("any", hole_type)
        and exceeds(size_mm, row.above_mm)
        and not exceeds(size_mm, row.to_mm)
    )
    return next(fitting, None)


@cache
def _rows() -> tuple[_Row, ...]:
    return tuple(_row(row) for row in read_table("hole_tolerances"))


def _row(row: dict[str, str]) -> _Row:
    above_mm, to_mm, plus_mm, minus_mm = (
        table_length_mm(row[name], row["unit"]) for name in ("above", "to", "plus", "minus")
    )
    tolerance = HoleTolerance(plus_mm, minus_mm, row["source"])
    return _Row(row["standard"], row["hole_type"], above_mm, to_mm, tolerance)
