"""Which punch may stand in for which size: a hole's own tolerance, and what it is off by."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.ask import Answers, Ask
from crib.features.common.case import Case, Circumstances
from crib.features.common.findings import Finding, refusals
from crib.features.common.tooling import ToolingSet
from crib.features.registry import read_phrase
from crib.units import System
from tests.features.bench import IN, INCH_RULES, METRIC_RULES, MM, only, station, tool

STRONG = station(9e6)


def answers(text: str, code: str = "", system: System = "mm") -> Answers[Ask, Case]:
    rules = METRIC_RULES if system == "mm" else INCH_RULES
    ask = read_phrase(text, MM if system == "mm" else IN)
    return ask.answers(rules, Circumstances(code=code, execution_class=2))


def pair(punch_mm: float, gap_mm: float = 1.6) -> ToolingSet:
    return ToolingSet(
        {"punch": tool("punch", punch_mm), "die": tool("die", punch_mm + gap_mm)}, STRONG
    )


def said(text: str, punch_mm: float, code: str = "") -> list[Finding]:
    return answers(text, code).judge(pair(punch_mm))


@pytest.mark.parametrize(
    ("tolerance", "punch_mm", "serves"),
    [
        ("", 22.05, True),
        ("", 22.06, False),
        ("", 21.94, False),
        ("+0.5 -0", 22.5, True),
        ("+0.5 -0", 22.51, False),
        ("+0.5 -0", 21.99, False),
        ("±0.5", 21.5, True),
        ("±0.5", 21.49, False),
        ("±0.02", 22.03, False),
    ],
)
def test_a_punch_may_stand_in_within_the_tolerance_and_no_further(
    tolerance: str, punch_mm: float, serves: bool
) -> None:
    found = only(said(f"hole 22 {tolerance} thru 12 S275", punch_mm), "size")
    assert (found.verdict == "ok") is serves


def test_the_deviation_is_shown_and_used_for_the_force() -> None:
    asked, exact = answers("hole 22 +0.5 -0 thru 12 S275"), answers("hole 22.4 thru 12 S275")
    made = pair(22.4)
    told = only(asked.judge(made), "deviation")
    assert told.verdict == "ok"
    assert told.value == pytest.approx(0.4)
    assert told.limit == pytest.approx(0.5)
    assert asked.figures(made)["deviation_mm"] == pytest.approx(0.4)
    for figure in ("force_kn", "punch_stress_mpa", "stripping_kn"):
        assert asked.figures(made)[figure] == pytest.approx(exact.figures(made)[figure])
    assert only(asked.judge(made), "force").value == pytest.approx(
        only(exact.judge(made), "force").value
    )


@pytest.mark.parametrize(
    ("text", "code", "over_mm", "under_mm"),
    [
        # RCSC Table 3.1: 1/32 in over; EN 1090-2 6.6.2: 0.5 mm, from memory; ISO 273 H13.
        ("bolt 3/4 per AISC 360-22 thru 12 S275", "", 25.4 / 32, 0.05),
        ("bolt M20 per EN 1090-2 thru 12 S275", "", 0.5, 0.5),
        ("bolt M20 per ISO 273 thru 12 S275", "", 0.33, 0.05),
        ("hole 22 thru 12 S275", "EN 1090-2", 0.5, 0.5),
        ("hole 22 thru 12 S275", "AISC 360", 25.4 / 32, 0.05),
        ("hole 22 thru 12 S275", "AS 4100", 0.05, 0.05),
        ("square 22 thru 12 S275", "EN 1090-2", 0.05, 0.05),
        ("bolt M20 long slot per EN 1090-2 thru 12 S275", "EN 1090-2", 0.05, 0.05),
        ("bolt M20 ±0.1 per EN 1090-2 thru 12 S275", "", 0.1, 0.1),
    ],
)
def test_without_a_tolerance_in_the_phrase_the_standard_has_one(
    text: str, code: str, over_mm: float, under_mm: float
) -> None:
    punch, _die = answers(text, code).needs()
    assert punch.most_width_mm - punch.aim_width_mm == pytest.approx(over_mm, abs=1e-5)
    assert punch.aim_width_mm - punch.least_width_mm == pytest.approx(under_mm, abs=1e-5)


def test_what_only_a_standard_allows_is_a_caution() -> None:
    found = said("bolt M20 per EN 1090-2 thru 12 S275", 22.4)
    assert only(found, "deviation").verdict == "caution"
    assert "the drawing may say less" in only(found, "deviation").text


SIZES = st.integers(1800, 2600).map(lambda number: number / 100)
TOLERANCE = st.tuples(st.integers(0, 30), st.integers(0, 30)).filter(any)


def phrase(tolerance: tuple[int, int], hole: str) -> str:
    plus, minus = (side / 10 for side in tolerance)
    return f"{hole} +{plus} -{minus} thru 12 S275"


@given(TOLERANCE, SIZES, st.sampled_from(["hole 22", "bolt M20", "square 22"]))
def test_every_pick_lies_within_the_tolerance_that_was_stated(
    tolerance: tuple[int, int], punch_mm: float, hole: str
) -> None:
    asked = answers(phrase(tolerance, hole))
    plus, minus = (side / 10 for side in tolerance)
    found = said_of(asked, punch_mm)
    within = 22 - minus - 1e-6 <= punch_mm <= 22 + plus + 1e-6
    assert ("size" not in found) == within
    if within:
        assert asked.needs()[0].least_width_mm - 1e-6 <= punch_mm
        assert punch_mm <= asked.needs()[0].most_width_mm + 1e-6


@given(TOLERANCE, st.integers(0, 10), st.integers(0, 10), SIZES, st.floats(0.2, 5))
def test_a_wider_tolerance_never_refuses_what_a_closer_one_takes(
    tolerance: tuple[int, int], more: int, less: int, punch_mm: float, gap_mm: float
) -> None:
    wider = (min(tolerance[0] + more, 32), min(tolerance[1] + less, 32))
    closer, wide = (answers(phrase(one, "hole 22")) for one in (tolerance, wider))
    made = pair(punch_mm, gap_mm)
    if not refusals(closer.judge(made)):
        assert not refusals(wide.judge(made))
        assert wide.figures(made) == closer.figures(made)


@given(TOLERANCE, SIZES)
def test_what_refuses_a_die_alone_refuses_it_with_every_punch_that_may_stand_in(
    tolerance: tuple[int, int], punch_mm: float
) -> None:
    asked, made = answers(phrase(tolerance, "hole 22")), pair(punch_mm)
    alone = ToolingSet({"die": made.tools["die"]}, STRONG)
    assert rules(asked.judge(alone)) <= rules(asked.judge(made))


def said_of(asked: Answers[Ask, Case], punch_mm: float) -> set[str]:
    shaped: dict[str, Any] = {"shape": asked.needs()[0].shape, "key_angles": (0, 90)}
    made = {
        "punch": tool("punch", punch_mm, **shaped),
        "die": tool("die", punch_mm + 1.6, **shaped),
    }
    return rules(asked.judge(ToolingSet(made, STRONG)))


def rules(findings: list[Finding]) -> set[str]:
    return {one.rule for one in refusals(findings)}
