"""The contract's code decides whether a hole may be punched to its full size."""

from __future__ import annotations

from typing import Any

import pytest

from crib.features.common.case import Circumstances
from crib.features.common.findings import Finding
from crib.trade.common.verdicts import Verdict
from tests.features.bench import (
    METRIC_RULES,
    case,
    judged,
    mm,
    only,
    tool,
)

HOLE, PLATE = mm("13/16"), mm("3/8")
PUNCH, DIE = tool("punch", HOLE), tool("die", mm("27/32"))
RANK: dict[Verdict, int] = {"ok": 0, "caution": 1, "refuse": 2}


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


def test_a_hole_to_be_reamed_is_not_held_to_the_full_size_rule() -> None:
    found = method("EN 1090-2", 10.0, execution_class=3, to_ream=True)
    assert found.verdict == "ok"
    assert "at least 2 mm under the final size" in found.text


@pytest.mark.parametrize(
    ("code", "material", "facts"),
    [("CSA S16", "A514", {}), ("AISC 360", "A36", {"dynamic": True})],
)
def test_where_the_code_names_no_reaming_it_stays_refused(
    code: str, material: str, facts: dict[str, Any]
) -> None:
    around = Circumstances(code=code, to_ream=True, **facts)
    asked = case(30.0, 10.0, material, facts=around, bolt_mm=27.0)
    assert only(judged(asked), "method").verdict == "refuse"


def test_a_slot_is_not_reamed() -> None:
    around = Circumstances(code="EN 1090-2", execution_class=3, to_ream=True)
    asked = case(22.0, 10.0, shape="obround", long_mm=50.0, facts=around)
    assert only(judged(asked), "method").verdict == "refuse"
