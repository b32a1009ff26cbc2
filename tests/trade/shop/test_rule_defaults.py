"""A regression pin: the defaults that ship. A change here is a change for every shop."""

from __future__ import annotations

from inspect import signature

from crib.trade.life.grinding import came_back_early, least_length_mm
from crib.trade.life.wear import die_strokes, will_it_last
from crib.trade.metal.die_geometry import least_die_wall_mm
from crib.trade.metal.force import load_verdict, stripping_force_n
from crib.trade.metal.materials import CHANGEABLE
from crib.trade.money.money import carrying_cost_cents
from crib.trade.shop.shop_rules import Rules

_DEFAULTS = {
    "crib.name": "Tool crib",
    "crib.unit": "in",
    "crib.currency": "USD",
    "crib.force_unit": "US tons",
    "material.default": "A36",
    "force.convention": "rule_80",
    "force.caution_load": "0.8",
    "force.over_list": "1.5",
    "cert.beyond_pct": "10",
    "strip.fraction": "0.2",
    "punch.stress_ok_mpa": "1380",
    "punch.stress_refuse_mpa": "1655",
    "clearance.policy": "clean_hole",
    "clearance.refuse_below_pct": "5",
    "clearance.tight_below_pct": "8",
    "clearance.wide_above_pct": "25",
    "clearance.refuse_above_pct": "40",
    "size.tolerance_mm": "0.05",
    "die.wall_thin_mm": "5",
    "die.wall_thick_mm": "6",
    "die.wall_step_mm": "6.35",
    "hit.chain_ok": "0.75",
    "hit.chain_refuse": "0.6",
    "hit.bridge_ok": "0.5",
    "hit.bridge_refuse": "0.35",
    "hit.overlap_mm": "1.5",
    "hit.web_share": "0.5",
    "hit.cusp_mm": "0.5",
    "edge.refuse_t": "1",
    "edge.prefer_t": "1.5",
    "saddle.nest_tolerance_mm": "0.8",
    "wear.interval_strokes": "5000",
    "wear.reference_thickness_mm": "9.525",
    "wear.thickness_least": "0.5",
    "wear.thickness_most": "3",
    "wear.clearance_tight": "1.3",
    "wear.clearance_very_tight": "2",
    "wear.clearance_wide": "1.1",
    "wear.dry": "1.5",
    "wear.bridge": "1.3",
    "wear.chain": "1.6",
    "wear.high_stress": "1.5",
    "wear.die_share": "0.5",
    "wear.plan": "0.7",
    "wear.after_job": "0.9",
    "wear.before_job": "1",
    "wear.defer_to": "1.15",
    "wear.no_finish": "1.2",
    "due.most_lines": "5",
    "log.repeat_minutes": "10",
    "log.oldest_days": "366",
    "log.usual_times": "10",
    "log.plan_times": "2",
    "log.most_strokes": "20000",
    "grind.typical_mm": "0.25",
    "grind.most_total_mm": "3",
    "grind.most_once_mm": "1",
    "grind.entry_new_mm": "4.5",
    "grind.deepest_entry_mm": "6.5",
    "grind.least_entry_mm": "1.5",
    "grind.land_mm": "5",
    "bolt.standard_inch": "AISC 360",
    "bolt.standard_metric": "EN 1090-2",
    "code.default": "",
    "buy.spare_uses_per_week": "1",
    "buy.punches_per_die": "2",
    "buy.horizon_months": "12",
    "buy.rate_per_hour_cents": "6000",
    "buy.drill_minutes": "1.5",
    "buy.punch_minutes": "0.25",
    "buy.carrying_pct": "20",
    "buy.lead_days_default": "10",
    "buy.break_downtime_cents": "15000",
    "buy.strokes_per_break": "25000",
    "buy.most_years": "5",
    "buy.service_level": "0.95",
    "buy.order_cents": "2500",
    "make.tool_setup_minutes": "10",
    "make.tool_minutes": "0.5",
    "make.ream_minutes": "1",
    "hole.most_tolerance_mm": "3.2",
    "ream.least_mm": "0.4",
    "ream.most_mm": "6.5",
    "make.drill_setup_minutes": "10",
    "make.drill_consumable_cents": "15",
    "make.mill_setup_minutes": "15",
    "make.mill_minutes": "8",
    "make.mill_consumable_cents": "60",
    "make.saw_setup_minutes": "5",
    "make.saw_minutes": "3",
    "make.saw_consumable_cents": "25",
    "make.hole_saw_setup_minutes": "15",
    "make.hole_saw_minutes": "6",
    "make.hole_saw_consumable_cents": "80",
    "make.thermal_setup_minutes": "15",
    "make.thermal_minutes": "2",
    "make.thermal_consumable_cents": "30",
    "make.farm_out_cents": "500",
    "make.farm_out_freight_cents": "6000",
    "make.farm_out_handling_minutes": "30",
    "make.farm_out_days": "5",
    "life.shape": "2.5",
    "life.prior_weight": "4",
    "life.dull_at_share": "0.1",
    "life.least_events_for_shape": "20",
    "plan.part_minutes": "0.5",
    "life.follow": "yes",
    "life.most_stretch": "2",
    "read.slot_centre": "first_end",
    "read.y_from": "lower_edge",
    "read.leg_from": "unknown",
    "read.ignore_layers": "*dim*, *text*, *center*, *centre*, cl, *anno*, *note*, *title*,"
    " *border*, *hatch*, *construction*, defpoints",
    "read.thickest_mm": "50",
    "read.thinnest_mm": "0.8",
    "read.widest_mm": "150",
    "read.narrowest_mm": "1.5",
    "shift.work_days": "Mon-Fri",
    "shift.closed_days": "",
    "shift.look_back_weeks": "12",
    "kit.back_days": "1",
    "kit.spare_above": "0.5",
    "wear.returns_within": "0.2",
}


def test_the_defaults_are_the_ones_that_shipped() -> None:
    assert {row.key: row.value for row in Rules.defaults().rows()} == _DEFAULTS


def test_a_formula_called_without_a_setting_uses_the_same_default() -> None:
    for function, parameter, key in (
        (least_die_wall_mm, "thin_wall_mm", "die.wall_thin_mm"),
        (least_die_wall_mm, "thick_wall_mm", "die.wall_thick_mm"),
        (least_die_wall_mm, "step_mm", "die.wall_step_mm"),
        (stripping_force_n, "fraction", "strip.fraction"),
        (load_verdict, "caution_above", "force.caution_load"),
        (die_strokes, "share", "wear.die_share"),
        (will_it_last, "defer_fraction", "wear.defer_to"),
        (came_back_early, "within", "wear.returns_within"),
        (least_length_mm, "most_total_mm", "grind.most_total_mm"),
        (carrying_cost_cents, "carrying_pct", "buy.carrying_pct"),
    ):
        default = signature(function).parameters[parameter].default
        assert default == Rules.defaults().number(key), key


def test_a_shop_may_set_a_material_this_far() -> None:
    assert CHANGEABLE == {
        "multiplier": (0.1, 4.0),
        "min_hole_ratio": (0.3, 4.0),
        "tool_life_clearance_pct": (5.0, 40.0),
        "wear_factor": (0.1, 20.0),
    }
