"""What is asked of the desk, pieces that a person names, and the answer for programs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from crib.desk.answer.asked import read_asked
from crib.desk.answer.find import find
from crib.desk.answer.rank import EACH_SET, MOST_PICKS
from crib.errors import AskBack, BadPhrase, Refused, UnknownName
from crib.features.common.case import Circumstances
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import StationRecord
from tests.desk.asks import (
    HOLE,
    ask,
    change,
    first,
    one_station,
    pair,
    stops,
)
from tests.desk.rows import every_row
from tests.features.bench import IN
from tests.shop import add_kind, add_piece, insert, small_shop


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


# What is asked, and by whom.


def test_the_job_and_how_many_may_stand_in_the_phrase() -> None:
    facts = read_asked(f"{HOLE} for 300", IN, Circumstances(job=" J-1  b ")).facts
    assert (facts.quantity, facts.job) == (300, "J-1 b")
    assert read_asked(f"{HOLE} ream for 40 holes", IN, Circumstances()).ask.as_json()["to_ream"]


@pytest.mark.parametrize(
    ("tail", "at_fault", "message"),
    [
        ("for 0", "0", "at least one hole"),
        ("for many", "many", "how many holes: count 'many' cannot be read"),
        ("for 1.5", "1.5", "whole number"),
        ("for", "", "how many holes, the phrase ends here"),
        ("for 300 tomorrow", "tomorrow", "cannot place"),
    ],
)
def test_a_count_that_cannot_be_read_is_pointed_at(tail: str, at_fault: str, message: str) -> None:
    text = f"{HOLE} {tail}"
    with pytest.raises(BadPhrase, match=message) as caught:
        read_asked(text, IN, Circumstances())
    start = text.rindex(at_fault) if at_fault else len(text)
    assert (caught.value.start, caught.value.end) == (start, start + len(at_fault))


def test_wrong_requests_change_nothing(shop: Session) -> None:
    before = every_row(shop)
    for phrase, facts, chosen, by, error in (
        ("hole 13/16", Circumstances(), (), "", BadPhrase),
        ("bolt 1 thru 1/2", Circumstances(), (), "", AskBack),
        (HOLE, Circumstances(code="BS 7"), (), "", UnknownName),
        ("hole 2 thru 1", Circumstances(), (), "nobody", UnknownName),
        (HOLE, Circumstances(), ("P-9999",), "", UnknownName),
    ):
        with pytest.raises(error, match=r"\w"):
            find(shop, phrase, facts, chosen=chosen, by=by)
    assert every_row(shop) == before


def test_an_unknown_code_is_refused_before_the_shelf_is_read(bare: Session) -> None:
    with pytest.raises(UnknownName, match="unknown code 'AISC'; known: AISC 360"):
        ask(bare, code="AISC")
    assert not ask(bare, code="as4100").serves


def test_a_material_that_was_not_named_is_told(shop: Session) -> None:
    assert ask(shop, "hole 13/16 thru 3/8").notes == (
        "no material named: taken as A36 (rule material.default)",
    )
    assert ask(shop).notes == ()


# Pieces that a person names.


def test_chosen_pieces_are_used_when_they_will_do(shop: Session) -> None:
    found = ask(shop, HOLE, "d-0202")
    assert {one.tools[1].tag for one in found.picks} == {"D-0202"}
    assert first(ask(shop, HOLE, "P-0137", "D-0202")) == "P-0137+D-0202"


def test_chosen_pieces_that_will_not_do_get_what_would(shop: Session) -> None:
    found = ask(shop, HOLE, "P-0140")
    assert not found.serves
    assert "size" in stops(found.near_misses[0])
    assert found.workarounds[0].text == "take P-0137 and D-0201 in Ironworker 1 / punch"
    assert found.workarounds[0].ask == HOLE
    assert (found.chosen, found.funnel, found.order) == (("P-0140",), (), ())


def test_a_chosen_piece_without_a_partner_is_judged_all_the_same(bare: Session) -> None:
    add_piece(bare, "P-1", add_kind(bare, role="punch", width="13/16", seat_id=1))
    found = ask(bare, HOLE, "P-1")
    assert stops(found.near_misses[0])["die"].text == "no die at hand to go with it"


def test_a_chosen_piece_of_another_role_is_refused(shop: Session) -> None:
    add_piece(shop, "S-0001", add_kind(shop, role="stripper", width="1", shape=""))
    with pytest.raises(Refused, match="S-0001 is a stripper; this ask takes punch and die"):
        ask(shop, HOLE, "S-0001")


def test_a_miss_with_chosen_pieces_is_not_remembered(shop: Session) -> None:
    find(shop, HOLE, chosen=("P-0140",))
    assert shop.value("SELECT count(*) FROM want") == 0


# For programs.

PICK = {
    "machine": str,
    "station": str,
    "hits": int,
    "force_kn": float,
    "rated_kn": float,
    "load": float,
    "clearance_mm": float,
    "pieces": list,
    "findings": list,
}
FINDING = {"rule", "verdict", "value", "limit", "unit", "text"}


def check_pick(pick: dict[str, Any]) -> None:
    for key, sort in PICK.items():
        assert pick[key] is None or isinstance(pick[key], sort), key
    for piece in pick["pieces"]:
        assert {"role", "tag", "place", "edge"} <= set(piece)
    for finding in pick["findings"]:
        assert set(finding) >= FINDING
        assert finding["verdict"] in ("ok", "caution", "refuse")


def test_the_answer_for_programs_has_its_stable_keys_in_si(shop: Session) -> None:
    made = json.loads(json.dumps(ask(shop).as_json(), default=str))
    assert {"ask", "picks", "near_misses", "order", "workarounds"} <= set(made)
    assert (
        made["ask"]
        | {
            "feature": "hole",
            "shape": "round",
            "size_mm": 20.6375,
            "thickness_mm": 9.525,
            "material": "A36",
        }
        == made["ask"]
    )
    for pick in made["picks"]:
        check_pick(pick)
    best = made["picks"][0]
    assert best["force_kn"] == pytest.approx(217.0, abs=0.5)
    assert best["rated_kn"] == pytest.approx(444.8, abs=0.05)
    assert best["load"] == pytest.approx(best["force_kn"] / best["rated_kn"], abs=1e-5)
    assert best["clearance_mm"] == 0.79375
    assert [piece["edge"] for piece in best["pieces"]] == ["sharp", "sharp"]


def test_a_miss_for_programs_has_the_same_shape_and_nulls_for_what_is_not_known(
    shop: Session,
) -> None:
    change(shop, "UPDATE station SET rated_force_n = NULL")
    made = json.loads(json.dumps(ask(shop).as_json(), default=str))
    assert made["picks"] == []
    for miss in made["near_misses"]:
        check_pick(miss)
        assert any(finding["verdict"] == "refuse" for finding in miss["findings"])
    assert (made["near_misses"][0]["rated_kn"], made["near_misses"][0]["load"]) == (None, None)
    for way in made["workarounds"]:
        assert set(way) == {"text", "ask", "act"}


def test_an_order_for_programs_says_role_quantity_text_and_why(bare: Session) -> None:
    made = json.loads(json.dumps(ask(bare).as_json(), default=str))
    assert [line["role"] for line in made["order"]] == ["punch", "die"]
    for line in made["order"]:
        assert {"role", "quantity", "text", "because"} <= set(line)
        assert line["quantity"] == 1


# How many are shown.


def test_at_most_a_few_copies_of_a_pair_are_shown_and_not_too_many_picks(bare: Session) -> None:
    pair(bare)
    kind = bare.value("SELECT kind_id FROM piece WHERE tag = 'P-1'")
    for number in range(9):
        add_piece(bare, f"P-1{number}", kind)
    assert len(ask(bare).picks) == EACH_SET
    for number in range(12):
        insert(bare, StationRecord, machine_id=1, name=f"turret {number}", rated_force_n=400_000.0)
    change(bare, "INSERT INTO station_seat (station_id, seat_id) SELECT id, 1 FROM station"
                 " WHERE id > 1")  # fmt: skip
    assert len(ask(bare).picks) == MOST_PICKS
