"""Kalpakjian, S. and Schmid, S. R., Manufacturing Engineering and Technology, Example 16.1.

Punch force for a 1 in (25 mm) hole in 1/8 in (3.2 mm) annealed Ti-6Al-4V. The printed values are
rounded: 38,500 lbf to the nearest hundred, and 0.18 MN from inputs that are themselves rounded.
"""

from __future__ import annotations

from math import pi

import pytest

from crib.trade.metal.force import punching_force_n
from crib.trade.metal.materials import find_material
from tests.validation.published import example

_MM = 25.4
_N_PER_LBF = 4.4482216152605
_MPA_PER_PSI = _N_PER_LBF / _MM**2


def _force_n(perimeter_mm: float, thickness_mm: float, tensile_mpa: float) -> float:
    """The book takes 0.7 of the tensile strength for the shear strength."""
    return punching_force_n(perimeter_mm, thickness_mm, 0.7 * tensile_mpa)


def test_example_16_1_in_inches() -> None:
    force_n = _force_n(pi * _MM, _MM / 8, 140_000 * _MPA_PER_PSI)
    printed = float(example("K-1a").text)
    assert printed == 38_500
    assert force_n / _N_PER_LBF == pytest.approx(printed, rel=0, abs=50)


def test_example_16_1_in_millimetres() -> None:
    force_n = _force_n(pi * 25.0, 3.2, 1000.0)
    assert example("K-1b").agrees_with(force_n / 1e6)


def test_the_two_versions_of_example_16_1_differ_by_their_rounded_inputs() -> None:
    inches = _force_n(pi * _MM, _MM / 8, 140_000 * _MPA_PER_PSI)
    millimetres = _force_n(pi * 25.0, 3.2, 1000.0)
    assert millimetres / inches == pytest.approx(1.028, abs=0.001)


def test_the_tensile_strength_of_the_example_is_the_one_in_our_table() -> None:
    assert find_material("Ti-6Al-4V").tensile_mpa == 1000.0
