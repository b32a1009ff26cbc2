"""What notch, vee and corner share: lists and ratings, orders, wear, what to do meanwhile."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.features.common.ask import Ask
from crib.features.common.case import Case, Circumstances
from crib.features.common.order_text import order_text
from crib.features.common.pair_wear import hit_severity
from crib.features.common.speech import Speech
from crib.features.common.tooling import Adapter, Seat, Station
from crib.units import N_PER_US_TON
from tests.features.bench import FACTS, INCH_RULES, METRIC_RULES, SEAT_A, mounted, only, station
from tests.features.sets import asked, at, notcher, rows, says, set_of, stops

ASKS = ("notch 4 x 3 thru 1/4 A36", "vee 4 thru 1/4 A36", "corner 4 x 3 thru 1/4 A36")
PLAIN = {"notch": set_of("notch", 4, 4), "vee": set_of("vee", 4), "corner": set_of("corner", 4, 4)}
NOTCH = asked(ASKS[0])
LISTED = set_of("notch", 4, 4, envelope=rows("notch", (4, 5 / 16)))


@pytest.mark.parametrize("text", ASKS)
def test_neither_list_nor_rating_is_refused_with_what_to_enter(text: str) -> None:
    ask = asked(text)
    said = only(says(ask, PLAIN[ask.feature], notcher()), "rating")
    assert said.verdict == "refuse"
    assert "neither a list" in said.text
    assert "enter one from the plate" in said.text


@pytest.mark.parametrize("text", ASKS)
def test_a_rated_force_alone_is_enough_when_it_covers_the_cut(text: str) -> None:
    ask = asked(text)
    needed_n = ask.answers(INCH_RULES, FACTS).figures(mounted())["force_kn"] * 1000
    tool = PLAIN[ask.feature]
    assert only(says(ask, tool, notcher(needed_n / 0.79)), "force").verdict == "ok"
    assert only(says(ask, tool, notcher(needed_n / 0.99)), "force").verdict == "caution"
    assert only(says(ask, tool, notcher(needed_n * 0.99)), "force").verdict == "refuse"


def test_a_station_with_a_list_is_judged_by_it_and_the_flat_blade_only_cautions() -> None:
    """4 x 3 in 1/4 A36: 63.7 US tons by a flat blade, more than 50, yet on the list."""
    where = notcher(50 * N_PER_US_TON, (4, 5 / 16))
    said = says(NOTCH, PLAIN["notch"], where)
    assert only(said, "envelope").verdict == "ok"
    assert only(said, "force").verdict == "caution"
    assert "63.7 US tons of 50.0 US tons" in only(said, "force").text
    assert "flat-blade equivalent, 80 rule x 1 for A36" in only(said, "force").text
    assert "the list governs" in only(said, "force").text
    beyond = notcher(500 * N_PER_US_TON, (4, 3 / 16))
    assert stops(NOTCH, PLAIN["notch"], beyond) == {"envelope"}


@pytest.mark.parametrize(
    ("rated_tons", "depth", "verdict"),
    [
        (42.5, None, "caution"),
        (42.4, None, "refuse"),
        (42.4, 3.0, "caution"),
        (10.0, 4.0, "caution"),
        (42.4, 2.9, "refuse"),
        (80.0, 2.9, "ok"),
    ],
)
def test_far_over_the_rating_only_a_list_that_says_the_depth_proves_a_cut(
    rated_tons: float, depth: float | None, verdict: str
) -> None:
    """4 x 3 in 1/4 A36 takes 63.7 US tons by a flat blade; 1.5 times 42.5 is 63.7."""
    proven = rows("notch", (4, 5 / 16))
    if depth is not None:
        proven += tuple(replace(row, depth_mm=depth * 25.4) for row in proven)
    where = notcher(rated_tons * N_PER_US_TON, envelope=proven)
    found = only(says(NOTCH, PLAIN["notch"], where), "force")
    assert found.verdict == verdict
    assert ("over 1.5 times" in found.text) == (verdict == "refuse")
    assert (found.remedy is not None) == (verdict == "refuse")
    assert only(says(NOTCH, PLAIN["notch"], where), "envelope").verdict == "ok"


@pytest.mark.parametrize("text", ASKS)
@given(over=st.floats(0.2, 6.0))
def test_no_pick_takes_over_half_more_than_the_rating_without_a_proven_depth(
    text: str, over: float
) -> None:
    ask = asked(text)
    needed_n = ask.answers(INCH_RULES, FACTS).figures(mounted())["force_kn"] * 1000
    where = notcher(needed_n / over, envelope=rows(ask.feature, (9, 1)))
    assert ("force" in stops(ask, PLAIN[ask.feature], where)) == (over > 1.5)


def test_the_depth_of_a_sets_list_does_not_prove_the_station() -> None:
    deep = tuple(replace(row, depth_mm=4 * 25.4) for row in rows("notch", (4, 5 / 16)))
    weak, strong = 40 * N_PER_US_TON, 80 * N_PER_US_TON
    proven = set_of("notch", 4, 4, envelope=deep)
    assert stops(NOTCH, proven, notcher(weak, (4, 5 / 16))) == {"force"}
    assert not stops(NOTCH, proven, notcher(weak, envelope=deep))
    rated = replace(proven, rated_force_n=weak)
    assert not stops(NOTCH, rated, notcher(strong, (4, 5 / 16)))
    assert not stops(NOTCH, rated, notcher(None, (4, 5 / 16)))
    shallow = replace(rated, envelope=rows("notch", (4, 5 / 16)))
    assert stops(NOTCH, shallow, notcher(strong, (4, 5 / 16))) == {"force"}


def test_a_cut_deeper_than_every_point_of_a_list_is_beyond_it() -> None:
    (shallow,) = rows("notch", (4, 5 / 16))
    where = notcher(None, envelope=(replace(shallow, depth_mm=2 * 25.4),))
    found = only(says(NOTCH, PLAIN["notch"], where), "envelope")
    assert (found.verdict, found.value, found.limit) == ("refuse", 76.2, 50.8)
    assert "3 in deep is beyond its list for notch (at most 2 in deep)" in found.text


def test_the_shop_says_how_far_over_the_rating_a_list_may_go() -> None:
    strict = INCH_RULES.with_changes({"force.over_list": "1"})
    where = notcher(50 * N_PER_US_TON, (4, 5 / 16))
    assert "force" in stops(NOTCH, PLAIN["notch"], where, rules=strict)


def test_the_list_of_a_set_does_not_prove_the_station_it_stands_in() -> None:
    assert stops(NOTCH, LISTED, notcher(50 * N_PER_US_TON)) == {"force"}
    assert not stops(NOTCH, LISTED, notcher(80 * N_PER_US_TON))


def test_the_list_of_a_set_alone_stands_with_a_caution_about_the_station() -> None:
    said = says(NOTCH, LISTED, notcher())
    assert not stops(NOTCH, LISTED, notcher())
    assert only(said, "rating").verdict == "caution"
    assert "check the plate" in only(said, "rating").text
    assert "the list governs" in only(said, "force").text


def test_station_and_set_must_both_list_it_when_both_have_a_list() -> None:
    thin = set_of("notch", 4, 4, envelope=rows("notch", (4, 3 / 16)))
    assert stops(NOTCH, thin, notcher(None, (6, 1 / 2))) == {"envelope"}


def test_a_list_for_something_else_is_no_list() -> None:
    other = notcher(None, envelope=rows("corner", (6, 1 / 2)))
    assert stops(NOTCH, PLAIN["notch"], other) == {"rating"}


def test_a_stronger_steel_counts_as_thicker_on_the_list() -> None:
    assert not stops(asked("notch 4 x 3 thru 1/4 A36"), LISTED, notcher())
    assert not stops(asked("notch 4 x 3 thru 1/4 A572-50"), LISTED, notcher())
    assert stops(asked("notch 4 x 3 thru 1/4 304"), LISTED, notcher()) == {"envelope"}


def test_a_rated_set_or_attachment_without_a_list_is_judged_by_its_force() -> None:
    where = notcher(None, (4, 5 / 16))
    weak = set_of("notch", 4, 4, rated_force_n=50 * N_PER_US_TON)
    assert stops(NOTCH, weak, where) == {"force"}
    attached = station(None, seats=frozenset({"B"}), envelope=where.envelope)
    for rated_n, refused in ((None, {"force"}), (5e5, {"force"}), (6e5, set())):
        adapter = Adapter("T-1", "attachment", "B", "A", rated_n)
        tooling = mounted(PLAIN["notch"], at=attached, adapters={"set": adapter})
        found = NOTCH.answers(INCH_RULES, FACTS).judge(tooling)
        assert {one.rule for one in found if one.verdict == "refuse"} == refused


def test_a_seat_that_the_station_does_not_accept_is_refused() -> None:
    assert "seat" in stops(NOTCH, LISTED, notcher(None, seats=frozenset({"B"})))
    assert "seat" in stops(NOTCH, set_of("notch", 4, 4, seat=None), notcher(None, (4, 1)))


def test_an_opening_that_is_taken_by_an_attachment_is_refused() -> None:
    attached = station(6e5, seats=frozenset({"B"}), attachments=("T-9",))
    adapter = Adapter("T-1", "attachment", "B", "A", 6e5)
    tooling = mounted(PLAIN["notch"], at=attached, adapters={"set": adapter})
    assert only(NOTCH.answers(INCH_RULES, FACTS).judge(tooling), "attachment").verdict == "refuse"


def test_a_plate_thicker_than_the_opening_is_refused() -> None:
    assert "daylight" in stops(NOTCH, LISTED, notcher(daylight_mm=6.3))
    assert "daylight" not in stops(NOTCH, LISTED, notcher(daylight_mm=6.35))


@pytest.mark.parametrize("text", ASKS)
def test_wear_plate_is_not_for_a_set_and_an_unknown_steel_is_not_guessed(text: str) -> None:
    hard = asked(text.replace("A36", "AR400"))
    tool = PLAIN[hard.feature]
    assert "material" in stops(hard, tool, notcher(1e7))
    plain = asked(text)
    nameless = replace(plain.plate.material, multiplier=None)
    unknown = type(plain)(**{**vars(plain), "plate": replace(plain.plate, material=nameless)})
    listed = notcher(1e7, envelope=rows(hard.feature, (9, 1)))
    assert stops(unknown, tool, listed) == {"material"}


def test_without_a_set_only_the_plate_and_the_station_are_judged() -> None:
    rules = {one.rule for one in NOTCH.answers(INCH_RULES, FACTS).judge(mounted(at=notcher()))}
    assert rules == {"corners"}
    assert NOTCH.answers(INCH_RULES, FACTS).closeness_mm(mounted()) == 0.0


def test_one_hit_wears_the_set_as_a_whole() -> None:
    each = NOTCH.answers(INCH_RULES, FACTS).severity_each(mounted(), "set")
    assert each == hit_severity(Case(NOTCH.plate, INCH_RULES, FACTS)).total
    assert each == pytest.approx(1 / 4 / (3 / 8))


def ordered(ask: Ask, seat: Seat = SEAT_A, where: Station | None = None, job: str = "") -> str:
    tool = ask.answers(INCH_RULES, FACTS).ideal(seat, "set", {})
    assert tool is not None
    assert not stops(ask, tool, where or notcher(1e7))
    tooling = at(tool, where or notcher(1e7))
    spec = ask.answers(INCH_RULES, Circumstances(job=job)).order_spec(tool, tooling)
    return order_text(spec, Speech(INCH_RULES))


def test_an_order_says_all_that_a_supplier_asks_for() -> None:
    assert ordered(NOTCH, job="J-7") == (
        "1 notch set, punch and die sides matched as one set, rectangular, 4 in along the edge,"
        " at least 3 in deep, seat A: head 40 mm (1.575 in), head thickness 6 mm (0.236 in),"
        " body 32 mm (1.260 in), die OD 54 mm (2.126 in), height 29 mm (1.142 in), to cut 1/4 in"
        " A36, clearance to suit that thickness, its list of proven sizes and thicknesses with it,"
        " at least 4 in by 1/4 in A36 to 3 in deep, for Ironworker 1 / notch, our job J-7"
    )
    assert "90° included angle, opening at least 4 in at the edge (2 in deep)" in ordered(
        asked(ASKS[1])
    )
    assert "square corner, at least 4 x 3 in" in ordered(asked(ASKS[2]))


def test_only_a_set_is_ordered() -> None:
    assert NOTCH.answers(INCH_RULES, FACTS).ideal(SEAT_A, "punch", {}) is None


@pytest.mark.parametrize("text", ASKS)
def test_meanwhile_it_is_sawn_cut_thermally_milled_or_made_outside(text: str) -> None:
    ways = asked(text).answers(INCH_RULES, FACTS).workarounds(frozenset({"size"}))
    words = " ".join(way.text for way in ways)
    assert all(word in words for word in ("saw", "plasma", "grind", "mill", "outside"))
    assert "next machine" not in words
    more = asked(text).answers(METRIC_RULES, FACTS).workarounds(frozenset({"envelope"}))
    assert "next machine" in more[0].text
    hard = asked(text).answers(INCH_RULES, FACTS).workarounds(frozenset({"material"}))
    assert not any("saw" in way.text for way in hard)
