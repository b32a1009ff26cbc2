"""Ghosh, A. and Mallik, A. K., Manufacturing Science, Sample Problem 3.12, p. 149.

The page gives formula and inputs (t = 3 mm, true fracture strain 1.75) but not the book's answer
for the clearance: the figure checked here is the formula worked out apart from the program.
"""

from __future__ import annotations

from crib.trade.metal.clearance import fracture_clearance_mm
from tests.validation.published import Printed, example


def test_sample_problem_3_12_clearance_per_side_has_no_printed_answer() -> None:
    assert example("GM-1a").text == ""
    assert Printed("0.32924").agrees_with(fracture_clearance_mm(3.0, 1.75))
