"""The adverse plate: what it is, and a caution where only it is over a limit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.case import Circumstances
from crib.features.common.findings import Finding
from crib.features.common.plate_phrase import Reading
from crib.features.registry import read_phrase
from crib.trade.common.verdicts import exceeds
from tests.features.bench import (
    FACTS,
    INCH_RULES,
    METRIC_RULES,
    case,
    judged,
    mm,
    mounted,
    only,
    station,
    tool,
)

HOLE, PLATE = mm("13/16"), mm("3/8")
PUNCH, DIE = tool("punch", HOLE), tool("die", mm("27/32"))
ADVERSE = 0.8 * 550 / 351.1476 * (PLATE + 0.762) / PLATE
"""A36 to 550 MPa and 0.03 in thicker, over the rule of 80."""


def beside(rated: float) -> tuple[Finding, Finding]:
    """What is said of force and of the adverse force at a rating, as a share of the force."""
    asked = case(HOLE, PLATE)
    said = judged(asked, PUNCH, DIE, at=station(asked.force_n * rated))
    return only(said, "force"), only(said, "adverse force")


@pytest.mark.parametrize(
    ("rated", "nominal", "adverse"),
    [(1.36, "ok", "ok"), (1.34, "ok", "caution"), (1.01, "caution", "caution")],
)
def test_a_force_over_the_rating_in_the_adverse_plate_only_is_a_caution(
    rated: float, nominal: str, adverse: str
) -> None:
    force, strong = beside(rated)
    assert (force.verdict, strong.verdict) == (nominal, adverse)
    assert strong.value == pytest.approx((force.value or 0.0) * ADVERSE, rel=1e-5)
    assert strong.limit == force.limit
    assert ("US tons as asked" in strong.text) == (adverse == "caution")
    assert "80 ksi and 0.405 in" in strong.text
    assert ("look at the certificate" in strong.text) == (adverse == "caution")


def test_over_the_rating_as_asked_nothing_more_is_said() -> None:
    asked = case(HOLE, PLATE)
    said = judged(asked, PUNCH, DIE, at=station(asked.force_n * 0.99))
    assert [one.rule for one in said if one.rule == "adverse force"] == []


@pytest.mark.parametrize(("share", "verdict"), [(1.36, "ok"), (1.34, "caution")])
def test_stress_over_its_limit_in_the_adverse_plate_only_is_a_caution(
    share: float, verdict: str
) -> None:
    asked = case(HOLE, PLATE)
    said = judged(asked, replace(PUNCH, stress_limit_mpa=asked.stress_mpa * share), DIE)
    assert only(said, "adverse stress").verdict == verdict
    assert only(said, "punch stress").verdict == "ok"


@pytest.mark.parametrize(
    ("material", "facts", "tensile_mpa", "over_mm", "source"),
    [
        ("A36", FACTS, 550.0, 0.762, "ASTM A36"),
        ("A36", Circumstances(cert_tensile_mpa=450.0), None, 0.762, "ASTM A6"),
        ("S355", FACTS, 630.0, 1.2, "EN 10029:1991"),
        ("A572-50", FACTS, 620.0, 0.762, "shop rule"),
        ("304", FACTS, 750.0, 0.0, "thickness not widened"),
        ("6061-T6", FACTS, 360.0, 0.0, "thickness not widened"),
    ],
)
def test_strength_and_thickness_are_widened_as_far_as_a_table_or_a_rule_says(
    material: str,
    facts: Circumstances,
    tensile_mpa: float | None,
    over_mm: float,
    source: str,
) -> None:
    found = case(HOLE, PLATE, material, facts=facts).adverse
    assert found is not None
    assert found.tensile_mpa == tensile_mpa
    assert found.thickness_mm == pytest.approx(PLATE + over_mm)
    assert source in found.source


def test_by_a_certificate_without_a_table_of_thicknesses_there_is_no_adverse_plate() -> None:
    assert case(HOLE, PLATE, "304", facts=Circumstances(cert_tensile_mpa=600.0)).adverse is None


def test_by_the_stricter_convention_shear_is_the_upper_tensile() -> None:
    strict = INCH_RULES.with_changes({"force.convention": "tensile"})
    found = case(HOLE, PLATE, rules=strict).adverse
    assert found is not None
    assert found.shear_mpa == 550.0


@pytest.mark.parametrize("text", ["cut angle 2 x 2 x 1/4", "cut round 3/4", "cut tube 1 x 0.065"])
def test_a_section_a_bar_or_a_tube_is_not_as_thick_as_a_plate_may_be(text: str) -> None:
    answers = read_phrase(text, Reading(INCH_RULES)).answers(INCH_RULES, FACTS)
    found = answers.case.adverse
    assert found is not None
    assert found.over is None
    assert answers.case.worked == "stock"


@pytest.mark.parametrize(
    ("phrase", "role", "size_mm", "more"),
    [
        ("notch 50mm x 40mm thru 6mm S275", "set", 50.0, {"profile": "notch", "depth_mm": 40.0}),
        ("cut round 20mm S275", "blade", 0.0, {}),
        ("saddle 48.26mm tube 3mm wall S275", "set", 48.26, {"profile": "saddle"}),
        ("bend 250mm x 6mm at 90 S275", "brake_tool", 48.0, {"profile": "vee die"}),
    ],
)
@given(share=st.floats(0.5, 3.0))
def test_every_work_whose_rating_decides_is_judged_in_the_adverse_plate(
    phrase: str, role: str, size_mm: float, more: dict[str, Any], share: float
) -> None:
    """A caution just where the adverse force is over the rating and the nominal one is not."""
    answers = read_phrase(phrase, Reading(METRIC_RULES)).answers(METRIC_RULES, FACTS)
    one = tool(role, size_mm, **more)
    nominal_n = answers.figures(mounted(one))["force_kn"] * 1000
    said = answers.judge(mounted(one, at=station(nominal_n * share)))
    strong = [finding for finding in said if finding.rule == "adverse force"]
    assert bool(strong) == (not exceeds(1.0, share))
    for finding in strong:
        value, limit = finding.value or 0.0, finding.limit or 0.0
        assert value >= nominal_n / 1000
        assert (finding.verdict == "caution") == exceeds(value, limit)
