"""A tool does for what is wanted only where the ask's own rules would have it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.ask import Ask
from crib.features.common.findings import refusals
from crib.features.common.tool_match import (
    does_for,
    is_listed,
    is_same_design,
    limits_of,
    width_range_mm,
)
from crib.features.common.tool_spec import ToolSpec, tool_of_spec
from crib.features.common.tooling import EnvelopeRow, Tool, ToolingSet
from crib.features.registry import read_phrase
from tests.desk.every_work import ASKS
from tests.features.bench import FACTS, IN, INCH_RULES, SEAT_A, station

LIMITS = limits_of(INCH_RULES)
STRONG = station(1e8)


def ordered(ask: Ask) -> dict[str, ToolSpec]:
    """What one would order for an ask in seat A, by role."""
    answers, tools = ask.answers(INCH_RULES, FACTS), dict[str, Tool]()
    for need in answers.needs():
        made = answers.ideal(SEAT_A, need.role, tools)
        assert made is not None
        tools[need.role] = made
    tooling = ToolingSet(tools, STRONG)
    return {role: answers.order_spec(one, tooling) for role, one in tools.items()}


READ = {name: read_phrase(phrase, IN) for name, phrase in ASKS.items()}
WANTED = [
    (f"{name}, {role}", ask, spec)
    for name, ask in READ.items()
    for role, spec in ordered(ask).items()
]
IDS = [name for name, _ask, _spec in WANTED]
CASES = [(ask, spec) for _name, ask, spec in WANTED]


def refused(ask: Ask, spec: ToolSpec) -> set[str]:
    """The rules that refuse a tool so made, alone in a strong station."""
    tooling = ToolingSet({spec.role: tool_of_spec(spec, SEAT_A)}, STRONG)
    return {one.rule for one in refusals(ask.answers(INCH_RULES, FACTS).judge(tooling))}


@pytest.mark.parametrize(("ask", "spec"), CASES, ids=IDS)
def test_what_is_ordered_does_for_itself(ask: Ask, spec: ToolSpec) -> None:
    assert does_for(spec, spec, LIMITS)
    assert is_listed(spec, spec)
    assert is_same_design(spec, spec, LIMITS)
    least_mm, most_mm = width_range_mm(spec, LIMITS)
    assert least_mm <= (spec.width_mm or 0.0) <= most_mm
    assert not refused(ask, spec)


def spoiled(spec: ToolSpec) -> Iterator[tuple[str, ToolSpec]]:
    """The tool with one thing about it wrong at a time."""
    less, width_mm = 0.9, spec.width_mm or 0.0
    yield "smaller", replace(spec, width_mm=less * width_mm, long_mm=less * (spec.long_mm or 0.0))
    if spec.profile not in ("vee", "corner"):
        yield "larger", replace(spec, width_mm=1.1 * width_mm, long_mm=1.1 * (spec.long_mm or 0.0))
    if spec.profile in ("", "tube"):
        yield "longer", replace(spec, long_mm=1.1 * (spec.long_mm or width_mm))
    if spec.depth_mm:
        yield "less deep", replace(spec, depth_mm=less * spec.depth_mm)
    if spec.depth_mm and spec.profile != "vee":
        yield "of no known depth", replace(spec, depth_mm=None)
    if spec.angle_deg:
        yield "wider", replace(spec, angle_deg=spec.angle_deg + 10)
    if spec.profile == "vee":
        yield "of no known angle", replace(spec, angle_deg=None)
    if spec.header_mm:
        yield "for a larger header", replace(spec, header_mm=1.1 * spec.header_mm)
        yield "for no known header", replace(spec, header_mm=None)
    if spec.most_wall_mm:
        yield (
            "for thinner walls",
            replace(spec, most_wall_mm=less * spec.most_wall_mm, least_wall_mm=0.1),
        )
        yield "for thicker walls", replace(spec, least_wall_mm=1.1 * spec.most_wall_mm)
        yield "for no known wall", replace(spec, most_wall_mm=None)
    if spec.work_length_mm:
        yield "shorter", replace(spec, work_length_mm=less * spec.work_length_mm)
    if spec.line_limit_n_mm:
        yield "weaker", replace(spec, line_limit_n_mm=less * spec.line_limit_n_mm)
    if spec.key_angles:
        yield "keyed otherwise", replace(spec, key_angles=(45,))
    yield "of another outline", replace(spec, shape="hexagon")
    yield "of another role", replace(spec, role="other")
    yield "for something else", replace(spec, profile="channel")
    yield "in another seat", replace(spec, seat_name="B")


@pytest.mark.parametrize(("ask", "spec"), CASES, ids=IDS)
def test_one_thing_out_of_tolerance_is_no_match(ask: Ask, spec: ToolSpec) -> None:
    del ask
    matched = [name for name, made in spoiled(spec) if does_for(made, spec, LIMITS)]
    assert matched == []


@given(
    case=st.sampled_from(CASES),
    factors=st.lists(
        st.sampled_from((1.0, 1.0, 1.0, 1.0, 1.005, 0.995, 1.25, 0.8, 0.0)), min_size=8, max_size=8
    ),
)
def test_only_what_the_rules_of_the_ask_allow_is_a_match(
    case: tuple[Ask, ToolSpec], factors: list[float]
) -> None:
    """Any tool near the wanted one, its figures larger, smaller or not known."""
    ask, spec = case
    names = (
        "width_mm",
        "depth_mm",
        "angle_deg",
        "header_mm",
        "least_wall_mm",
        "most_wall_mm",
        "work_length_mm",
        "line_limit_n_mm",
    )
    figures = {
        name: (getattr(spec, name) or 1.0) * factor or None
        for name, factor in zip(names, factors, strict=True)
    }
    long_mm = (figures["width_mm"] or 0.0) * (spec.long_mm or 0.0) / (spec.width_mm or 1.0)
    made = replace(spec, **figures, long_mm=long_mm or None, envelope=())  # type: ignore[arg-type]
    if does_for(made, spec, LIMITS):
        assert refused(ask, made) == set()


def test_a_set_that_reaches_further_does_as_well() -> None:
    notch, corner = (ordered(READ[name])["set"] for name in ("notch", "corner"))
    assert does_for(replace(notch, depth_mm=200.0), notch, LIMITS)
    assert not is_same_design(replace(notch, depth_mm=200.0), notch, LIMITS)
    turned = replace(corner, width_mm=corner.depth_mm, depth_mm=corner.width_mm)
    assert does_for(turned, corner, LIMITS)
    assert not does_for(replace(corner, depth_mm=corner.width_mm), corner, LIMITS)


@pytest.mark.parametrize(
    ("points", "listed"),
    [
        ((), True),
        ((EnvelopeRow("notch", 0.0, 101.6, 6.35, "A36"),), True),
        ((EnvelopeRow("notch", 0.0, 200.0, 12.0, "A36"),), True),
        ((EnvelopeRow("notch", 0.0, 101.6, 6.0, "A36"),), False),
        ((EnvelopeRow("notch", 0.0, 100.0, 9.0, "A36"),), False),
        ((EnvelopeRow("notch", 0.0, 101.6, 6.35, "S355"),), False),
        ((EnvelopeRow("notch", 45.0, 101.6, 6.35, "A36"),), False),
        ((EnvelopeRow("vee", 0.0, 10.0, 1.0, "A36"),), True),
    ],
)
def test_a_list_covers_what_must_be_proven_or_says_nothing_of_it(
    points: tuple[EnvelopeRow, ...], listed: bool
) -> None:
    notch = ordered(READ["notch"])["set"]
    assert is_listed(replace(notch, envelope=points), notch) is listed


def test_a_limited_tool_is_not_of_a_design_without_limits() -> None:
    notch = ordered(READ["notch"])["set"]
    assert not is_same_design(replace(notch, rated_force_n=1e5), notch, LIMITS)
    assert is_same_design(replace(notch, length_mm=70.0), notch, LIMITS)
    assert not is_same_design(replace(notch, face="roof"), notch, LIMITS)
    assert does_for(notch, replace(notch, rated_force_n=1e5), LIMITS)
    weak, strong = replace(notch, rated_force_n=1e5), replace(notch, rated_force_n=2e5)
    assert does_for(strong, weak, LIMITS)
    assert not does_for(weak, strong, LIMITS)
