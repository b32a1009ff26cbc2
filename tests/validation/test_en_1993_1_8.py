"""EN 1993-1-8:2005, Eurocode 3, Design of joints, Table 3.3: least distances by the hole d0."""

from __future__ import annotations

import pytest

from crib.trade.metal.edge_distances import DistanceLimit, code_edge_limit, code_spacing_limit
from tests.validation.published import rows

_EN = "EN 1993-1-8"


def _limits(hole_mm: float) -> dict[str, DistanceLimit]:
    slot = code_edge_limit(_EN, hole_mm=hole_mm, hole_type="long_slot")
    return {
        "e1": code_edge_limit(_EN, hole_mm=hole_mm),
        "e2": code_edge_limit(_EN, hole_mm=hole_mm, edge="rolled"),
        "e3, e4": slot,
        "p1 in load direction": code_spacing_limit(_EN, hole_mm=hole_mm),
        "p2 across load": code_spacing_limit(_EN, hole_mm=hole_mm, direction="across"),
    }


@pytest.mark.parametrize("hole_mm", [14.0, 22.0, 26.0, 33.0])
@pytest.mark.parametrize("row", rows("en_1993_1_8_table_3_3"), ids=lambda row: row["subject"])
def test_table_3_3(row: dict[str, str], hole_mm: float) -> None:
    found = [limit for ends, limit in _limits(hole_mm).items() if row["subject"].endswith(ends)]
    factor = float(row["value"].removesuffix(" d0"))
    assert [limit.limit_mm for limit in found] == [pytest.approx(factor * hole_mm)]
    assert found[0].source.startswith(row["source"])
