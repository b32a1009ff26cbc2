"""A square hole: its phrase, its two equal sides, its diagonal in the body."""

from __future__ import annotations

from math import hypot

import pytest

from crib.features.holes.square import EXAMPLE, Square
from crib.features.registry import read_phrase
from tests.features.bench import FACTS, IN, INCH_RULES, METRIC_RULES, MM, mm, mounted, only, tool


def test_the_example_has_one_size() -> None:
    ask = read_phrase(EXAMPLE, IN)
    assert isinstance(ask, Square)
    made = ask.as_json()
    assert (made["feature"], made["shape"], made["size_mm"]) == ("square", "square", 12.7)
    assert "length_mm" not in made
    assert ask.phrase("in") == "square 1/2 thru 1/4 A36"


def test_force_goes_by_four_sides() -> None:
    ask = read_phrase("square 20 thru 10 S275", MM)
    figures = ask.answers(METRIC_RULES, FACTS).figures(mounted())
    assert figures["force_kn"] == pytest.approx(4 * 20 * 10 * 0.351, rel=0.001)
    assert figures["punch_stress_mpa"] == pytest.approx(4 * 10 * 351 / 20, rel=0.001)


@pytest.mark.parametrize(("side", "verdict"), [("15/16", "refuse"), ("29/32", "ok")])
def test_the_diagonal_must_go_into_the_body_or_the_nut(side: str, verdict: str) -> None:
    ask = read_phrase(f"square {side} thru 1/4 A36", IN)
    punch = tool("punch", mm(side), shape="square", key_angles=(0,))
    found = only(ask.answers(INCH_RULES, FACTS).judge(mounted(punch)), "body")
    assert (found.verdict, found.limit, found.unit) == (verdict, 33.0, "mm")
    assert found.value == pytest.approx(hypot(mm(side), mm(side)))


def test_what_to_do_without_tooling_is_not_a_drill_of_that_size() -> None:
    ways = read_phrase(EXAMPLE, IN).answers(INCH_RULES, FACTS).workarounds(frozenset())
    assert ways[0].text == "drill the ends or corners and saw or file between"
    assert all(way.ask is None for way in ways)
