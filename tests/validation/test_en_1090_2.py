"""EN 1090-2:2018, Execution of steel structures, Table 11: nominal clearances for bolts."""

from __future__ import annotations

import pytest

from crib.trade.metal.bolt_holes import HoleType, bolt_hole
from tests.validation.published import rows

_TYPES: dict[str, HoleType] = {
    "normal round": "standard",
    "oversize round": "oversize",
    "short slot": "short_slot",
    "long slot": "long_slot",
}


@pytest.mark.parametrize(
    "row", rows("en_1090_2_table_11"), ids=lambda row: f"{row['bolt']}-{row['hole_type']}"
)
def test_table_11(row: dict[str, str]) -> None:
    hole = bolt_hole(row["bolt"], _TYPES[row["hole_type"]], "EN 1090-2")
    assert hole.width_mm == float(row["width_or_dia_mm"])
    assert hole.length_mm == (float(row["length_mm"]) if row["length_mm"] else None)
    longest = hole.length_mm or hole.width_mm
    assert longest - float(row["bolt"].removeprefix("M")) == float(row["clearance_mm"])
