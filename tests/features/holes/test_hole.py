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
        ("hole .82in thru 3/8", "hole 0.82in thru 3/8 A36", None),
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
    ("text", "code", "may_be"),
    [
        ("hole 15/16 thru 1/2 A36", "", True),
        ("hole 15/16 thru 13/16 A36", "", True),
        ("hole 15/16 thru 7/8 A36", "", False),
        ("hole 15/16 thru 3/4 S355", "", False),
        ("hole 15/16 thru 1/2 A36", "AASHTO", False),
        ("bolt 7/8 thru 1/2 A36", "AASHTO", True),
        ("bolt 7/8 thru 13/16 A36", "AASHTO", False),
        ("hole 15/16 thru 1/2 A36", "UFGS", False),
        ("bolt 7/8 thru 1/2 A36", "UFGS", True),
        ("hole 2 thru 1/2 A514", "CSA S16", False),
        ("hole 1 thru 1/2 Titanium", "", False),
        ("slot 13/16 x 2 thru 3/8 A36", "", False),
    ],
)
def test_a_hole_is_offered_to_be_reamed_where_the_same_rules_would_let_it(
    text: str, code: str, may_be: bool
) -> None:
    ask = read_phrase(text, IN)
    ways = ask.answers(INCH_RULES, Circumstances(code=code)).workarounds(frozenset())
    reamed = [f"{ask.phrase('in')} ream"] if may_be else []
    assert [one.ask for one in ways if one.ask] == reamed


def test_a_code_that_counts_from_the_bolt_asks_which_bolt() -> None:
    answers = read_phrase("hole 15/16 thru 1/2 A36", IN).answers(
        INCH_RULES, Circumstances(code="UFGS")
    )
    assert answers.workarounds(frozenset())[0].text.startswith("say which bolt")


@pytest.mark.parametrize(
    ("text", "code", "aim"),
    [
        # 3/4 bolt: 13/16 hole; the bridge text's 3/16 under the bolt is 9/16, UFGS's 1/8 is 5/8.
        ("bolt 3/4 thru 3/8 A36 ream", "AASHTO", "9/16"),
        ("bolt 3/4 thru 3/8 A36 ream", "UFGS", "5/8"),
        ("hole 15/16 thru 3/8 A36 ream", "EN 1090-2", "13/16"),
        ("hole 15/16 thru 3/8 A36 ream", "", "7/8"),
    ],
)
def test_what_to_punch_before_reaming_is_the_greatest_usual_size_that_the_code_allows(
    text: str, code: str, aim: str
) -> None:
    answers = read_phrase(text, IN).answers(INCH_RULES, Circumstances(code=code))
    punch, die = answers.needs()
    assert punch.aim_width_mm == pytest.approx(mm(aim))
    assert die.aim_width_mm > punch.aim_width_mm
    assert answers.ask.phrase("in").endswith(" ream")


def test_a_metric_shop_reams_by_half_millimetres() -> None:
    ask = read_phrase("hole 22 thru 12 S275 ream", MM)
    facts = Circumstances(code="AS 4100")
    assert ask.answers(METRIC_RULES, facts).needs()[0].aim_width_mm == 19.0
    facts = Circumstances(code="EN 1090-2")
    assert ask.answers(METRIC_RULES, facts).needs()[0].aim_width_mm == 19.5


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
