"""Sheet gauges: one number, five meanings."""

from __future__ import annotations

import pytest

from crib.errors import BadValue, UnknownName
from crib.trade.metal.gauges import gauge_thickness_mm
from crib.trade.metal.materials import known_materials

_RANGES = {"MSG": (7, 28), "USG": (7, 28), "GSG": (8, 28), "AWG": (7, 28), "BWG": (4, 28)}


@pytest.mark.parametrize(
    ("system", "thickness_in"),
    [("MSG", 0.1345), ("USG", 0.1406), ("GSG", 0.1382), ("AWG", 0.1019), ("BWG", 0.134)],
)
def test_ten_gauge_depends_on_the_sheet(system: str, thickness_in: float) -> None:
    assert gauge_thickness_mm(10, system) == pytest.approx(thickness_in * 25.4, rel=1e-12)


@pytest.mark.parametrize("system", _RANGES)
def test_a_higher_gauge_is_a_thinner_sheet(system: str) -> None:
    first, last = _RANGES[system]
    sheets = [gauge_thickness_mm(gauge, system) for gauge in range(first, last + 1)]
    assert sheets == sorted(sheets, reverse=True)
    assert len(set(sheets)) == len(sheets)


@pytest.mark.parametrize("system", _RANGES)
def test_a_gauge_outside_the_table_is_refused(system: str) -> None:
    first, last = _RANGES[system]
    for gauge in (first - 1, last + 1, -3):
        with pytest.raises(BadValue, match=f"gauge={gauge} must be {first} to {last} in {system}"):
            gauge_thickness_mm(gauge, system)


@pytest.mark.parametrize("system", ["", "SWG", "steel"])
def test_an_unknown_system_is_refused_with_the_known_ones(system: str) -> None:
    with pytest.raises(UnknownName, match=f"unknown gauge system '{system}'; known: MSG, USG, GSG"):
        gauge_thickness_mm(10, system)


def test_case_and_spaces_do_not_matter() -> None:
    assert gauge_thickness_mm(16, " awg ") == gauge_thickness_mm(16, "AWG")


def test_every_gauge_system_of_a_material_has_a_table() -> None:
    for material in known_materials():
        if material.gauge_system:
            assert gauge_thickness_mm(16, material.gauge_system) > 0
