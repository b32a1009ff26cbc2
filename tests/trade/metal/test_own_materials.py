"""A material of the shop's own, from what its certificate says."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import BadValue, UnknownName
from crib.trade.metal.bend_radii import least_bend_radius
from crib.trade.metal.force import multiplier_from_tensile, rule_80_shear_mpa
from crib.trade.metal.materials import find_material, known_materials
from crib.trade.metal.own_materials import families, own_material
from crib.words import MATERIAL_FAMILIES

RANGE = (500.0, 640.0)


@given(st.sampled_from(families()), st.floats(100, 900), st.floats(1.0, 1.7))
def test_what_is_not_said_is_as_strict_as_the_strictest_of_its_family(
    family: str, least_mpa: float, spread: float
) -> None:
    made = own_material("X 400", family, (least_mpa, spread * least_mpa), "a certificate")
    like = [one for one in known_materials() if one.family == family]
    assert made.multiplier == pytest.approx(multiplier_from_tensile(spread * least_mpa), abs=6e-4)
    assert rule_80_shear_mpa(made.multiplier or 0) >= 0.8 * least_mpa - 0.5
    assert all((made.min_hole_ratio or 9) >= (one.min_hole_ratio or 0) for one in like)
    assert all((made.wear_factor or 0) >= (one.wear_factor or 0) for one in like)
    assert not made.punchable or any(one.punchable for one in like)


def test_a_steel_harder_than_tools_are_meant_for_is_not_punched() -> None:
    assert own_material("X 900", "quenched", (850.0, 1000.0), "cert").punchable
    assert not own_material("X 900", "quenched", (850.0, 1001.0), "cert").punchable


def test_its_own_least_radius_counts_in_bends_and_none_is_unknown() -> None:
    radius = least_bend_radius(own_material("X 4", "mild", RANGE, "cert", bend_radius_t=2.0), 6.0)
    assert radius is not None
    assert (radius.across_mm, radius.along_mm) == (12.0, 18.0)
    assert least_bend_radius(own_material("X 4", "mild", RANGE, "cert"), 6.0) is None


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("A36", "is A36, which the table has"),
        ("a572 gr 50", "is A572-50"),
        ("Grade 350", "is AS350"),
        ("galvanized", "is Galvanized"),
        ("stainless", "may mean several materials already"),
        ("aluminium", "may mean several"),
        ("4140", "may mean several"),
        ("350", "cannot be a material's name"),
        ("12mm", "reads as a size"),
        ("10ga", "reads as a size"),
        ("", "cannot be a material's name"),
        ("X\x1b[31m", "cannot be a material's name"),
        ("X" * 41, "cannot be a material's name"),
        ("3/16", "cannot be a material's name"),
    ],
)
def test_a_name_that_stands_for_something_else_is_refused(name: str, said: str) -> None:
    with pytest.raises(BadValue, match=said):
        own_material(name, "hsla", RANGE, "cert")


@pytest.mark.parametrize(
    ("said", "error", "message"),
    [
        ({"tensile_mpa": (40.0, 60.0)}, BadValue, "tensile_mpa=40 must be 50 to 2500"),
        ({"tensile_mpa": (500.0, 499.0)}, BadValue, "upper tensile_mpa=499 must be 500 to 900"),
        ({"tensile_mpa": (500.0, 901.0)}, BadValue, "upper tensile_mpa=901 must be 500 to 900"),
        ({"yield_mpa": 501.0}, BadValue, "yield_mpa=501 must be"),
        ({"multiplier": 1.0}, BadValue, "multiplier=1 must be 1.139 to 4"),
        ({"multiplier": 4.1}, BadValue, "multiplier=4.1 must be"),
        ({"min_hole_ratio": 1.0}, BadValue, "min_hole_ratio=1 must be 1.15 to 4"),
        ({"bend_radius_t": 11.0}, BadValue, "bend_radius_t=11 must be 0 to 10"),
        ({"source": " "}, BadValue, "no source"),
        ({"family": "steel"}, UnknownName, "unknown family 'steel'; known: mild, hsla"),
    ],
)
def test_a_figure_that_cannot_be_is_refused(
    said: dict[str, Any], error: type[Exception], message: str
) -> None:
    given: dict[str, Any] = {"family": "hsla", "tensile_mpa": RANGE, "source": "cert", **said}
    with pytest.raises(error, match=message):
        own_material("X 400", **given)


def test_the_families_are_those_that_cribs_keep() -> None:
    assert set(families()) == set(MATERIAL_FAMILIES)


def test_it_comes_before_the_table_and_by_any_of_its_names() -> None:
    own = (own_material("X 400", "hsla", RANGE, "cert", aliases=["Nine lives"]),)
    assert find_material("x400", own) is own[0]
    assert find_material("NINE LIVES", own) is own[0]
    assert find_material("A36", own).name == "A36"
    with pytest.raises(UnknownName, match="unknown material 'X 401'"):
        find_material("X 401", own)
