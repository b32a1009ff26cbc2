"""What one hit through a plate costs the edges of a punch and its die."""

from __future__ import annotations

from dataclasses import fields

from crib.features.common.case import Case, Plate
from crib.trade.life.wear import (
    Manner,
    Severity,
    SeverityRules,
    StrokeCause,
    die_strokes,
    severity,
)
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules

GALLING = ("stainless", "aluminium")


_OF_OTHERS = {
    "very_tight_below_pct": "clearance.refuse_below_pct",
    "tight_below_pct": "clearance.tight_below_pct",
    "wide_above_pct": "clearance.wide_above_pct",
    "high_stress_above_mpa": "punch.stress_ok_mpa",
}
"""Weights that begin where another rule ends; the rest are rules named ``wear.``."""


def severity_rules(rules: Rules) -> SeverityRules:
    """The shop's weights."""
    names = [field.name for field in fields(SeverityRules)]
    return SeverityRules(
        **{name: rules.number(_OF_OTHERS.get(name, f"wear.{name}")) for name in names}
    )


def hit_severity(
    case: Case, *, clearance_pct: float | None = None, stress_mpa: float | None = None
) -> Severity:
    """The weight of one full hit on the punch, factor by factor."""
    return stroke_severity(
        case.plate,
        case.rules,
        Manner(dry=case.facts.dry),
        clearance_pct=clearance_pct,
        stress_mpa=stress_mpa,
    )


def stroke_severity(
    plate: Plate,
    rules: Rules,
    manner: Manner,
    *,
    clearance_pct: float | None = None,
    stress_mpa: float | None = None,
) -> Severity:
    """The weight of one stroke as it was made, factor by factor."""
    cause = StrokeCause(
        material_factor=wear_factor(plate.material),
        thickness_mm=plate.thickness_mm,
        clearance_pct=clearance_pct,
        stress_mpa=stress_mpa,
        dry_factor=dry_factor(plate.material, rules),
        manner=manner,
    )
    return severity(cause, severity_rules(rules))


def wear_factor(material: Material) -> float:
    """How a material wears an edge; one that is not known counts as the hardest on the list.

    That errs to the safe side here, where a plan is made; a logged stroke is refused instead.
    """
    return 4.0 if material.wear_factor is None else material.wear_factor


def dry_factor(material: Material, rules: Rules) -> float:
    """What working dry costs an edge: what galls has its own factor, the rest the shop's."""
    return material.dry_factor if material.family in GALLING else rules.number("wear.dry")


def on_role(weight: float, role: str, rules: Rules) -> float:
    """The share of a hit's weight that a role takes: a die takes less than its punch."""
    return die_strokes(weight, rules.number("wear.die_share")) if role == "die" else weight
