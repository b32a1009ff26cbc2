"""How far in a hole is and which way a slot lies, against the throat and the keys of the pair."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.desk.answer.find import Found
from crib.errors import BadPhrase
from crib.features.common.findings import Finding
from crib.features.common.plate_phrase import Reading
from crib.features.registry import read_phrase
from crib.stock.engine.session import Session
from crib.trade.common.verdicts import Verdict
from crib.trade.shop.shop_rules import Rules
from tests.desk.asks import ask, say, stops
from tests.shop import add_kind, add_piece, add_seat, add_station, new_crib

RULES = Rules.defaults().with_changes({"crib.unit": "mm"})
SLOT = "slot 22 x 50 thru 8 S275"
HOLE = "hole 22 thru 8 S275"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """One station with a throat of 300 mm, a round pair, and a slot pair keyed across only."""
    made = new_crib(tmp_path / "throat.crib", unit="mm")
    seat = add_seat(made, "A", die_diameter_mm=104.0, body_diameter_mm=60.0, keyed=True)
    add_station(made, "Ironworker 1", "main punch", 450_000.0, [seat], throat_mm=300.0)
    add_pair(made, seat, "22mm", "23mm", "")
    add_pair(made, seat, "22mm", "23mm", "90", long=("50mm", "51mm"))
    yield made
    made.close()


def add_pair(
    made: Session, seat: int, punch: str, die: str, keys: str, long: tuple[str, str] = ("", "")
) -> None:
    shape = "obround" if keys else "round"
    for role, width, length in (("punch", punch, long[0]), ("die", die, long[1])):
        kind = add_kind(
            made, role=role, width=width, long=length, shape=shape, key_angles=keys, seat_id=seat
        )
        add_piece(made, f"{role}-{shape}".upper(), kind)


def told(found: Found, rule: str) -> Finding:
    return say((*found.picks, *found.near_misses)[0], rule)


@pytest.mark.parametrize(
    ("tail", "reach_mm", "verdict"),
    [
        ("edge 300", 300.0, "ok"),
        ("edge 301", 301.0, "refuse"),
        ("edge 500 end 700", 500.0, "refuse"),
        ("edge 500 end 200", 200.0, "ok"),
        ("end 200 edge 50", 50.0, "ok"),
    ],
)
def test_the_nearest_side_that_was_said_must_lie_within_the_throat(
    shop: Session, tail: str, reach_mm: float, verdict: Verdict
) -> None:
    found = ask(shop, f"{HOLE} {tail}")
    throat = told(found, "throat")
    assert (throat.value, throat.limit, throat.verdict) == (reach_mm, 300.0, verdict)
    assert found.serves is (verdict == "ok")


def test_a_throat_that_nobody_entered_is_a_caution(shop: Session) -> None:
    shop.connection.execute("UPDATE station SET throat_mm = NULL")
    throat = told(ask(shop, f"{HOLE} edge 50"), "throat")
    assert throat.verdict == "caution"
    assert "must reach 50 mm, and its throat is not entered" in throat.text


@pytest.mark.parametrize(
    ("tail", "reach_mm", "verdict"),
    [
        ("edge 50 end 500 sideways", 500.0, "refuse"),
        ("edge 50 end 200 sideways", 200.0, "ok"),
        ("edge 500 end 50 sideways", 50.0, "ok"),
        ("edge 40 sideways", 40.0, "ok"),
    ],
)
def test_a_slot_lies_in_the_throat_as_its_keys_let_it(
    shop: Session, tail: str, reach_mm: float, verdict: Verdict
) -> None:
    """Keyed across: only a side that the slot's narrow side faces may go in."""
    shop.connection.execute("UPDATE kind SET key_angles = '90' WHERE shape = 'obround'")
    throat = told(ask(shop, f"{SLOT} {tail}"), "throat")
    assert (throat.value, throat.verdict) == (reach_mm, verdict)


def test_where_the_side_that_goes_in_was_not_said_it_is_asked_for(shop: Session) -> None:
    throat = told(ask(shop, f"{SLOT} edge 50"), "throat")
    assert throat.verdict == "caution"
    assert "does not lie with the edge to the throat: say the other distance" in throat.text


@pytest.mark.parametrize("lying", ["along", "across"])
def test_a_direction_that_was_said_is_held_against_the_keys(shop: Session, lying: str) -> None:
    found = ask(shop, f"{SLOT} {lying}")
    assert found.serves is (lying == "across")
    if lying == "along":
        assert "not keyed to lie along the throat" in stops(found.near_misses[0])["direction"].text
    shop.connection.execute("UPDATE kind SET key_angles = '0 90' WHERE shape = 'obround'")
    assert told(ask(shop, f"{SLOT} {lying}"), "direction").verdict == "ok"


@pytest.mark.parametrize(
    "phrase",
    [
        "slot 22 x 50 across thru 8 S275 edge 50",
        "slot 22 x 50 thru 8 across S275 edge 50",
        "slot 22 x 50 thru 8 S275 edge 50 across the throat",
        "across throat slot 22 x 50 thru 8 S275 edge 50",
    ],
)
def test_it_may_be_said_anywhere_behind_the_sizes(phrase: str) -> None:
    reading = Reading(RULES)
    if phrase.startswith("across"):
        with pytest.raises(BadPhrase, match="not a feature"):
            read_phrase(phrase, reading)
        return
    read = read_phrase(phrase, reading)
    assert read.phrase("mm") == "slot 22mm x 50mm thru 8mm S275 across edge 50mm"
    assert read.as_json()["lying"] == "across"


@pytest.mark.parametrize(
    ("phrase", "message"),
    [
        ("hole 22 thru 8 across", "'across' is for a hole that is longer than wide"),
        ("square 22 thru 8 along", "'along' is for a hole that is longer than wide"),
        ("slot 22 x 50 thru 8 along across", "how it lies is said twice"),
        ("slot 22 x 50 along 8", "cannot place '8'"),
        ("hole 22 thru 8 edge 40 p1", "'p1'"),
        ("hole 22 thru 8 pitch 60 p1 p2", "'p2'"),
    ],
)
def test_a_direction_that_means_nothing_is_pointed_at(phrase: str, message: str) -> None:
    with pytest.raises(BadPhrase, match=message):
        read_phrase(phrase, Reading(RULES))


@given(
    edge=st.floats(30, 900),
    end=st.floats(30, 900),
    sideways=st.tuples(st.booleans(), st.booleans()),
    lying=st.sampled_from(["", " along", " across"]),
    load=st.sampled_from(["", " p1", " p2"]),
)
def test_what_is_said_of_its_place_reads_back(
    edge: float, end: float, sideways: tuple[bool, bool], lying: str, load: str
) -> None:
    said = [" sideways" if one else "" for one in sideways]
    phrase = (
        f"slot 22 x 50 thru 8 S275{lying} edge {edge:.3f}{said[0]} end {end:.3f}{said[1]}"
        f" pitch 70{load}"
    )
    reading = Reading(RULES)
    read = read_phrase(phrase, reading)
    assert read_phrase(read.phrase("mm"), reading) == read


def test_every_hit_of_a_slot_in_several_must_be_reached(shop: Session) -> None:
    """22 x 77.5 from 22 x 50: the two hits are 13.75 mm beside the middle."""
    shop.connection.execute("UPDATE kind SET key_angles = '0' WHERE shape = 'obround'")
    long = "slot 22 x 77.5 thru 8 S275"
    assert told(ask(shop, f"{long} edge 286.25"), "throat").value == pytest.approx(300.0)
    assert ask(shop, f"{long} edge 286.25").serves
    assert not ask(shop, f"{long} edge 287").serves
    shop.connection.execute("UPDATE kind SET key_angles = '90' WHERE shape = 'obround'")
    assert told(ask(shop, f"{long} edge 287 sideways"), "throat").value == pytest.approx(287.0)


def test_a_square_for_a_slots_middle_must_let_the_slot_lie_as_it_is_said(shop: Session) -> None:
    """Round ends and a square between; keyed askew it turns the whole piece askew."""
    seat = int(shop.value("SELECT id FROM seat"))
    shop.connection.execute("UPDATE piece SET condition = 'lost' WHERE tag LIKE '%OBROUND'")
    for role, width in (("punch", "22mm"), ("die", "23mm")):
        kind = add_kind(shop, role=role, width=width, shape="square", key_angles="0", seat_id=seat)
        add_piece(shop, f"{role}-square".upper(), kind)
    phrase = "slot 22 x 48 thru 6 S275 across"
    assert ask(shop, phrase).serves
    shop.connection.execute("UPDATE kind SET key_angles = '45' WHERE shape = 'square'")
    assert ask(shop, phrase.removesuffix(" across")).serves
    assert not ask(shop, phrase).serves
