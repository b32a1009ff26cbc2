"""Groover, M. P., Fundamentals of Modern Manufacturing, 5th ed., Wiley (4th ed. in brackets).

Example 19.1 (20.1): blanking clearance and force. The compound-die washer problem of the same
chapter, its answer as read on a public page. Table 19.1: clearance allowances. Section 19.1.2:
relief angles of dies.
"""

from __future__ import annotations

import pytest

from crib.trade.metal.clearance import policy_clearance_mm
from crib.trade.metal.force import punching_force_n
from crib.trade.metal.shapes import Outline, perimeter_mm
from crib.trade.reference.die_relief import die_growth_mm
from tests.validation.published import example

_BLANK = Outline("round", 150.0, 150.0)


def _clearance_mm(allowance: float) -> float:
    """The total one in the 3.2 mm sheet of both; the book's allowance is of each side."""
    return policy_clearance_mm("tool_life", 3.2, 2 * 100 * allowance, "metric")


def test_example_19_1_clearance_per_side() -> None:
    assert example("G-1a").agrees_with(_clearance_mm(0.075) / 2)


def test_example_19_1_the_die_takes_the_size_of_the_blank() -> None:
    assert example("G-1b").agrees_with(_BLANK.width_mm)


def test_example_19_1_punch_diameter() -> None:
    assert example("G-1c").agrees_with(150.0 - _clearance_mm(0.075))


def test_example_19_1_length_of_cut() -> None:
    assert example("G-1d").agrees_with(perimeter_mm(_BLANK))


def test_example_19_1_blanking_force() -> None:
    assert example("G-1e").agrees_with(punching_force_n(perimeter_mm(_BLANK), 3.2, 310.0))


def test_washer_problem_blanking_punch() -> None:
    assert example("G-3a").agrees_with(65.0 - _clearance_mm(0.06))


def test_washer_problem_die_for_the_hole() -> None:
    assert example("G-3b").agrees_with(30.0 + _clearance_mm(0.06))


@pytest.mark.parametrize(("relief_deg", "growth"), [(0.25, 0.009), (1.5, 0.052)])
def test_section_19_1_2_relief_of_a_quarter_to_one_and_a_half_degrees_opens_little(
    relief_deg: float, growth: float
) -> None:
    assert die_growth_mm(1.0, 0.0, relief_deg) == pytest.approx(growth, abs=0.0005)
