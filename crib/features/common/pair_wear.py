"""What one hit through a plate costs the edges of a punch and its die."""

from __future__ import annotations

from crib.features.common.ask import Circumstances, Plate
from crib.trade.life.wear import Hit, Severity, SeverityRules, StrokeCause, die_strokes, severity
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules

GALLING = ("stainless", "aluminium")


def severity_rules(rules: Rules) -> SeverityRules:
    """The shop's weights."""
    number = rules.number
    return SeverityRules(
        reference_thickness_mm=number("wear.reference_thickness_mm"),
        thickness_least=number("wear.thickness_least"),
        thickness_most=number("wear.thickness_most"),
        very_tight_below_pct=number("clearance.refuse_below_pct"),
        tight_below_pct=number("clearance.tight_below_pct"),
        wide_above_pct=number("clearance.wide_above_pct"),
        clearance_very_tight=number("wear.clearance_very_tight"),
        clearance_tight=number("wear.clearance_tight"),
        clearance_wide=number("wear.clearance_wide"),
        bridge=number("wear.bridge"),
        chain=number("wear.chain"),
        high_stress=number("wear.high_stress"),
        high_stress_above_mpa=number("punch.stress_ok_mpa"),
    )


def hit_severity(
    plate: Plate,
    rules: Rules,
    facts: Circumstances,
    *,
    clearance_pct: float | None = None,
    stress_mpa: float | None = None,
    hit: Hit = "full",
) -> Severity:
    """The weight of one hit on the punch, factor by factor."""
    cause = StrokeCause(
        material_factor=wear_factor(plate.material),
        thickness_mm=plate.thickness_mm,
        clearance_pct=clearance_pct,
        dry_factor=dry_factor(plate.material, rules) if facts.dry else 1.0,
        hit=hit,
        stress_mpa=stress_mpa,
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
