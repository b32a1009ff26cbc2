"""A round hole: its phrase, its outline, what it needs and what is offered instead."""

from __future__ import annotations

import pytest

from crib.features.common.case import Circumstances
from crib.features.holes.hole import EXAMPLE, Hole
from crib.features.registry import read_phrase
from tests.features.bench import FACTS, IN, INCH_RULES, METRIC_RULES, MM, mm


def test_the_example_is_a_13_16_hole_in_3_8_a36() -> None:
    ask = read_phrase(EXAMPLE, IN)
    assert isinstance(ask, Hole)
    assert ask.as_json() == {
        "feature": "hole",
        "shape": "round",
        "size_mm": 20.6375,
        "thickness_mm": 9.525,
        "material": "A36",
        "material_assumed": False,
    }
    assert (ask.work, ask.bolt_mm) == ("punch", None)


@pytest.mark.parametrize(
    ("text", "inch", "metric"),
    [
        ("hole 13/16 thru 3/8 A36", "hole 13/16 thru 3/8 A36", "hole 20.6375mm thru 9.525mm A36"),
        ("round 22mm thru 12mm S355", None, "hole 22mm thru 12mm S355"),
        ("hole .82in thru 3/8", "hole 0.8200in thru 3/8 A36", None),
        ("hole 1-3/16 thru 1 304", "hole 1-3/16 thru 1 304", None),
    ],
)
def test_the_phrase_has_one_way_of_writing_in_each_system(
    text: str, inch: str | None, metric: str | None
) -> None:
    ask = read_phrase(text, IN)
    assert inch is None or ask.phrase("in") == inch
    assert metric is None or ask.phrase("mm") == metric


def test_it_needs_a_punch_of_its_size_and_a_die_up_to_the_widest_band() -> None:
    punch, die = read_phrase(EXAMPLE, IN).answers(INCH_RULES, FACTS).needs()
    assert (punch.role, die.role) == ("punch", "die")
    assert punch.least_width_mm == pytest.approx(20.6375 - 0.05)
    assert punch.most_width_mm == pytest.approx(20.6375 + 0.05)
    assert die.least_width_mm == pytest.approx(20.6375 - 0.05)
    assert die.most_width_mm == pytest.approx(20.6375 + 0.40 * 9.525 + 0.05)
    assert die.aim_width_mm == mm("27/32")


def test_the_die_aimed_at_follows_the_policy() -> None:
    ask = read_phrase("hole 22 thru 12 S355", MM)
    assert ask.answers(METRIC_RULES, FACTS).needs()[1].aim_width_mm == pytest.approx(22 + 0.18 * 12)
    finish = Circumstances(appearance="finish")
    assert ask.answers(METRIC_RULES, finish).needs()[1].aim_width_mm == pytest.approx(22 + 1.75)


def test_thin_sheet_is_not_cut_off_from_the_charts_own_step() -> None:
    die = read_phrase("hole 6 thru 0.5", MM).answers(METRIC_RULES, FACTS).needs()[1]
    assert die.most_width_mm >= 6 + 0.4


@pytest.mark.parametrize(
    ("text", "code", "smaller"),
    [
        ("hole 15/16 thru 1/2 A36", "", "hole 13/16 thru 1/2 A36 ream"),
        ("hole 15/16 thru 13/16 A36", "", "hole 13/16 thru 13/16 A36 ream"),
        ("hole 15/16 thru 7/8 A36", "", None),
        ("hole 15/16 thru 3/4 S355", "", None),
        ("hole 15/16 thru 1/2 A36", "AASHTO", "hole 3/4 thru 1/2 A36 ream"),
        ("hole 15/16 thru 1/2 A36", "UFGS", "hole 13/16 thru 1/2 A36 ream"),
        ("hole 2 thru 1/2 A514", "CSA S16", None),
        ("hole 1 thru 1/2 Titanium", "", None),
    ],
)
def test_the_smaller_hole_to_ream_is_as_far_under_as_the_code_says_and_never_too_thin(
    text: str, code: str, smaller: str | None
) -> None:
    facts = Circumstances(code=code)
    asks = [
        one.ask for one in read_phrase(text, IN).answers(INCH_RULES, facts).workarounds(frozenset())
    ]
    assert [ask for ask in asks if ask] == ([smaller] if smaller else [])


def test_a_metric_shop_reams_by_half_millimetres() -> None:
    ask = read_phrase("hole 22 thru 12 S275", MM)
    ways = ask.answers(METRIC_RULES, FACTS).workarounds(frozenset())
    assert ways[0].ask == "hole 19mm thru 12mm S275 ream"
    ways = ask.answers(METRIC_RULES, Circumstances(code="EN 1090-2")).workarounds(frozenset())
    assert ways[0].ask == "hole 20mm thru 12mm S275 ream"


def test_a_force_beyond_the_station_is_not_mended_by_a_slightly_smaller_hole() -> None:
    ways = read_phrase(EXAMPLE, IN).answers(INCH_RULES, FACTS).workarounds(frozenset({"force"}))
    assert [way.ask for way in ways] == [None] * len(ways)


@pytest.mark.parametrize("rule", ["hole to thickness", "punch stress"])
def test_a_hole_too_thin_to_punch_is_drilled_and_never_reamed_from_a_thinner_one(
    rule: str,
) -> None:
    ways = read_phrase(EXAMPLE, IN).answers(INCH_RULES, FACTS).workarounds(frozenset({rule}))
    assert [way.ask for way in ways] == [None] * len(ways)
    assert ways[0].text == "drill 13/16 in, or cut it with an annular cutter"
    assert any("engineer" in way.text for way in ways)
