"""What a hit costs an edge, dry or oiled."""

from __future__ import annotations

import pytest

from crib.features.common.case import Case, Circumstances, Plate
from crib.features.common.pair_wear import hit_severity, severity_rules, wear_factor
from crib.trade.life.wear import Factor, SeverityRules
from crib.trade.metal.materials import find_material
from crib.trade.shop.shop_rules import Rules


@pytest.mark.parametrize(
    ("material", "changes", "factor"),
    [
        ("A36", {}, 1.5),
        ("A36", {"wear.dry": "1.2"}, 1.2),
        ("304", {}, 2.0),
        ("304", {"wear.dry": "1.2"}, 2.0),
        ("6061-T6", {}, 2.0),
    ],
)
def test_dry_work_costs_the_shops_factor_but_what_galls_its_own(
    material: str, changes: dict[str, str], factor: float
) -> None:
    # Stainless and aluminium dry 2.0, others 1.5: shop rule after one public chart.
    plate = Plate(9.525, find_material(material))
    rules = Rules.defaults().with_changes(changes)
    dry = hit_severity(Case(plate, rules, Circumstances(dry=True)))
    assert Factor("dry", factor) in dry.factors
    oiled = hit_severity(Case(plate, rules, Circumstances()))
    assert Factor("dry", 1.0) in oiled.factors


def test_a_material_of_unknown_wear_is_planned_as_the_hardest() -> None:
    assert wear_factor(find_material("AR400")) >= wear_factor(find_material("A514")) == 4.0


def test_every_weight_is_a_shop_rule_and_agrees_with_the_trades_own() -> None:
    assert severity_rules(Rules.defaults()) == SeverityRules()
    changed = Rules.defaults().with_changes({"wear.chain": "1.9", "clearance.tight_below_pct": "9"})
    assert severity_rules(changed) == SeverityRules(chain=1.9, tight_below_pct=9.0)
