"""ANSI/AISC 360, Specification for Structural Steel Buildings, 2010, 2016 and 2022.

Tables J3.3 and J3.3M: nominal hole dimensions. The standard hole of bolts of 1 in and larger grew
from d + 1/16 to d + 1/8 with the 2016 edition; the M12 row is new in the 2022 edition. The slots of
the 2016 edition were taken equal to those of 2022.
"""

from __future__ import annotations

from itertools import product

import pytest

from crib.errors import AskBack
from crib.trade.metal.bolt_holes import HoleType, bolt_hole
from tests.validation.published import rows

_MM = 25.4
_INCH_COLUMNS: dict[HoleType, tuple[str, str | None]] = {
    "standard": ("standard_in", None),
    "oversize": ("oversize_in", None),
    "short_slot": ("short_slot_width_in", "short_slot_length_in"),
    "long_slot": ("long_slot_width_in", "long_slot_length_in"),
}
_INCH_ROWS = rows("aisc_360_j3_3")
_METRIC_ROWS = rows("aisc_360_j3_3m")


@pytest.mark.parametrize(
    ("row", "hole_type"),
    list(product(_INCH_ROWS, _INCH_COLUMNS)),
    ids=lambda part: part if isinstance(part, str) else f"{part['edition']}-{part['bolt_dia']}",
)
def test_table_j3_3(row: dict[str, str], hole_type: HoleType) -> None:
    hole = bolt_hole(row["bolt_dia"], hole_type, row["edition"])
    width, length = _INCH_COLUMNS[hole_type]
    assert hole.width_mm == pytest.approx(float(row[width]) * _MM, rel=1e-12)
    expected = float(row[length]) * _MM if length else None
    assert hole.length_mm == (expected if expected is None else pytest.approx(expected, rel=1e-12))


@pytest.mark.parametrize(
    "row", _METRIC_ROWS, ids=lambda row: f"{row['standard']}-{row['bolt']}-{row['hole_type']}"
)
def test_table_j3_3m(row: dict[str, str]) -> None:
    hole_type: HoleType = row["hole_type"].replace(" ", "_")  # type: ignore[assignment]
    hole = bolt_hole(row["bolt"], hole_type, row["standard"].removesuffix(" J3.3M"))
    assert hole.width_mm == float(row["width_or_dia_mm"])
    assert hole.length_mm == (float(row["length_mm"]) if row["length_mm"] else None)


@pytest.mark.parametrize("bolt", ["1/2", "5/8", "3/4", "7/8"])
def test_below_one_inch_the_three_editions_agree(bolt: str) -> None:
    widths = {bolt_hole(bolt, "standard", f"AISC 360-{year}").width_mm for year in (10, 16, 22)}
    assert widths == {bolt_hole(bolt, "standard", "AISC 360").width_mm}


@pytest.mark.parametrize(
    ("bolt", "old", "new"),
    [
        ("1", "1-1/16", "1-1/8"),
        ("1-1/8", "1-3/16", "1-1/4"),
        ("1-1/4", "1-5/16", "1-3/8"),
        ("1-3/8", "1-7/16", "1-1/2"),
        ("1-1/2", "1-9/16", "1-5/8"),
    ],
)
def test_from_one_inch_the_2010_edition_differs(bolt: str, old: str, new: str) -> None:
    with pytest.raises(AskBack, match=f"{old} in 360-10, {new} in 360-16 and -22: say which"):
        bolt_hole(bolt, "standard", "AISC 360")


@pytest.mark.parametrize(
    "row",
    [row for row in _METRIC_ROWS if row["bolt"] != "M12" and "360-16" in row["standard"]],
    ids=lambda row: f"{row['bolt']}-{row['hole_type']}",
)
def test_from_memory_table_j3_3m_was_the_same_in_2010(row: dict[str, str]) -> None:
    hole_type: HoleType = row["hole_type"].replace(" ", "_")  # type: ignore[assignment]
    hole = bolt_hole(row["bolt"], hole_type, "AISC 360-10")
    assert hole.width_mm == float(row["width_or_dia_mm"])
    assert hole.length_mm == (float(row["length_mm"]) if row["length_mm"] else None)


def test_the_m12_row_is_new_in_2022() -> None:
    assert bolt_hole("M12", "standard", "AISC 360-22").width_mm == 14.0
    with pytest.raises(AskBack, match="M12: no row in 360-10 and -16, 14 in 360-22"):
        bolt_hole("M12", "standard", "AISC 360")
