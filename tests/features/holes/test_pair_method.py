"""The contract's code decides whether a hole may be punched to its full size."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.features.common.ask import Answers, Ask
from crib.features.common.case import Case, Circumstances
from crib.features.common.findings import Finding, refusals
from crib.features.common.tooling import ToolingSet
from crib.features.holes.pair_case import PairCase
from crib.features.registry import read_phrase
from crib.trade.metal.hole_method import known_codes
from tests.features.bench import (
    IN,
    INCH_RULES,
    METRIC_RULES,
    SEAT_A,
    case,
    judged,
    only,
    station,
    tool,
)


def method(code: str, thickness_mm: float, **facts: Any) -> Finding:
    asked = case(
        22.0,
        thickness_mm,
        "S275",
        rules=METRIC_RULES,
        facts=Circumstances(code=code, **facts),
        bolt_mm=20.0,
    )
    return only(judged(asked), "method")


@pytest.mark.parametrize(
    ("code", "thickness_mm", "facts", "verdict", "limit_mm"),
    [
        ("UFGS", 20.0, {}, "ok", 20.0),
        ("UFGS", 20.1, {}, "refuse", 20.0),
        ("CSA S16", 24.0, {}, "ok", 24.0),
        ("CSA S16", 24.1, {}, "refuse", 24.0),
        ("EN 1090-2", 22.0, {"execution_class": 2}, "ok", 22.0),
        ("EN 1090-2", 22.1, {"execution_class": 2}, "refuse", 22.0),
        ("en1090-2", 3.0, {"execution_class": 3}, "ok", 3.0),
        ("EN 1090-2", 3.1, {"execution_class": 3}, "refuse", 3.0),
        ("EN 1090-2", 10.0, {}, "refuse", None),
        ("AISC 360", 30.0, {}, "ok", None),
        ("AISC 360", 30.0, {"dynamic": True}, "refuse", None),
        ("AS 4100", 16.0, {"cert_yield_mpa": 350.0}, "ok", 16.0),
        ("AS 4100", 16.1, {"cert_yield_mpa": 350.0}, "refuse", 16.0),
    ],
)
def test_the_code_decides_whether_the_hole_may_be_punched_full_size(
    code: str, thickness_mm: float, facts: dict[str, Any], verdict: str, limit_mm: float | None
) -> None:
    found = method(code, thickness_mm, **facts)
    assert (found.verdict, found.unit, found.value) == (verdict, "mm", thickness_mm)
    assert found.limit == (None if limit_mm is None else pytest.approx(limit_mm))
    assert ("instead: " in found.text) == (verdict == "refuse")


def test_without_a_code_nothing_is_said_of_the_method_and_the_shop_may_set_one() -> None:
    assert [one for one in judged(case(22.0, 10.0)) if one.rule == "method"] == []
    rules = METRIC_RULES.with_changes({"code.default": "EN 1090-2"})
    assert only(judged(case(22.0, 23.0, rules=rules)), "method").verdict == "refuse"


def reamed(size_mm: float, thickness_mm: float, material: str = "S275", **facts: Any) -> PairCase:
    around = Circumstances(code=facts.pop("code", "EN 1090-2"), **facts)
    return case(
        size_mm,
        thickness_mm,
        material,
        rules=METRIC_RULES,
        facts=around,
        bolt_mm=20.0,
        to_ream=True,
    )


@pytest.mark.parametrize(
    ("punch_mm", "die_mm", "refused"),
    [
        (20.0, 21.5, set()),
        (20.1, 21.5, {"size"}),
        (22.0, 23.0, {"size", "ream"}),
        (20.0, 21.7, {"ream"}),
        (15.4, 16.8, {"size"}),
    ],
)
def test_a_hole_to_be_reamed_is_punched_as_far_under_as_its_code_says(
    punch_mm: float, die_mm: float, refused: set[str]
) -> None:
    """EN 1090-2 6.6.3, from memory: EXC3 over 3 mm, 2 mm under the finished 22 mm and reamed."""
    asked = reamed(22.0, 10.0, execution_class=3)
    found = judged(asked, tool("punch", punch_mm), tool("die", die_mm), at=station(9e5))
    assert {one.rule for one in refusals(found)} == refused
    assert only(found, "method").verdict == "ok"
    assert "at least 2 mm under the finished hole" in only(found, "method").text
    if not refused:
        assert "reamed to 22 mm" in only(found, "size").text


@pytest.mark.parametrize(
    ("code", "material", "facts"),
    [("CSA S16", "A514", {}), ("AASHTO", "304", {}), ("AASHTO", "A36", {"thickness_mm": 19.1})],
)
def test_where_the_code_names_no_reaming_it_stays_refused(
    code: str, material: str, facts: dict[str, Any]
) -> None:
    asked = reamed(30.0, facts.pop("thickness_mm", 10.0), material, code=code, **facts)
    assert only(judged(asked), "method").verdict == "refuse"


def test_where_a_code_says_nothing_of_dynamic_work_reaming_is_the_engineers_word_too() -> None:
    found = only(judged(reamed(22.0, 10.0, code="AISC 360", dynamic=True)), "method")
    assert found.verdict == "caution"
    assert "ask the engineer" in found.text


def test_dynamic_work_without_a_code_is_not_punched_full_size() -> None:
    facts = Circumstances(dynamic=True)
    found = only(judged(case(22.0, 10.0, rules=METRIC_RULES, facts=facts)), "method")
    assert found.verdict == "refuse"
    assert "no code is named" in found.text


def test_force_and_figures_are_of_the_punch_that_strikes() -> None:
    asked = reamed(22.0, 10.0, execution_class=3)
    struck = asked.struck_by(tool("punch", 18.0))
    assert struck.force_n == pytest.approx(case(18.0, 10.0, "S275", rules=METRIC_RULES).force_n)
    assert struck.outline.width_mm == 22.0


def test_a_die_over_what_the_bridge_text_has_is_cautioned() -> None:
    asked = reamed(22.0, 12.0, code="AASHTO")
    pair = tool("punch", 14.0), tool("die", 15.8)
    assert only(judged(asked, *pair), "code die").verdict == "caution"
    pair = tool("punch", 14.0), tool("die", 15.5)
    assert only(judged(asked, *pair), "code die").verdict == "ok"


CODES = st.sampled_from([*known_codes(), ""])
ASKS = st.sampled_from(
    [
        *(f"hole {size}" for size in ("9/16", "11/16", "13/16", "15/16", "1-1/16")),
        *(f"bolt {size} per AISC 360-22" for size in ("5/8", "3/4", "7/8", "1")),
        *(f"bolt {size} oversize per AISC 360-22" for size in ("5/8", "7/8")),
        *(f"bolt {size} per EN 1090-2" for size in ("M16", "M20", "M24", "M30")),
        "slot 13/16 x 2",
        "square 3/4",
    ]
)


@settings(max_examples=600)
@given(
    CODES,
    st.sampled_from([None, 1, 2, 3, 4]),
    st.booleans(),
    st.sampled_from(["A36", "A572-50", "S275", "S355", "A514", "304", "6061-T6"]),
    st.sampled_from(["1/8", "3/16", "3/8", "1/2", "5/8", "3/4", "7/8", "1", "3mm", "12mm"]),
    ASKS,
)
def test_a_way_that_is_offered_is_one_that_the_same_rules_allow(
    code: str, execution_class: int | None, dynamic: bool, material: str, thick: str, ask: str
) -> None:
    """Over all codes, classes, dynamic or not, grades, thicknesses and sizes."""
    facts = Circumstances(code=code, execution_class=execution_class, dynamic=dynamic)
    asked = read_phrase(f"{ask} thru {thick} {material}", IN)
    answers = asked.answers(INCH_RULES, facts)
    for way in answers.workarounds(frozenset()):
        if way.ask is None:
            continue
        offered = read_phrase(way.ask, IN).answers(INCH_RULES, facts)
        made = best_pair(offered)
        assert refusals(offered.judge(made)) == [], way.ask
        method = offered.method(made)
        assert method is not None
        assert method.chosen == "punch under size and ream"


def best_pair(answers: Answers[Ask, Case]) -> ToolingSet:
    """The pair that one would order for it, at a strong station."""
    strong = station(5e6)
    punch = answers.ideal(SEAT_A, "punch", {})
    assert punch is not None
    die = answers.ideal(SEAT_A, "die", {"punch": punch})
    assert die is not None
    return ToolingSet({"punch": punch, "die": die}, strong)
