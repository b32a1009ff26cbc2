"""Notch, vee and corner from the question to the answer, with sets on the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil
from pathlib import Path
from typing import Any

import pytest

from crib.desk.answer.find import Found
from crib.features.common.findings import cautions
from crib.stock.engine.session import Session
from crib.units import N_PER_US_TON, mm_from_inches
from tests.desk.asks import ask, change, first, say, stops, tags
from tests.desk.notching import WORK, add_set, notch_shop, rate, station_listed

I8 = "notch 7 x 3 thru 1/4 A36"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A station for each sort of set, and nothing on the shelf."""
    made = notch_shop(tmp_path / "notches.crib")
    yield made
    made.close()


def hits(found: Found) -> list[Any]:
    plan = found.picks[0].plan
    assert plan is not None
    return list(plan.hits)


# I8


def test_i8_a_notch_7_x_3_with_a_4_x_4_set_is_two_hits(shop: Session) -> None:
    """N = ceil((7 - 4)/(4 - 1/16)) + 1 = 2 hits, the second 3 in on, bite 3/4 = 75 % is good.

    Cut 4 + 2 x 3 = 10 in, then 3 + 3 = 6 in; by the 80 rule a flat blade would take
    10 x 1/4 x 25.46 = 63.7 and 6 x 1/4 x 25.46 = 38.2 US tons. The set's list governs.
    """
    add_set(shop, "N-1", "notch", "4", 4, (4, 5 / 16))
    station_listed(shop, "notch", (6, 5 / 16))
    found = ask(shop, I8)
    assert ceil((7 - 4) / (4 - 1 / 16)) + 1 == 2
    assert tags(found) == ["N-1"]
    (best,) = found.picks
    one, two = hits(found)
    assert (one.kind, two.kind) == ("full", "chain")
    assert two.x_mm - one.x_mm == pytest.approx(mm_from_inches(3))
    assert two.bite == pytest.approx(0.75)
    assert say(best, "chain bite").verdict == "ok"
    assert best.plan is not None
    assert "cuts 10 in, then 6 in of edge" in best.plan.text
    assert "(63.7 US tons, then 38.2 US tons flat-blade equivalent)" in best.plan.text
    assert best.figures["force_kn"] * 1000 / N_PER_US_TON == pytest.approx(63.7, abs=0.05)
    assert best.figures["hits"] == 2
    assert not cautions(best.findings)
    answer = found.as_json()
    assert answer["ask"]["size_mm"] == pytest.approx(177.8)
    assert answer["picks"][0]["hits"] == 2
    assert len(answer["picks"][0]["plan"]["hits"]) == 2


def test_i8_in_plate_that_the_set_is_not_listed_for_is_refused(shop: Session) -> None:
    add_set(shop, "N-1", "notch", "4", 4, (4, 5 / 16))
    station_listed(shop, "notch", (6, 1 / 2))
    assert first(ask(shop, "notch 7 x 3 thru 5/16 A36")) == "N-1"
    found = ask(shop, "notch 7 x 3 thru 3/8 A36")
    assert not found.picks
    assert "envelope" in stops(found.near_misses[0])


def test_i8_deeper_than_the_set_is_refused_with_the_figure(shop: Session) -> None:
    add_set(shop, "N-1", "notch", "4", 4, (4, 5 / 16))
    station_listed(shop, "notch", (6, 5 / 16))
    found = ask(shop, "notch 7 x 4-1/2 thru 1/4 A36")
    assert not found.picks
    depth = stops(found.near_misses[0])["depth"]
    assert (depth.value, depth.limit) == pytest.approx((114.3, 101.6))


def test_the_two_hits_of_a_plan_both_count_against_the_edge(shop: Session) -> None:
    """One full hit and one chain hit of weight 1.6, each 1/4 over 3/8: 2.6 x 2/3 = 1.733."""
    add_set(shop, "N-1", "notch", "4", 4, (4, 5 / 16))
    station_listed(shop, "notch", (6, 5 / 16))
    best = ask(shop, I8).picks[0]
    assert best.severities["set"] == pytest.approx(2.6 * 2 / 3)


def test_a_bite_too_small_is_a_near_miss_with_its_figure_and_an_order(shop: Session) -> None:
    """5 with a 4: the second hit would cut 1 of 4 in, 25 %."""
    add_set(shop, "N-1", "notch", "4", 4, (4, 5 / 16))
    station_listed(shop, "notch", (6, 5 / 16))
    found = ask(shop, "notch 5 x 3 thru 1/4 A36")
    assert not found.picks
    bite = stops(found.near_misses[0])["chain bite"]
    assert bite.value == pytest.approx(0.25)
    (line,) = found.order
    assert line.text.startswith("1 notch set, punch and die sides matched as one set, rectangular,")
    assert "5 in along the edge, at least 3 in deep, seat N: die OD" in line.text
    assert "for Ironworker 1 / notch" in line.text
    ways = [way.text for way in found.workarounds]
    assert any("saw" in way for way in ways)
    assert ways[-1].startswith("order what is missing")


@pytest.mark.parametrize(
    ("profile", "depth", "known"), [("notch", 3, True), ("notch", 2, False), ("corner", 3, False)]
)
def test_an_order_names_a_kind_only_when_it_is_the_same_set(
    shop: Session, profile: str, depth: float, known: bool
) -> None:
    add_set(shop, "S-1", profile, "5", depth)
    change(shop, "UPDATE piece SET condition = 'broken'")
    rate(shop, 100)
    (line,) = ask(shop, "notch 5 x 3 thru 1/4 A36").order
    assert bool(line.kind) is known


def test_a_vee_of_another_angle_is_another_kind(shop: Session) -> None:
    add_set(shop, "V-1", "vee", "5", angle_deg=60)
    rate(shop, 100)
    (line,) = ask(shop, "vee 5 thru 1/4 A36 at 90").order
    assert line.kind is None


# One hit


def test_a_set_of_the_notchs_own_width_is_taken_in_one_hit(shop: Session) -> None:
    add_set(shop, "N-1", "notch", "4", 4, (4, 5 / 16))
    add_set(shop, "N-2", "notch", "7", 3, (7, 1 / 4))
    station_listed(shop, "notch", (8, 5 / 16))
    found = ask(shop, I8)
    assert tags(found) == ["N-2"]
    assert found.picks[0].plan is None
    assert found.picks[0].figures["cut_mm"] == pytest.approx(mm_from_inches(13))


def test_the_widest_cut_must_be_on_the_stations_list(shop: Session) -> None:
    add_set(shop, "N-2", "notch", "7", 3, (7, 1 / 4))
    station_listed(shop, "notch", (6, 5 / 16))
    assert "envelope" in stops(ask(shop, I8).near_misses[0])


def test_a_station_of_which_nothing_is_known_is_refused_and_nothing_ordered(shop: Session) -> None:
    add_set(shop, "N-1", "notch", "4", 4)
    found = ask(shop, "notch 4 x 3 thru 1/4 A36")
    assert not found.picks
    assert "rating" in stops(found.near_misses[0])
    assert not found.order
    assert "enter one from the plate" in found.why_no_order


def test_a_rated_force_is_used_where_there_is_no_list(shop: Session) -> None:
    """10 in x 1/4 x 25.46 = 63.7 US tons of 80 is 80 %, of 60 it is too much."""
    add_set(shop, "N-1", "notch", "4", 4)
    rate(shop, 80)
    best = ask(shop, "notch 4 x 3 thru 1/4 A36").picks[0]
    assert best.figures["load"] == pytest.approx(63.66 / 80, abs=0.001)
    rate(shop, 60)
    found = ask(shop, "notch 4 x 3 thru 1/4 A36")
    assert set(stops(found.near_misses[0])) == {"force"}
    assert "next machine" in found.workarounds[0].text


# Vee and corner


def test_the_vee_set_of_that_angle_nearest_in_size_comes_first(shop: Session) -> None:
    add_set(shop, "V-4", "vee", "4", None, (4, 1 / 4), angle_deg=90)
    add_set(shop, "V-3", "vee", "3", None, (3, 1 / 4), angle_deg=90)
    add_set(shop, "V-60", "vee", "2", None, (2, 1 / 4), angle_deg=60)
    station_listed(shop, "vee", (4, 1 / 4))
    assert tags(ask(shop, "vee 2 thru 1/4 A36")) == ["V-3", "V-4"]
    assert tags(ask(shop, "vee 2 thru 1/4 A36 at 60")) == ["V-60"]
    missed = ask(shop, "vee 2 thru 1/4 A36 at 45")
    assert "angle" in stops(missed.near_misses[0])
    assert "45° included angle" in missed.order[0].text
    assert ask(shop, "vee 5 thru 1/4 A36").near_misses[0].findings


def test_a_corner_set_takes_what_its_list_says_in_steps(shop: Session) -> None:
    """Common practice, no source: 6 x 6 in 1/8, but 3 x 3 in 1/4."""
    add_set(shop, "C-6", "corner", "6", 6, (6, 1 / 8), (3, 1 / 4))
    rate(shop, 80)
    assert first(ask(shop, "corner 6 x 6 thru 1/8 A36")) == "C-6"
    assert first(ask(shop, "corner 3 x 3 thru 1/4 A36")) == "C-6"
    assert "envelope" in stops(ask(shop, "corner 4 x 3 thru 1/4 A36").near_misses[0])
    assert "envelope" in stops(ask(shop, "corner 6 x 6 thru 3/16 A36").near_misses[0])


def test_a_corner_larger_than_the_set_is_made_in_l_order(shop: Session) -> None:
    add_set(shop, "C-4", "corner", "4", 4, (4, 1 / 4))
    rate(shop, 80)
    found = ask(shop, "corner 6 x 6 thru 1/4 A36")
    assert first(found) == "C-4"
    assert len(hits(found)) == 4
    assert found.picks[0].figures["hits"] == 4


@pytest.mark.parametrize(
    ("inch", "metric"),
    [
        (I8, "notch 177.8mm x 76.2mm thru 6.35mm A36"),
        ("vee 2 thru 1/4 A36", "vee 50.8mm thru 6.35mm A36 at 90"),
        ("corner 3 x 2 thru 1/4 A36", "corner 76.2mm x 50.8mm thru 6.35mm A36"),
    ],
)
def test_inch_and_metric_phrases_find_the_same(shop: Session, inch: str, metric: str) -> None:
    add_set(shop, "N-1", "notch", "4", 4, (4, 5 / 16))
    add_set(shop, "V-4", "vee", "4", None, (4, 1 / 4), angle_deg=90)
    add_set(shop, "C-4", "corner", "4", 4, (4, 1 / 4))
    for profile in WORK:
        station_listed(shop, profile, (6, 5 / 16))
    in_inches, in_metric = (replace(ask(shop, one), understood="") for one in (inch, metric))
    assert in_inches.as_json() == in_metric.as_json()
    assert in_inches.picks
    assert ask(shop, metric).understood == in_inches.phrase


def test_a_set_that_is_locked_is_not_taken(shop: Session) -> None:
    add_set(shop, "N-1", "notch", "4", 4, (4, 5 / 16))
    station_listed(shop, "notch", (6, 5 / 16))
    change(shop, "UPDATE piece SET condition = 'locked' WHERE tag = 'N-1'")
    found = ask(shop, "notch 4 x 3 thru 1/4 A36")
    assert not found.picks
    assert stops(found.near_misses[0])["condition"].final


def test_the_hits_of_a_corner_are_made_by_the_set_that_they_are_laid_out_for(shop: Session) -> None:
    """A 6 x 6 set would take 5 x 4 at one stroke, and the station's list ends at 4 in."""
    add_set(shop, "C-4", "corner", "4", 4, (4, 3 / 16))
    add_set(shop, "C-6", "corner", "6", 6, (6, 3 / 16))
    station_listed(shop, "corner", (4, 3 / 16))
    found = ask(shop, "corner 5 x 4 thru 3/16 A36")
    assert tags(found) == ["C-4"]
    assert len(hits(found)) == 2
    change(shop, "UPDATE piece SET condition = 'broken' WHERE tag = 'C-4'")
    assert not ask(shop, "corner 5 x 4 thru 3/16 A36").picks
