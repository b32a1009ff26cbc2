"""The shear strength a plate is reckoned with, and where it comes from."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crib.errors import Missing
from crib.features.common.strength import shear_strength
from crib.trade.shop.shop_rules import Rules
from crib.units import MPA_PER_KSI
from tests.features.bench import INCH_RULES

TENSILE = INCH_RULES.with_changes({"force.convention": "tensile"})


@pytest.mark.parametrize(
    ("material", "shear_ksi"), [("A36", 50.93), ("A572-50", 61.12), ("304", 76.39), ("A514", 96.77)]
)
def test_the_rule_of_80_takes_the_multiplier(material: str, shear_ksi: float) -> None:
    found = shear_strength(INCH_RULES.material(material), INCH_RULES)
    assert found.shear_mpa / MPA_PER_KSI == pytest.approx(shear_ksi, abs=0.01)
    assert found.basis.startswith("80 rule x ")
    assert found.source


def test_a_shops_own_multiplier_is_its_own_rule() -> None:
    rules = INCH_RULES.with_changes({"material.A36.multiplier": "1.25"})
    found = shear_strength(rules.material("A36"), rules)
    assert found.shear_mpa / MPA_PER_KSI == pytest.approx(63.66, abs=0.01)
    assert "set by this shop" in found.source


def test_the_stricter_convention_takes_shear_equal_to_tensile() -> None:
    found = shear_strength(TENSILE.material("A36"), TENSILE)
    assert found.shear_mpa == 400.0
    assert found.basis == "tensile convention (shear = tensile)"


def test_the_stricter_convention_is_never_the_milder_one() -> None:
    brass = TENSILE.material("A36")
    weak = replace(brass, tensile_mpa=300.0)
    assert shear_strength(weak, TENSILE).basis == "80 rule x 1 for A36"


@pytest.mark.parametrize("rules", [INCH_RULES, TENSILE])
def test_a_mill_certificate_beats_both_conventions(rules: Rules) -> None:
    found = shear_strength(INCH_RULES.material("A36"), rules, cert_tensile_mpa=500.0)
    assert found.shear_mpa == pytest.approx(0.8 * 500.0)
    assert found.basis.startswith("mill certificate, multiplier 1.1")


def test_a_material_without_a_multiplier_goes_by_its_tensile_strength() -> None:
    steel = replace(INCH_RULES.material("A36"), multiplier=None)
    found = shear_strength(steel, INCH_RULES)
    assert found.shear_mpa == pytest.approx(0.8 * 400.0)
    assert found.basis == "0.8 of tensile for A36"


def test_a_material_with_neither_is_never_guessed() -> None:
    steel = replace(INCH_RULES.material("A36"), multiplier=None, tensile_mpa=None)
    with pytest.raises(Missing, match="neither a multiplier nor a strength") as caught:
        shear_strength(steel, INCH_RULES)
    assert "material.A36.multiplier" in str(caught.value.way_out)
