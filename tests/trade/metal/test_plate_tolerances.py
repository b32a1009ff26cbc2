"""The upper tolerance of a plate's thickness, step by step."""

from __future__ import annotations

import pytest

from crib.errors import BadValue, UnknownName
from crib.trade.metal.plate_tolerances import overthickness


@pytest.mark.parametrize(
    ("standard", "thickness_mm", "over_mm"),
    [
        ("ASTM A6", 3.0, 0.762),
        ("ASTM A6", 19.04, 0.762),
        ("ASTM A6", 19.05, 1.016),
        ("ASTM A6", 25.4, 1.524),
        ("ASTM A6", 50.8, 2.54),
        ("ASTM A6", 76.2, 2.794),
        ("EN 10029", 3.0, 0.8),
        ("EN 10029", 4.99, 0.8),
        ("EN 10029", 5.0, 1.1),
        ("EN 10029", 8.0, 1.2),
        ("EN 10029", 15.0, 1.3),
        ("EN 10029", 25.0, 1.4),
        ("EN 10029", 40.0, 1.8),
        ("EN 10029", 80.0, 2.2),
    ],
)
def test_each_step_begins_at_its_thickness(
    standard: str, thickness_mm: float, over_mm: float
) -> None:
    found = overthickness(standard, thickness_mm)
    assert found is not None
    assert found.over_mm == pytest.approx(over_mm)


@pytest.mark.parametrize("standard", ["ASTM A6", "EN 10029"])
@pytest.mark.parametrize(
    ("yield_mpa", "times"),
    [(235.0, 1.0), (300.0, 1.0), (301.0, 1.15), (361.0, 1.3), (421.0, 1.4), (None, 1.4)],
)
def test_sheet_is_cut_from_strip_and_wider_where_the_steel_is_stronger(
    standard: str, yield_mpa: float | None, times: float
) -> None:
    for thickness_mm, over_mm in ((1.5, 0.21), (2.0, 0.23), (2.99, 0.24)):
        found = overthickness(standard, thickness_mm, yield_mpa)
        assert found is not None
        assert found.over_mm == pytest.approx(over_mm * times)
        assert found.source.startswith("EN 10051")


def test_beyond_the_tables_nothing_is_said() -> None:
    assert overthickness("ASTM A6", 101.6) is None
    assert overthickness("EN 10029", 150.0) is None
    with pytest.raises(BadValue, match="thickness_mm=0"):
        overthickness("ASTM A6", 0.0)
    with pytest.raises(UnknownName, match="known: ASTM A6, EN 10029"):
        overthickness("EN 10051", 2.0)
