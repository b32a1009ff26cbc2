"""The weight of a stroke, the level of an edge, and whether it lasts."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.life.wear import (
    Factor,
    Hit,
    LevelLimits,
    Manner,
    Severity,
    SeverityRules,
    StrokeCause,
    die_strokes,
    level,
    severity,
    strokes_left,
    used_fraction,
    will_it_last,
)
from crib.trade.metal.materials import find_material

_PLAIN = StrokeCause(1.0, 9.525, 15.0)
_RULES = SeverityRules()
_THICKNESSES = st.floats(min_value=0.5, max_value=60.0)
_WEIGHTS = st.floats(min_value=0.1, max_value=20.0)


def factor(cause: StrokeCause, name: str, rules: SeverityRules = _RULES) -> float | None:
    """One factor of a stroke's weight; None where nothing is known of it."""
    return {one.name: one.value for one in severity(cause, rules).factors}.get(name)


def test_a_plain_stroke_weighs_one() -> None:
    assert severity(_PLAIN).total == 1.0


def test_nothing_at_all_weighs_one() -> None:
    assert Severity().total == 1.0


def test_the_factors_stand_in_the_order_that_they_multiply() -> None:
    everything = replace(_PLAIN, stress_mpa=900.0)
    names = [one.name for one in severity(everything).factors]
    assert names == ["material", "thickness", "clearance", "dry", "hit", "stress"]


def test_a_factor_more_multiplies() -> None:
    weight = Severity((Factor("material", 1.25),)).times("die_share", 0.5)
    assert weight.factors == (Factor("material", 1.25), Factor("die_share", 0.5))
    assert weight.total == 0.625


def test_oil_counts_only_where_there_is_none() -> None:
    galling = replace(_PLAIN, dry_factor=2.0)
    assert factor(galling, "dry") == 1.0
    assert factor(replace(galling, manner=Manner(dry=True)), "dry") == 2.0


@pytest.mark.parametrize(
    ("thickness", "weight"),
    [(1.0, 0.5), (4.7625, 0.5), (6.0, 0.63), (9.525, 1.0), (12.7, 1.333), (28.575, 3), (50.0, 3)],
)
def test_the_thickness_weighs_within_its_limits(thickness: float, weight: float) -> None:
    seen = factor(replace(_PLAIN, thickness_mm=thickness), "thickness")
    assert seen == pytest.approx(weight, abs=0.0005)


def test_a_metric_crib_weighs_against_ten_millimetres() -> None:
    rules = SeverityRules(reference_thickness_mm=10.0)
    assert severity(replace(_PLAIN, thickness_mm=10.0), rules).total == 1.0


@pytest.mark.parametrize(
    ("percent", "weight"),
    [
        (None, None),
        (-3.0, 2.0),
        (4.9, 2.0),
        (5.0, 1.3),
        (7.9, 1.3),
        (8.0, 1.0),
        (25.0, 1.0),
        (25.1, 1.1),
    ],
)
def test_the_clearance_weighs_below_at_and_above_each_limit(
    percent: float | None, weight: float | None
) -> None:
    cause = replace(_PLAIN, clearance_pct=percent)
    assert factor(cause, "clearance") == weight
    assert severity(cause).total == (weight or 1.0)


@pytest.mark.parametrize(("hit", "weight"), [("full", 1.0), ("bridge", 1.3), ("chain", 1.6)])
def test_a_partial_hit_weighs_more(hit: Hit, weight: float) -> None:
    assert factor(replace(_PLAIN, manner=Manner(hit)), "hit") == weight


@pytest.mark.parametrize(
    ("stress", "weight"), [(None, None), (900.0, 1.0), (1380.0, 1.0), (1381.0, 1.5)]
)
def test_a_high_stress_weighs_more(stress: float | None, weight: float | None) -> None:
    cause = replace(_PLAIN, stress_mpa=stress)
    assert factor(cause, "stress") == weight
    assert severity(cause).total == (weight or 1.0)


def test_the_factors_multiply() -> None:
    seen = severity(StrokeCause(2.5, 19.05, 6.0, 1500.0, 2.0, Manner("chain", dry=True)))
    assert seen.total == pytest.approx(2.5 * 2 * 1.3 * 2 * 1.6 * 1.5)


def test_an_unknown_hit_is_refused() -> None:
    with pytest.raises(UnknownName, match="unknown hit 'nibble'; known: full, bridge, chain"):
        severity(replace(_PLAIN, manner=Manner("nibble")))  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["material_factor", "thickness_mm", "dry_factor"])
def test_a_factor_that_is_none_is_refused(name: str) -> None:
    with pytest.raises(BadValue, match=f"{name}=0 must be > 0"):
        severity(replace(_PLAIN, **{name: 0.0}))  # type: ignore[arg-type]


@given(_THICKNESSES, st.floats(min_value=0, max_value=30), _WEIGHTS)
def test_severity_never_falls_as_the_plate_thickens(
    thickness: float, more: float, material: float
) -> None:
    thin = severity(replace(_PLAIN, material_factor=material, thickness_mm=thickness))
    thick = severity(replace(_PLAIN, material_factor=material, thickness_mm=thickness + more))
    assert thick.total >= thin.total


def test_a_die_takes_half_of_its_punch_s_wear() -> None:
    assert die_strokes(900.0) == 450.0
    assert die_strokes(900.0, 0.25) == 225.0
    assert die_strokes(0.0) == 0.0


@pytest.mark.parametrize(("weighted", "share"), [(-1.0, 0.5), (1.0, 0.0)])
def test_wear_that_is_none_is_refused(weighted: float, share: float) -> None:
    with pytest.raises(BadValue, match=r"(weighted=-1|share=0) must be"):
        die_strokes(weighted, share)


@pytest.mark.parametrize(
    ("fraction", "expected"),
    [
        (0.0, "fine"),
        (0.69, "fine"),
        (0.7, "plan"),
        (0.89, "plan"),
        (0.9, "after_this_job"),
        (0.99, "after_this_job"),
        (1.0, "before_next_job"),
        (1.0 - 1e-12, "before_next_job"),
        (1.19, "before_next_job"),
        (1.2, "not_for_finish"),
        (5.0, "not_for_finish"),
    ],
)
def test_the_level_rises_below_at_and_above_each_limit(fraction: float, expected: str) -> None:
    assert level(fraction) == expected


def test_a_shop_sets_its_own_levels() -> None:
    assert level(0.55, LevelLimits(plan=0.5)) == "plan"


def test_a_negative_share_is_refused() -> None:
    with pytest.raises(BadValue, match=r"used_fraction=-0\.1 must be >= 0"):
        level(-0.1)


def test_a_piece_at_4100_of_5000_is_dull_at_hole_540_of_1200_in_half_inch_a572() -> None:
    material_factor = find_material("A572-50").wear_factor
    assert material_factor is not None
    each = severity(StrokeCause(material_factor, 12.7, 15.0)).total
    assert each == pytest.approx(1.6667, abs=0.00005)
    forecast = will_it_last(4100, 5000, each, 1200)
    assert (forecast.dull_at, forecast.defer_at) == (540, 990)
    assert forecast.fraction_before == 0.82
    assert forecast.fraction_after == pytest.approx(1.22)
    assert not forecast.lasts


def test_a_part_worn_punch_does_300_holes_in_10_mm_and_saves_the_new_one() -> None:
    rules = SeverityRules(reference_thickness_mm=10.0)
    each = severity(StrokeCause(1.0, 10.0, 15.0), rules).total
    assert each == 1.0
    assert strokes_left(3000, 5000, each) == 2000
    forecast = will_it_last(3000, 5000, each, 300)
    assert forecast.lasts
    assert forecast.fraction_after == pytest.approx(0.66)


@pytest.mark.parametrize(
    ("wear", "interval", "each", "fraction", "left"),
    [
        (0, 5000, 1.0, 1.0, 5000),
        (4999, 5000, 1.0, 1.0, 1),
        (4999.5, 5000, 1.0, 1.0, 0),
        (5000, 5000, 1.0, 1.0, 0),
        (6000, 5000, 1.0, 1.0, 0),
        (4100, 5000, 5 / 3, 1.0, 540),
        (4100, 5000, 5 / 3, 1.15, 990),
        (0, 100, 3.0, 1.0, 33),
    ],
)
def test_only_whole_strokes_are_left(
    wear: float, interval: float, each: float, fraction: float, left: int
) -> None:
    assert strokes_left(wear, interval, each, fraction) == left


@pytest.mark.parametrize(
    ("strokes", "dull_at", "defer_at"),
    [(0, None, None), (100, None, None), (101, 100, None), (115, 100, None), (116, 100, 115)],
)
def test_a_run_that_ends_exactly_at_the_limit_lasts(
    strokes: int, dull_at: int | None, defer_at: int | None
) -> None:
    forecast = will_it_last(0, 100, 1.0, strokes)
    assert (forecast.dull_at, forecast.defer_at) == (dull_at, defer_at)
    assert forecast.lasts is (dull_at is None)


def test_an_edge_that_is_dull_already_is_dull_at_stroke_none() -> None:
    assert will_it_last(120, 100, 1.0, 10).dull_at == 0


def test_part_of_a_stroke_is_refused() -> None:
    with pytest.raises(BadValue, match=r"strokes=1\.5 must be a whole number"):
        will_it_last(0, 100, 1.0, 1.5)  # type: ignore[arg-type]
    with pytest.raises(BadValue, match=r"strokes=-1 must be >= 0"):
        will_it_last(0, 100, 1.0, -1)
    with pytest.raises(BadValue, match=r"interval=0 must be > 0"):
        used_fraction(1, 0)


@given(
    st.floats(min_value=0, max_value=1e5),
    st.floats(min_value=10, max_value=1e5),
    _WEIGHTS,
    st.floats(min_value=0.1, max_value=3),
)
def test_one_stroke_more_than_are_left_passes_the_share(
    wear: float, interval: float, each: float, fraction: float
) -> None:
    left = strokes_left(wear, interval, each, fraction)
    limit = fraction * interval
    assert wear + (left + 1) * each > limit
    assert left == 0 or wear + left * each <= limit + 1e-5 * each


@given(st.floats(min_value=0, max_value=3), st.floats(min_value=0, max_value=3))
def test_more_wear_never_lowers_the_level(fraction: float, more: float) -> None:
    order = ["fine", "plan", "after_this_job", "before_next_job", "not_for_finish"]
    assert order.index(level(fraction + more)) >= order.index(level(fraction))
