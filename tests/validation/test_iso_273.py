"""ISO 273:1979 (EN 20273:1991), Clearance holes for bolts and screws, Table 1."""

from __future__ import annotations

import pytest

from crib.trade.metal.bolt_holes import HoleType, bolt_hole
from tests.validation.published import rows

_SERIES: dict[str, HoleType] = {
    "fine (H12)": "fine",
    "medium (H13)": "standard",
    "coarse (H14)": "coarse",
}


@pytest.mark.parametrize(
    "row", rows("iso_273_table_1"), ids=lambda row: f"{row['bolt']}-{row['hole_type']}"
)
def test_table_1(row: dict[str, str]) -> None:
    hole = bolt_hole(row["bolt"], _SERIES[row["hole_type"]], "ISO 273")
    assert hole.width_mm == float(row["width_or_dia_mm"])
    assert hole.length_mm is None
