"""Bhandari, V. B., Design of Machine Elements, Example 6.10 (a screw press).

Inputs from a public companion of solved examples; the answer from memory.
"""

from __future__ import annotations

from math import pi

from crib.trade.metal.force import punching_force_n
from tests.validation.published import example


def test_example_6_10_force_to_punch_from_memory() -> None:
    assert example("BH-1").agrees_with(punching_force_n(pi * 50.0, 1.5, 375.0))
