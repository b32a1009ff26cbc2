"""The gap between punch and die: its bands, its worse side, and what nobody may override."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crib.features.common.case import Circumstances
from crib.trade.common.verdicts import Verdict
from tests.features.bench import (
    INCH_RULES,
    METRIC_RULES,
    case,
    judged,
    mm,
    only,
    shaped,
    tool,
)

HOLE, PLATE = mm("13/16"), mm("3/8")
PUNCH, DIE = tool("punch", HOLE), tool("die", mm("27/32"))
RANK: dict[Verdict, int] = {"ok": 0, "caution": 1, "refuse": 2}


@pytest.mark.parametrize(
    ("die_mm", "verdict", "final", "limit_mm"),
    [
        (19.0, "refuse", True, 0.0),
        (20.0, "refuse", True, 0.0),
        (20.0 + 1e-12, "refuse", True, 0.0),
        (20.49, "refuse", False, 0.5),
        (20.5, "caution", False, 0.8),
        (20.7, "caution", False, 0.8),
        (20.75, "ok", False, 1.5),
        (20.85, "ok", False, 1.5),
        (22.5, "ok", False, 1.5),
        (22.51, "caution", False, 2.5),
        (24.0, "caution", False, 2.5),
        (24.01, "refuse", False, 4.0),
    ],
)
def test_clearance_has_its_bands_and_a_die_not_bigger_than_its_punch_is_final(
    die_mm: float, verdict: str, final: bool, limit_mm: float
) -> None:
    """In 10 mm of mild steel: 5, 8, 25 and 40 % are 0.5, 0.8, 2.5 and 4 mm; the step is 0.8 mm."""
    asked = case(20.0, 10.0, "S275", rules=METRIC_RULES)
    found = only(judged(asked, tool("punch", 20.0), tool("die", die_mm)), "clearance")
    assert (found.verdict, found.final, found.unit) == (verdict, final, "mm")
    assert found.value == pytest.approx(die_mm - 20.0)
    assert found.limit == pytest.approx(limit_mm)


def test_the_charts_own_step_is_never_called_tight() -> None:
    """1/32 in in 7/16 in plate is 7.1 %, under the 8 % that is called tight elsewhere."""
    found = only(judged(case(HOLE, mm("7/16")), PUNCH, DIE), "clearance")
    assert found.verdict == "ok"
    assert "7.1 % of thickness" in found.text


@pytest.mark.parametrize(
    ("die_mm", "verdict", "gap_mm", "words"),
    [
        ((21.5, 41.5), "ok", 1.5, "policy"),
        ((21.5, 40.0), "refuse", 0.0, "not bigger all round"),
        ((20.8, 43.0), "caution", 3.0, "over 25 %"),
        ((20.6, 44.5), "refuse", 4.5, "over 40 %"),
        ((20.6, 41.5), "caution", 0.6, "under 8 %"),
        ((22.0, 40.3), "refuse", 0.3, "under 5 %"),
    ],
)
def test_the_worse_side_of_a_shaped_pair_is_the_one_that_is_told(
    die_mm: tuple[float, float], verdict: str, gap_mm: float, words: str
) -> None:
    asked = case(20.0, 10.0, "S275", shape="rectangle", long_mm=40.0, rules=METRIC_RULES)
    found = only(judged(asked, shaped("punch", 20.0, 40.0), shaped("die", *die_mm)), "clearance")
    assert found.verdict == verdict
    assert found.value == pytest.approx(gap_mm)
    assert words in found.text


def test_a_die_of_another_shape_is_final() -> None:
    found = only(judged(case(HOLE, PLATE), PUNCH, replace(DIE, shape="square")), "clearance")
    assert (found.verdict, found.final) == ("refuse", True)
    assert "not of the shape" in found.text


@pytest.mark.parametrize(
    ("facts", "aim"),
    [
        (Circumstances(), 0.15 * PLATE),
        (Circumstances(appearance="rough"), 0.15 * PLATE),
        (Circumstances(appearance="finish"), mm("1/32")),
    ],
)
def test_finish_work_aims_at_the_clean_hole_whatever_the_shops_policy(
    facts: Circumstances, aim: float
) -> None:
    rules = INCH_RULES.with_changes({"clearance.policy": "tool_life"})
    found = only(judged(case(HOLE, PLATE, rules=rules, facts=facts), PUNCH, DIE), "clearance")
    assert found.limit == pytest.approx(aim)
