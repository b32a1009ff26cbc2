"""Khurmi, R. S. and Gupta, J. K., A Textbook of Machine Design, simple stresses. From memory."""

from __future__ import annotations

from math import pi

from crib.trade.metal.force import punching_force_n
from tests.validation.published import example


def test_force_to_punch_a_60_mm_hole_from_memory() -> None:
    assert example("KH-1").agrees_with(punching_force_n(pi * 60.0, 5.0, 350.0) / 1000)
