"""ISO 286-1:2010, standard tolerances: IT12, IT13 and IT14 are 160, 250 and 400 times the unit i.

i = 0.45 D^(1/3) + 0.001 D in micrometres, D the geometric mean of a range of sizes in mm; the table
rounds. From 0 to 3 mm its figures are held from memory, for the formula begins at 3 mm.
"""

from __future__ import annotations

from math import sqrt

import pytest

from crib.trade.metal.hole_tolerances import hole_tolerance

_TIMES = {"fine": 160, "standard": 250, "coarse": 400}
_RANGES = ((3, 6), (6, 10), (10, 18), (18, 30), (30, 50))
_TO_3_MM = {"fine": 0.10, "standard": 0.14, "coarse": 0.25}


@pytest.mark.parametrize("hole_type", _TIMES)
@pytest.mark.parametrize(("above_mm", "to_mm"), _RANGES)
def test_a_clearance_hole_is_made_to_its_grade(
    hole_type: str, above_mm: float, to_mm: float
) -> None:
    middle_mm = sqrt(above_mm * to_mm)
    unit_um = 0.45 * middle_mm ** (1 / 3) + 0.001 * middle_mm
    for size_mm in (above_mm * 1.001, middle_mm, to_mm):
        found = hole_tolerance("ISO 273", size_mm, hole_type)
        assert found is not None
        assert found.plus_mm == pytest.approx(_TIMES[hole_type] * unit_um / 1000, rel=0.05)
        assert found.minus_mm == 0.0


@pytest.mark.parametrize(("hole_type", "plus_mm"), _TO_3_MM.items())
def test_from_memory_the_smallest_range(hole_type: str, plus_mm: float) -> None:
    for size_mm in (0.5, 3.0):
        found = hole_tolerance("ISO 273", size_mm, hole_type)
        assert found is not None
        assert found.plus_mm == plus_mm
