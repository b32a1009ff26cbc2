"""Sheet and wire gauges: Machinery's Handbook tables, and the laws behind them.

Manufacturers' Standard Gauge: weight over 41.82 lb/ft2 per inch. Galvanized: the same with 2.5
oz/ft2 of zinc. U.S. Standard Gauge (Act of 3 March 1893): ounces per square foot over 640. American
Wire Gauge (ASTM B258): 0.005 x 92^((36 - n) / 39) in. Birmingham gauge: a table without a law. Rows
held from memory say so in their ``how``.
"""

from __future__ import annotations

import pytest

from crib.trade.metal.gauges import gauge_thickness_mm
from tests.validation.published import Printed, rows

_MM = 25.4
_LB_PER_FT2_PER_INCH = 41.82
_USG_OUNCES = {
    7: 120, 8: 110, 9: 100, 10: 90, 11: 80, 12: 70, 13: 60, 14: 50, 15: 45, 16: 40, 17: 36,
    18: 32, 19: 28, 20: 24, 21: 22, 22: 20, 23: 18, 24: 16, 25: 14, 26: 12, 27: 11, 28: 10,
}  # fmt: skip
_ROWS = rows("sheet_gauges")


def _thickness_in(gauge: int, system: str) -> float:
    return gauge_thickness_mm(gauge, system) / _MM


@pytest.mark.parametrize("row", _ROWS, ids=lambda row: f"{row['system']}-{row['gauge']}")
def test_a_gauge_is_as_thick_as_printed(row: dict[str, str]) -> None:
    thickness_in = _thickness_in(int(row["gauge"]), row["system"].split()[0])
    assert thickness_in == pytest.approx(float(row["thickness_in"]), rel=1e-12)


@pytest.mark.parametrize(
    "row",
    [row for row in _ROWS if row["weight_lb_per_ft2"]],
    ids=lambda row: f"{row['system']}-{row['gauge']}",
)
def test_steel_gauges_follow_from_the_weight_of_the_sheet(row: dict[str, str]) -> None:
    by_weight_in = float(row["weight_lb_per_ft2"]) / _LB_PER_FT2_PER_INCH
    printed = Printed(row["thickness_in"])
    assert printed.agrees_with(by_weight_in)
    assert printed.agrees_with(_thickness_in(int(row["gauge"]), row["system"]))


@pytest.mark.parametrize("gauge", range(8, 29))
def test_galvanized_sheet_is_the_steel_and_two_and_a_half_ounces_of_zinc(gauge: int) -> None:
    zinc_in = 2.5 / 16 / _LB_PER_FT2_PER_INCH
    difference_in = _thickness_in(gauge, "GSG") - _thickness_in(gauge, "MSG")
    assert difference_in == pytest.approx(zinc_in, abs=0.0001)


@pytest.mark.parametrize(("gauge", "ounces"), list(_USG_OUNCES.items()))
def test_stainless_gauges_follow_the_act_of_1893(gauge: int, ounces: int) -> None:
    assert _thickness_in(gauge, "USG") == pytest.approx(ounces / 640, abs=0.0000501)


@pytest.mark.parametrize("gauge", range(7, 29))
def test_wire_gauges_follow_their_law(gauge: int) -> None:
    law_in = 0.005 * 92 ** ((36 - gauge) / 39)
    assert _thickness_in(gauge, "AWG") == pytest.approx(law_in, abs=0.00005)
