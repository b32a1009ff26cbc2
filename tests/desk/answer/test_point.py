"""Picket ends from the question to the answer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import EnvelopePointRecord
from crib.units import N_PER_US_TON, mm_from_inches
from tests.desk.asks import ask, change, say, stops, tags
from tests.shop import add_kind, add_piece, add_seat, add_station, insert, new_crib


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A picket station, and sets for 3/4 square and 5/8 round bar."""
    shop = new_crib(tmp_path / "shop.crib")
    seat = add_seat(shop, "P")
    add_station(shop, "Ironworker 1", "picket", 30 * N_PER_US_TON, [seat], does="picket")
    for tag, width, shape in (("S-34", "3/4", "square"), ("S-58", "5/8", "round")):
        kind = add_kind(shop, role="set", width=width, shape=shape, profile="picket", seat_id=seat)
        add_piece(shop, tag, kind)
    yield shop
    shop.close()


def proven(shop: Session, size_mm: float) -> None:
    insert(
        shop,
        EnvelopePointRecord,
        station_id=1,
        operation="point",
        size_mm=size_mm,
        thickness_mm=size_mm,
    )


@pytest.mark.parametrize(
    ("phrase", "tag"),
    [("point 3/4", "S-34"), ("point 19.05mm", "S-34"), ("point round 5/8", "S-58")],
)
def test_the_set_of_exactly_the_bar_is_taken(shop: Session, phrase: str, tag: str) -> None:
    proven(shop, 25.4)
    found = ask(shop, phrase)
    assert tags(found) == [tag]
    best = found.picks[0]
    assert {one.verdict for one in best.findings} == {"ok"}
    assert best.figures["hits"] == 2
    assert "turn the bar by 90°" in say(best, "note").text


@pytest.mark.parametrize("phrase", ["point 5/8", "point 0.755in", "point round 3/4"])
def test_no_other_bar_is_forced_into_a_set(shop: Session, phrase: str) -> None:
    proven(shop, 25.4)
    found = ask(shop, phrase)
    assert not found.serves
    assert set(stops(found.near_misses[0])) == {"size"}


@pytest.mark.parametrize("material", ["Galvanized", "304", "S355", "6061-T6"])
def test_only_plain_mild_steel_is_pointed(shop: Session, material: str) -> None:
    proven(shop, 25.4)
    found = ask(shop, f"point 3/4 {material}")
    assert "material" in stops(found.near_misses[0])
    assert "point 3/4 A36" in [way.ask for way in found.workarounds]


def test_a_bar_that_nothing_lists_is_a_caution_while_the_chain_is_rated(shop: Session) -> None:
    force = say(ask(shop, "point 3/4").picks[0], "force")
    assert (force.verdict, "trial piece" in force.text) == ("caution", True)


def test_a_bar_that_nothing_lists_in_an_unrated_station_is_refused(shop: Session) -> None:
    change(shop, "UPDATE station SET rated_force_n = NULL")
    assert set(stops(ask(shop, "point 3/4").near_misses[0])) == {"force"}
    proven(shop, mm_from_inches(0.75))
    assert ask(shop, "point 3/4").serves


def test_a_bar_beyond_the_list_is_refused(shop: Session) -> None:
    proven(shop, 19.0)
    assert set(stops(ask(shop, "point 3/4").near_misses[0])) == {"envelope"}


def test_one_end_wears_the_set_by_its_hits(shop: Session) -> None:
    """3/4 over 3/8 is 2 a hit; two hits weigh 4."""
    best = ask(shop, "point 3/4", quantity=2000).picks[0]
    assert best.severities["set"] == pytest.approx(4.0)
    assert say(best, "lasting").text.startswith("dull at end 1,250 of 2,000")


def test_a_set_that_is_not_there_is_ordered_in_one_complete_line(shop: Session) -> None:
    found = ask(shop, "point 1/2", job="4711")
    (line,) = found.order
    assert line.text == (
        "1 set for picket ends, upper and lower matched, exactly 1/2 in square solid bar, the form"
        " of the end as on our drawing, seat P: die OD 54 mm (2.126 in), height 29 mm (1.142 in),"
        " for A36, for Ironworker 1 / picket, our job 4711"
    )
