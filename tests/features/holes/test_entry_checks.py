"""Punch and die ground together: the one must still enter the other."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crib.features.common.tooling import Tool
from crib.features.holes.entry_checks import judge_entry
from tests.features.bench import INCH_RULES, tool


def pair(punch_mm: float, die_mm: float) -> list[Tool]:
    """A punch and a die, so much ground off each."""
    return [
        replace(tool("punch", 20.0), tag="P-1", ground_mm=punch_mm),
        replace(tool("die", 20.8), tag="D-1", ground_mm=die_mm),
    ]


@pytest.mark.parametrize(
    ("punch_mm", "die_mm", "entry_mm"),
    [(0.0, 0.0, None), (1.5, 1.5, None), (1.5, 1.51, 1.49), (3.0, 1.0, 0.5), (3.0, 3.0, -1.5)],
)
def test_ground_too_far_together_is_a_caution(
    punch_mm: float, die_mm: float, entry_mm: float | None
) -> None:
    """4.5 mm when new, one for one less, at least 1.5 mm."""
    found = judge_entry(pair(punch_mm, die_mm), INCH_RULES)
    assert [(one.rule, one.verdict) for one in found] == [("entry", "caution")] * len(found)
    assert [one.value for one in found] == ([] if entry_mm is None else [pytest.approx(entry_mm)])


def test_it_says_what_to_do() -> None:
    (found,) = judge_entry(pair(3.0, 1.0), INCH_RULES)
    assert found.text == (
        "P-1 and D-1 are ground 0.1575 in together: the punch enters the die 0.0197 in at the"
        " bottom, at least 0.0591 in; set the stroke, or shim the die as far as the machine's"
        " manual allows"
    )
    (found,) = judge_entry(pair(3.0, 3.0), INCH_RULES)
    assert "the punch does not reach the die at the bottom" in found.text


def test_the_shop_says_how_far_and_how_little() -> None:
    deep = INCH_RULES.with_changes({"grind.entry_new_mm": "8"})
    assert judge_entry(pair(3.0, 3.0), deep) == []
    wary = INCH_RULES.with_changes({"grind.least_entry_mm": "4"})
    assert len(judge_entry(pair(0.5, 0.5), wary)) == 1


def test_a_tool_without_its_partner_is_not_judged() -> None:
    assert judge_entry(pair(9.0, 9.0)[:1], INCH_RULES) == []
