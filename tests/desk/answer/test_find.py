"""Which die for this hole: what is taken and what never is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from crib.desk.answer.find import find
from crib.stock.engine.session import Session
from crib.units import N_PER_US_TON
from tests.desk.asks import (
    HOLE,
    ask,
    change,
    enter,
    measure,
    move,
    one_station,
    pair,
    rule,
    say,
    stops,
    tags,
)
from tests.desk.rows import every_row
from tests.shop import add_kind, add_piece, add_seat, add_station, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """The small shop."""
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[Session]:
    """One station and an empty shelf."""
    session = one_station(tmp_path / "bare.crib")
    yield session
    session.close()


def test_a_pair_a_station_and_its_places_are_named(shop: Session) -> None:
    found = ask(shop)
    assert found.serves
    best = found.picks[0]
    assert best.tooling.station.label == "Ironworker 1 / punch"
    assert [(tool.role, tool.tag, tool.place) for tool in best.tools] == [
        ("punch", "P-0137", "A1"),
        ("die", "D-0201", "A2"),
    ]
    assert (found.order, found.near_misses) == ((), ())
    assert (found.workarounds, found.funnel) == ((), ())


def test_a_hit_remembers_nothing(shop: Session) -> None:
    before = every_row(shop)
    assert find(shop, HOLE).serves
    assert every_row(shop) == before


# What must never be used.


def test_a_chosen_die_not_bigger_than_its_punch_is_refused_finally(shop: Session) -> None:
    kind = add_kind(shop, role="die", width="13/16", seat_id=1)
    add_piece(shop, "D-0999", kind)
    for punch, phrase in (("P-0140", "hole 7/8 thru 3/8 A36"), ("P-0137", HOLE)):
        found = ask(shop, phrase, punch, "D-0999")
        assert not found.serves
        stop = stops(found.near_misses[0])["clearance"]
        assert stop.final
        assert "measure both again; never run this pair" in stop.text


def test_a_mis_keyed_pair_is_refused_finally(bare: Session) -> None:
    shape: dict[str, Any] = {"shape": "rectangle", "seat_id": 1}
    punch = add_kind(bare, role="punch", width="1/2", long="1", key_angles="0", **shape)
    die = add_kind(bare, role="die", width="17/32", long="1-1/32", key_angles="90", **shape)
    add_piece(bare, "P-1", punch)
    add_piece(bare, "D-1", die)
    found = ask(bare, "rectangle 1/2 x 1 thru 1/4")
    assert not found.serves
    assert stops(found.near_misses[0])["key"].final
    add_piece(bare, "D-2", add_kind(bare, role="die", width="17/32", long="1-1/32",
                                    key_angles="0 90", **shape))  # fmt: skip
    assert tags(ask(bare, "rectangle 1/2 x 1 thru 1/4")) == ["P-1+D-2"]


@pytest.mark.parametrize("condition", ["locked", "broken", "lost"])
def test_a_piece_that_must_not_be_used_is_refused_finally(shop: Session, condition: str) -> None:
    enter(shop, "P-0137", "break", condition=condition)
    found = ask(shop)
    assert not found.serves
    stop = stops(found.near_misses[0])["condition"]
    assert stop.final
    assert stop.text == f"P-0137 is {condition}: it must not be used"
    chosen = ask(shop, HOLE, "P-0137")
    assert stops(chosen.near_misses[0])["condition"].final


def test_a_piece_that_waits_for_a_look_is_refused_until_it_is_looked_at(shop: Session) -> None:
    enter(shop, "P-0137", "break", condition="inspect")
    found = ask(shop)
    assert not found.serves
    assert not stops(found.near_misses[0])["condition"].final
    assert "inspect P-0137" in found.workarounds[0].text
    enter(shop, "P-0137", "look", condition="sound")
    assert ask(shop).serves


def test_an_unknown_rating_is_refused_and_its_plate_asked_for(tmp_path: Path) -> None:
    shop = one_station(tmp_path / "s.crib", None)
    pair(shop)
    found = ask(shop)
    assert not found.serves
    assert set(stops(found.near_misses[0])) == {"force"}
    text = "Ironworker 1 / punch has no rated force: enter it from the plate"
    assert found.workarounds[0].text.startswith(text)
    assert found.order == ()
    shop.close()


def test_a_tool_of_an_unknown_seat_is_refused(bare: Session) -> None:
    pair(bare)
    change(bare, "UPDATE kind SET seat_id = NULL WHERE role = 'die'")
    found = ask(bare)
    assert not found.serves
    assert stops(found.near_misses[0])["seat"].text.startswith("the die has no seat")


def test_a_machine_out_of_service_is_not_used(shop: Session) -> None:
    change(shop, "UPDATE machine SET in_service = 0 WHERE name = 'Ironworker 1'")
    assert {one.tooling.station.machine for one in ask(shop).picks} == {"Ironworker 2"}
    change(shop, "UPDATE machine SET in_service = 0")
    found = ask(shop)
    assert not found.serves
    assert "no station in service does punch work" in found.notes


def test_a_station_that_does_other_work_is_not_used(shop: Session) -> None:
    change(shop, "UPDATE station SET does = 'notch'")
    assert not ask(shop).serves


# Seats, adapters, ratings.


def adapted(shop: Session, rated_n: float | None) -> None:
    """A die of seat B for a station of seat A, and an adapter that sits in A and presents B."""
    seat_b = add_seat(shop, "B", die_diameter_mm=48.0)
    add_piece(shop, "P-1", add_kind(shop, role="punch", width="13/16", seat_id=1))
    add_piece(shop, "D-1", add_kind(shop, role="die", width="27/32", seat_id=seat_b))
    adapter = add_kind(
        shop,
        role="die_adapter",
        width="2",
        shape="",
        seat_id=1,
        presents_seat_id=seat_b,
        rated_force_n=rated_n,
        added_height_mm=0.0,
    )
    add_piece(shop, "AD-1", adapter, place="A3")


def test_an_adapter_closes_the_chain_and_its_rating_governs(bare: Session) -> None:
    adapted(bare, 30 * N_PER_US_TON)
    (pick,) = ask(bare).picks
    assert [one.tag for one in pick.tooling.adapters.values()] == ["AD-1"]
    assert pick.figures["rated_kn"] == pytest.approx(50 * N_PER_US_TON / 1000)
    assert pick.figures["limit_kn"] == pytest.approx(30 * N_PER_US_TON / 1000)
    assert pick.figures["load"] == pytest.approx(24.4 / 30, abs=0.002)
    assert say(pick, "force").verdict == "caution"
    assert "at adapter AD-1" in say(pick, "force").text


def test_an_adapter_too_weak_or_not_rated_is_refused(bare: Session) -> None:
    adapted(bare, 20 * N_PER_US_TON)
    assert set(stops(ask(bare).near_misses[0])) == {"force"}
    change(bare, "UPDATE kind SET rated_force_n = NULL WHERE role = 'die_adapter'")
    found = ask(bare)
    assert not found.serves
    assert found.workarounds[0].text.startswith("adapter AD-1 has no rated force")


def test_an_adapter_that_is_away_closes_nothing(bare: Session) -> None:
    adapted(bare, 50 * N_PER_US_TON)
    move(bare, "AD-1", "Sam", "person")
    assert not ask(bare).serves


def test_an_adapter_for_the_other_side_closes_nothing(bare: Session) -> None:
    adapted(bare, 50 * N_PER_US_TON)
    change(bare, "UPDATE kind SET role = 'punch_adapter' WHERE role = 'die_adapter'")
    assert not ask(bare).serves


def test_what_is_taken_off_a_rating_counts(tmp_path: Path) -> None:
    shop = one_station(tmp_path / "s.crib", derate=0.5)
    pair(shop)
    pick = ask(shop).picks[0]
    assert pick.figures["load"] == pytest.approx(24.4 / 25, abs=0.002)
    assert say(pick, "force").verdict == "caution"
    change(shop, "UPDATE station SET derate = 0.6")
    assert set(stops(ask(shop).near_misses[0])) == {"force"}
    shop.close()


# Measured sizes, dedicated tools, pieces that are away.


def test_a_punch_measured_under_its_size_is_no_longer_offered_for_its_nominal_size(
    bare: Session,
) -> None:
    pair(bare)
    measure(bare, "P-1", 20.40)
    found = ask(bare)
    assert not found.serves
    assert "measured" in stops(found.near_misses[0])["size"].text
    assert ask(bare, "hole 20.4mm thru 3/8 A36").serves


def test_a_worn_die_counts_by_its_measure(bare: Session) -> None:
    pair(bare)
    measure(bare, "D-1", 25.0)
    found = ask(bare)
    assert not found.serves
    stop = stops(found.near_misses[0])["clearance"]
    assert stop.value == pytest.approx(25.0 - 20.6375)
    assert "45.8 % of thickness" in stop.text
    measure(bare, "D-1", 21.8)
    assert ask(bare).picks[0].figures["clearance_mm"] == pytest.approx(21.8 - 20.6375)


def test_a_die_measured_down_to_its_punch_is_refused_finally(bare: Session) -> None:
    pair(bare)
    measure(bare, "D-1", 20.6375)
    assert stops(ask(bare).near_misses[0])["clearance"].final


def test_a_measured_long_side_counts_though_the_width_was_not_measured(bare: Session) -> None:
    shape: dict[str, Any] = {"shape": "obround", "key_angles": "0", "seat_id": 1}
    punch = add_kind(bare, role="punch", width="13/16", long="1-1/4", **shape)
    die = add_kind(bare, role="die", width="27/32", long="1-9/32", **shape)
    add_piece(bare, "P-1", punch)
    add_piece(bare, "D-1", die)
    phrase = "slot 13/16 x 1-1/4 thru 3/8 A36"
    assert tags(ask(bare, phrase)) == ["P-1+D-1"]
    measure(bare, "P-1", None, measured_long_mm=31.0)
    assert not ask(bare, phrase).serves
    assert tags(ask(bare, "slot 13/16in x 31mm thru 3/8 A36")) == ["P-1+D-1"]


def test_a_piece_kept_for_stainless_serves_stainless_only(bare: Session) -> None:
    pair(bare)
    change(bare, "UPDATE piece SET dedicated_to = 'stainless'")
    found = ask(bare)
    assert not found.serves
    assert set(stops(found.near_misses[0])) == {"dedicated"}
    assert found.funnel[3].failed.endswith("kept for another material")
    assert ask(bare, "hole 13/16 thru 3/8 304").serves


@pytest.mark.parametrize("sort", ["grinder", "person", "outside"])
def test_a_piece_that_is_away_is_to_be_fetched(bare: Session, sort: str) -> None:
    pair(bare)
    move(bare, "D-1", "over there", sort)
    found = ask(bare)
    assert not found.serves
    assert set(stops(found.near_misses[0])) == {"place"}
    assert found.workarounds[0].text == "fetch D-1 from over there: it would serve"


def test_finish_work_does_not_get_an_edge_past_its_limit(bare: Session) -> None:
    pair(bare)
    enter(bare, "P-1", "strokes", quantity=6100, weighted_milli=6_100_000, strokes_edge=6100)
    assert say_edge(ask(bare)) == "caution"
    found = ask(bare, appearance="finish")
    assert not found.serves
    assert found.workarounds[0].text == "grind P-1: it would serve"


def say_edge(found: Any) -> str:
    edges = [one.verdict for one in found.picks[0].findings if one.rule == "edge"]
    return next((one for one in edges if one != "ok"), "ok")


def test_a_piece_ground_too_short_is_not_offered(bare: Session) -> None:
    pair(bare)
    change(bare, "UPDATE kind SET length_mm = 70, least_length_mm = 67 WHERE role = 'punch'")
    enter(bare, "P-1", "correct", length_mm=66.9)
    found = ask(bare)
    assert not found.serves
    assert set(stops(found.near_misses[0])) == {"length"}
    enter(bare, "P-1", "correct", length_mm=67.0)
    assert ask(bare).serves


def test_the_shops_own_figure_of_an_interval_decides_which_edge_is_dull(bare: Session) -> None:
    pair(bare)
    enter(bare, "P-1", "strokes", quantity=3000, weighted_milli=3_000_000, strokes_edge=3000)
    assert say_edge(ask(bare)) == "ok"
    rule(bare, "wear.interval_strokes", "2900")
    assert say_edge(ask(bare)) == "caution"


def test_two_seats_of_one_station_may_be_mixed(tmp_path: Path) -> None:
    shop = one_station(tmp_path / "s.crib")
    seat_b = add_seat(shop, "B")
    add_station(shop, "Ironworker 2", "punch", 400_000.0, [1, seat_b])
    add_piece(shop, "P-1", add_kind(shop, role="punch", width="13/16", seat_id=1))
    add_piece(shop, "D-1", add_kind(shop, role="die", width="27/32", seat_id=seat_b))
    assert [one.tooling.station.machine for one in ask(shop).picks] == ["Ironworker 2"]
    shop.close()
