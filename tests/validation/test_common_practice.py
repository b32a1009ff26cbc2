"""Facts of the trade, *common practice, no source*: held from memory, used as ranges.

A press-brake shop and a bridge shop will draw some of them differently; where our figure is not
inside the range, the test says so and why.
"""

from __future__ import annotations

from math import pi

import pytest

from crib.trade.metal.clearance import chart_step
from crib.trade.metal.force import (
    RULE_80_SHEAR_MPA,
    load,
    load_verdict,
    punching_force_n,
    rule_80_shear_mpa,
    station_limit_n,
)
from crib.trade.metal.materials import find_material
from crib.trade.metal.shapes import Outline, Shape, perimeter_mm
from crib.trade.shop.shop_rules import Rules
from tests.validation.published import rows

_MM = 25.4
_N_PER_LBF = 4.4482216152605
_N_PER_US_TON = 2000 * _N_PER_LBF
_MPA_PER_PSI = _N_PER_LBF / _MM**2
_RANGES = rows("common_practice")
_HEAVIER = ("multiplier", "5052-H32")


def _us_tons(shape: Shape, width_in: float, length_in: float, thickness_in: float) -> float:
    cut_mm = perimeter_mm(Outline(shape, width_in * _MM, length_in * _MM))
    return punching_force_n(cut_mm, thickness_in * _MM, rule_80_shear_mpa(1.0)) / _N_PER_US_TON


def test_the_rule_of_80_implies_50930_psi() -> None:
    assert RULE_80_SHEAR_MPA / _MPA_PER_PSI == pytest.approx(50_929.6, abs=0.05)
    assert RULE_80_SHEAR_MPA / _MPA_PER_PSI == pytest.approx(80 * 2000 / pi, rel=1e-12)


@pytest.mark.parametrize(
    ("diameter", "thickness", "us_tons"),
    [(1.0, 1.0, 80.0), (13 / 16, 3 / 8, 24.375), (5 / 16, 3 / 8, 9.375)],
)
def test_a_round_hole_takes_80_times_diameter_times_thickness(
    diameter: float, thickness: float, us_tons: float
) -> None:
    assert _us_tons("round", diameter, diameter, thickness) == pytest.approx(us_tons, rel=1e-12)


def test_an_inch_of_cut_takes_about_25_us_tons_per_inch_of_thickness() -> None:
    per_inch = RULE_80_SHEAR_MPA * _MM * _MM / _N_PER_US_TON
    assert per_inch == pytest.approx(25.46, abs=0.005)
    assert per_inch == pytest.approx(25, rel=0.02)


@pytest.mark.parametrize(("side", "thickness"), [(0.5, 0.25), (1.0, 0.375)])
def test_a_square_takes_1_27_of_the_rule(side: float, thickness: float) -> None:
    chart = 1.27 * side * thickness * 80
    assert _us_tons("square", side, side, thickness) == pytest.approx(chart, rel=0.005)


@pytest.mark.parametrize(("width", "length", "thickness"), [(0.5, 1.0, 0.25), (1.0, 2.5, 0.375)])
def test_a_rectangle_takes_0_637_of_its_two_sides(
    width: float, length: float, thickness: float
) -> None:
    chart = 0.637 * (length + width) * thickness * 80
    assert _us_tons("rectangle", width, length, thickness) == pytest.approx(chart, rel=0.001)


@pytest.mark.parametrize(("width", "length", "thickness"), [(0.8125, 1.875, 0.375), (0.5, 1, 0.25)])
def test_an_obround_takes_0_637_of_its_straights_and_its_width(
    width: float, length: float, thickness: float
) -> None:
    chart = (0.637 * (length - width) + width) * thickness * 80
    assert _us_tons("obround", width, length, thickness) == pytest.approx(chart, rel=0.001)


def test_a_metric_round_hole_takes_1_10_kn_for_each_mm_of_both() -> None:
    force_n = punching_force_n(pi * 20.0, 10.0, RULE_80_SHEAR_MPA)
    assert force_n / 1000 / (20 * 10) == pytest.approx(1.103, abs=0.0005)


@pytest.mark.parametrize(
    ("diameter", "thickness", "us_tons"), [(1.25, 0.5, 50.0), (2.25, 0.25, 45.0)]
)
def test_a_50_us_ton_station_makes_the_holes_it_is_said_to_make(
    diameter: float, thickness: float, us_tons: float
) -> None:
    force = _us_tons("round", diameter, diameter, thickness)
    assert force == pytest.approx(us_tons, rel=1e-12)
    share = load(force * _N_PER_US_TON, station_limit_n(50 * _N_PER_US_TON, 0.0))
    assert load_verdict(share) == "caution"


def test_a_rating_may_be_10_to_15_percent_high_so_a_derate_is_the_shops_to_set() -> None:
    rated_n = 50 * _N_PER_US_TON
    assert station_limit_n(rated_n, 0.0) == rated_n
    force_n = _us_tons("round", 1.25, 1.25, 0.5) * _N_PER_US_TON
    for derate in (0.10, 0.15):
        assert load_verdict(load(force_n, station_limit_n(rated_n, derate))) == "refuse"


_CHARTS = [row for row in _RANGES if row["what"] == "chart multiplier"]


@pytest.mark.parametrize("row", _CHARTS, ids=lambda row: row["material"])
def test_our_multiplier_is_what_the_public_charts_give(row: dict[str, str]) -> None:
    multiplier = find_material(row["material"]).multiplier
    assert multiplier is not None
    assert float(row["low"]) <= multiplier <= float(row["high"])


@pytest.mark.parametrize(
    "row",
    [row for row in _RANGES if row not in _CHARTS and (row["what"], row["material"]) != _HEAVIER],
    ids=lambda row: f"{row['what']}-{row['material']}",
)
def test_our_figure_lies_in_the_range_of_the_shops(row: dict[str, str]) -> None:
    figure = getattr(find_material(row["material"]), row["what"])
    assert float(row["low"]) <= figure <= float(row["high"])


def test_5052_is_reckoned_heavier_than_most_shops_do() -> None:
    row = next(row for row in _RANGES if (row["what"], row["material"]) == _HEAVIER)
    assert find_material("5052-H32").multiplier == 0.50
    assert float(row["high"]) == 0.45


def test_the_punch_stress_limits_stay_at_the_lower_end_of_what_such_steel_stands() -> None:
    allowable_from_memory_mpa = (1400.0, 2000.0)
    low, high = allowable_from_memory_mpa
    rules = Rules.defaults()
    assert rules.number("punch.stress_ok_mpa") <= low
    assert low <= rules.number("punch.stress_refuse_mpa") <= high


@pytest.mark.parametrize(
    ("thickness_in", "clearance_in"), [(1 / 4, 1 / 32), (3 / 8, 1 / 32), (5 / 8, 1 / 16)]
)
def test_plate_to_half_an_inch_gets_a_thirty_second_and_above_a_sixteenth(
    thickness_in: float, clearance_in: float
) -> None:
    step = chart_step(thickness_in * _MM, "inch")
    assert step.middle_mm == pytest.approx(clearance_in * _MM)


def test_planning_stops_at_80_percent_of_the_rating() -> None:
    assert Rules.defaults().number("force.caution_load") == 0.80


def test_stripping_is_planned_at_the_upper_end_of_10_to_20_percent() -> None:
    assert Rules.defaults().number("strip.fraction") == 0.20
