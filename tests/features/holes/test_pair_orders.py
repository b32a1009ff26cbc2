"""The tool one would order: of the hole's size, to the policy's clearance, to the punch at hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.order_text import order_text
from crib.features.common.speech import Speech
from crib.features.common.tooling import Seat, Tool
from crib.features.holes.pair_orders import ideal_tool
from tests.features.bench import (
    FACTS,
    INCH_RULES,
    METRIC_RULES,
    SEAT_A,
    case,
    hole,
    judged,
    mm,
    mounted,
    only,
    shaped,
    tool,
)

LIFE = INCH_RULES.with_changes({"clearance.policy": "tool_life"})


def ideal(asked: object, role: str, **beside: Tool) -> Tool:
    """The tool to order for seat A."""
    made = ideal_tool(asked, SEAT_A, role, beside)  # type: ignore[arg-type]
    assert made is not None
    assert (made.role, made.to_order, made.tag, made.seat) == (role, True, "", SEAT_A)
    return made


def test_the_punch_is_of_the_holes_size_and_the_seats_length() -> None:
    punch = ideal(case(mm("13/16"), mm("3/8")), "punch")
    assert (punch.width_mm, punch.length_mm, punch.key_angles) == (mm("13/16"), 70.0, ())


@pytest.mark.parametrize(
    ("rules", "opening_mm"),
    [(INCH_RULES, mm("27/32")), (LIFE, mm("13/16") + mm("1/16"))],
)
def test_the_die_has_the_policys_clearance_in_steps_that_dies_are_made_in(
    rules: object, opening_mm: float
) -> None:
    die = ideal(case(mm("13/16"), mm("3/8"), rules=rules), "die")  # type: ignore[arg-type]
    assert die.width_mm == pytest.approx(opening_mm, abs=1e-9)
    assert die.length_mm == 29.0


def test_a_metric_die_is_made_in_tenths() -> None:
    assert case(22.0, 12.0, "S355", rules=METRIC_RULES).ordered_clearance_mm == pytest.approx(2.2)


def test_a_die_is_made_to_the_measured_punch_that_is_there() -> None:
    punch = tool("punch", 20.60, measured=True)
    die = ideal(case(mm("13/16"), mm("3/8")), "die", punch=punch)
    assert die.width_mm == pytest.approx(20.60 + mm("1/32"))


def test_a_shaped_die_has_clearance_on_both_sides_and_the_punchs_key() -> None:
    asked = case(20.0, 10.0, "S275", shape="rectangle", long_mm=40.0, rules=METRIC_RULES)
    die = ideal(asked, "die", punch=shaped("punch", 20.0, 40.0, key_angles=(45,)))
    assert (die.width_mm, die.long_mm, die.key_angles) == (21.5, 41.5, (45,))
    assert ideal(asked, "punch").key_angles == (0, 90)


@pytest.mark.parametrize("role", ["punch", "die"])
def test_a_seat_without_numbers_for_a_role_gets_no_order(role: str) -> None:
    assert ideal_tool(case(20.0, 10.0), Seat("X"), role, {}) is None


def test_the_line_says_opening_clearance_and_the_punch_it_is_for() -> None:
    asked = case(mm("13/16"), mm("3/8"))
    punch, die = ideal(asked, "punch"), ideal(asked, "die")
    ask = hole(mm("13/16"), mm("3/8"))
    spec = ask.answers(INCH_RULES, FACTS).order_spec(die, mounted(punch, die))
    assert (spec.punch_width_mm, spec.seat_numbers) == (mm("13/16"), SEAT_A.numbers("die"))
    text = order_text(spec, Speech(INCH_RULES))
    assert text.startswith(
        "1 die, round 27/32 in opening (total clearance 1/32 in over a 13/16 in punch), seat A:"
    )
    assert text.endswith("unkeyed, to punch 3/8 in A36, for Ironworker 1 / punch")


def test_the_line_for_a_punch_needs_no_die_beside_it() -> None:
    punch = ideal(case(mm("13/16"), mm("3/8")), "punch")
    answers = hole(mm("13/16"), mm("3/8")).answers(INCH_RULES, FACTS)
    spec = answers.order_spec(punch, mounted(punch))
    text = order_text(replace(spec, quantity=2), Speech(INCH_RULES))
    assert text.startswith("2 punches, round 13/16 in, seat A: head")


@given(
    width_mm=st.floats(12, 31),
    thickness_mm=st.floats(0.6, 11),
    policy=st.sampled_from(["clean_hole", "tool_life"]),
    unit=st.sampled_from(["in", "mm"]),
    shape=st.sampled_from(["round", "rectangle"]),
)
def test_what_is_ordered_would_pass_the_clearance_rule_and_never_be_a_tight_pair(
    width_mm: float, thickness_mm: float, policy: str, unit: str, shape: str
) -> None:
    rules = INCH_RULES.with_changes({"clearance.policy": policy, "crib.unit": unit})
    asked = case(
        width_mm,
        thickness_mm,
        shape=shape,  # type: ignore[arg-type]
        long_mm=width_mm if shape == "round" else 1.5 * width_mm,
        rules=rules,
    )
    punch, die = ideal(asked, "punch"), ideal(asked, "die")
    findings = judged(asked, punch, die)
    assert only(findings, "size").verdict == "ok"
    found = only(findings, "clearance")
    assert found.verdict != "refuse"
    assert found.value is not None
    assert found.value > 0


def test_a_worn_punch_that_is_there_still_gets_a_bigger_die() -> None:
    asked = case(20.0, 10.0, "S275", rules=METRIC_RULES)
    worn = replace(tool("punch", 20.0), width_mm=20.04, long_mm=20.04, measured=True)
    assert only(judged(asked, worn, ideal(asked, "die", punch=worn)), "clearance").verdict == "ok"


@pytest.mark.parametrize("policy", ["tool_life", "clean_hole"])
def test_a_die_for_a_metric_hole_is_on_the_metric_step_in_an_inch_crib(policy: str) -> None:
    rules = INCH_RULES.with_changes({"clearance.policy": policy})
    asked = case(25.0, 20.0, "S355", rules=rules)
    tenths = asked.ordered_clearance_mm / 0.1
    assert tenths == pytest.approx(round(tenths))
    least_mm = asked.policy_clearance_mm if policy == "tool_life" else asked.step.middle_mm
    assert asked.ordered_clearance_mm == pytest.approx(least_mm, abs=0.05 + 1e-9)


def test_a_die_for_an_inch_hole_is_on_the_inch_step_in_a_metric_crib() -> None:
    rules = METRIC_RULES
    sixty_fourths = case(mm("13/16"), 10.0, "S355", rules=rules).ordered_clearance_mm / mm("1/64")
    assert sixty_fourths == pytest.approx(round(sixty_fourths))
