"""The longest punch that does not buckle."""

from __future__ import annotations

from math import pi

import pytest

from crib.errors import BadValue
from crib.trade.reference.unguided_punches import longest_unguided_punch_mm


@pytest.mark.parametrize("ratio", [1.1, 1.25, 3.0])
def test_the_longest_punch_is_the_one_that_just_does_not_buckle(ratio: float) -> None:
    diameter, thickness, shear, elastic = 12 * ratio, 12.0, 345.0, 207_000.0
    length = longest_unguided_punch_mm(diameter, thickness, shear, elastic)
    buckles_at = pi**2 * elastic * (pi * diameter**4 / 64) / length**2
    assert buckles_at == pytest.approx(pi * diameter * thickness * shear)


def test_the_length_formula_is_not_used_for_thin_punches() -> None:
    with pytest.raises(BadValue, match=r"diameter over thickness=1\.09 must be >= 1\.1"):
        longest_unguided_punch_mm(10.9, 10.0, 345.0, 207_000.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_nothing_is_reckoned_from_a_figure_that_is_none(bad: float) -> None:
    with pytest.raises(BadValue, match=r"elastic_mpa=.* must be > 0"):
        longest_unguided_punch_mm(20.0, 10.0, 345.0, bad)
