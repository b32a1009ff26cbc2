"""Shear-stress problem sheets of five public diploma pages, and two question pages.

Sheet 4 works with pi = 3.14. Sheet 5 prints no answer: its row is an identity of our own.
"""

from __future__ import annotations

from math import pi

import pytest

from crib.trade.metal.force import punching_force_n
from crib.trade.metal.punch_strength import hole_ratio, punch_stress_mpa
from crib.trade.metal.shapes import Outline, area_mm2, perimeter_mm
from tests.trade.round_punches import least_round_hole_mm, round_punch_stress_mpa
from tests.validation.published import example

_PI_OF_SHEET_4 = 3.14


def test_sheet_1_least_hole() -> None:
    assert example("M-1").agrees_with(least_round_hole_mm(10.0, 300.0, 800.0))


def test_sheet_2_force_and_stress() -> None:
    outline = Outline("round", 20.0, 20.0)
    force_n = punching_force_n(perimeter_mm(outline), 10.0, 250.0)
    assert example("M-2a").agrees_with(force_n / 1000)
    assert example("M-2b").agrees_with(punch_stress_mpa(force_n, area_mm2(outline)))


def test_sheet_3_smallest_hole() -> None:
    assert example("M-3").agrees_with(least_round_hole_mm(12.0, 390.0, 2400.0))


def test_sheet_4_shear_strength_from_a_measured_force() -> None:
    shear_of_one_newton = 1 / punching_force_n(pi * 14.0, 2.0, 1.0)
    shear_mpa = 31_680.0 * shear_of_one_newton
    assert example("M-4a").agrees_with(shear_mpa * pi / _PI_OF_SHEET_4)


def test_sheet_4_stress_in_the_punch() -> None:
    stress_mpa = punch_stress_mpa(31_680.0, area_mm2(Outline("round", 14.0, 14.0)))
    assert example("M-4b").agrees_with(stress_mpa * pi / _PI_OF_SHEET_4)


def test_sheet_5_rectangle_without_a_printed_answer() -> None:
    outline = Outline("rectangle", 10.0, 15.0)
    assert example("M-5").text == ""
    assert punching_force_n(perimeter_mm(outline), 5.0, 300.0) == 75_000.0


def test_question_page_least_diameter() -> None:
    assert example("Q-1").agrees_with(least_round_hole_mm(10.0, 350.0, 800.0))


def test_choice_page_the_hole_equals_the_plate_when_the_punch_stands_four_times_the_shear() -> None:
    hole_mm = least_round_hole_mm(12.0, 100.0, 400.0)
    assert example("C-1").agrees_with(hole_ratio(hole_mm, 12.0))
    assert round_punch_stress_mpa(12.0, 12.0, 100.0) == pytest.approx(400.0)
