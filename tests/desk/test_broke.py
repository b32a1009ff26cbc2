"""A broken piece is out of use at once, and what stood with it until somebody has looked."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.desk.broke import BreakRequest, Broke, report_break
from crib.desk.log import LogOptions, log_words
from crib.desk.look import LookRequest, record_look
from crib.errors import BadPhrase, Refused, UnknownName
from crib.stock import ledger
from crib.stock.people import person_id
from crib.stock.pieces import piece_by_tag
from crib.stock.session import Session
from tests.shop import add_kind, add_piece, small_shop

STATION = "Ironworker 1 / punch"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    add_piece(session, "P-1", piece_by_tag(session, "P-0137").kind_id, place=STATION)
    add_piece(session, "D-1", piece_by_tag(session, "D-0201").kind_id, place=STATION)
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def broke(session: Session, tag: str, text: str) -> Broke:
    return report_break(session, BreakRequest(tag, text.split()))


@pytest.mark.parametrize(
    ("text", "happened", "condition"),
    [
        ("snapped", "snapped", "broken"),
        ("Chip", "chipped", "broken"),
        ("shattered!", "shattered", "broken"),
        ("it cracked at the head", "cracked", "broken"),
        ("lost", "lost", "lost"),
    ],
)
def test_what_happened_decides_the_condition(
    shop: Session, text: str, happened: str, condition: str
) -> None:
    found = broke(shop, "P-0137", text)
    assert (found.happened, found.condition) == (happened, condition)
    assert piece_by_tag(shop, "P-0137").condition == condition


def test_the_die_under_it_is_to_be_inspected(shop: Session) -> None:
    found = broke(shop, "P-1", "snapped thru 1/2 A36")
    assert found.to_inspect == ("D-1",)
    assert "clear the fragments" in found.say[0]
    assert piece_by_tag(shop, "D-1").condition == "inspect"
    record_look(shop, LookRequest("D-1", inspected=True))
    assert piece_by_tag(shop, "D-1").condition == "sound"


def test_a_cracked_die_has_its_punch_inspected(shop: Session) -> None:
    found = broke(shop, "D-1", "cracked thru 1/2")
    assert found.to_inspect == ("P-1",)
    assert found.ask == "hole 13/16 thru 1/2 A36"


def test_a_lost_piece_leaves_the_die_alone(shop: Session) -> None:
    found = broke(shop, "P-1", "lost")
    assert (found.to_inspect, found.say) == ((), ())
    assert piece_by_tag(shop, "D-1").condition == "sound"


def test_the_phrase_for_a_replacement_takes_the_plate_that_was_said(shop: Session) -> None:
    assert broke(shop, "P-1", "snapped thru 1/2 A572 Gr 50").ask == "hole 13/16 thru 1/2 A572-50"
    entry = shop.row("SELECT material, thickness_mm, note FROM entry WHERE action = 'break'")
    assert entry is not None
    assert tuple(entry) == ("A572-50", 12.7, "snapped")


def test_or_the_plate_of_its_last_strokes(shop: Session) -> None:
    log_words(shop, "P-1 40 thru 3/8 304".split(), LogOptions())
    assert broke(shop, "P-1", "snapped").ask == "hole 13/16 thru 3/8 304"


def test_without_a_plate_there_is_no_phrase(shop: Session) -> None:
    assert broke(shop, "P-1", "snapped").ask == ""


@pytest.mark.parametrize(
    ("shape", "long", "ask"),
    [
        ("square", "", "square 1/2 thru 1/4 A36"),
        ("hexagon", "", "hexagon 1/2 thru 1/4 A36"),
        ("rectangle", "1", "rectangle 1 x 1/2 thru 1/4 A36"),
        ("obround", "1-1/2", "slot 1/2 x 1-1/2 thru 1/4 A36"),
    ],
)
def test_every_shape_has_its_phrase(shop: Session, shape: str, long: str, ask: str) -> None:
    kind = add_kind(shop, role="punch", width="1/2", long=long, shape=shape)
    add_piece(shop, "P-2", kind)
    assert broke(shop, "P-2", "snapped thru 1/4").ask == ask


def test_wear_plate_is_a_likely_place_to_break_and_is_taken(shop: Session) -> None:
    assert broke(shop, "P-1", "shattered thru 1/2 AR400 first hit").ask.endswith("AR400")
    note = shop.value("SELECT note FROM entry WHERE action = 'break'")
    assert note == "shattered; first hit"


@pytest.mark.parametrize("text", ["", "blunt", "thru 1/2 A36"])
def test_it_must_be_said_what_happened(shop: Session, text: str) -> None:
    with pytest.raises(BadPhrase, match="what happened"):
        broke(shop, "P-1", text)
    assert piece_by_tag(shop, "P-1").condition == "sound"


def test_an_unknown_material_is_refused(shop: Session) -> None:
    with pytest.raises(UnknownName, match="unknown material 'A63'"):
        broke(shop, "P-1", "snapped thru 1/2 A63")


@pytest.mark.parametrize(
    ("first", "then"), [("snapped", "chipped"), ("lost", "snapped"), ("lost", "lost")]
)
def test_a_second_report_changes_nothing(shop: Session, first: str, then: str) -> None:
    broke(shop, "P-1", first)
    with pytest.raises(Refused, match="already; nothing was changed"):
        broke(shop, "P-1", then)


def test_a_broken_piece_may_get_lost(shop: Session) -> None:
    broke(shop, "P-1", "snapped")
    assert broke(shop, "P-1", "lost").condition == "lost"


def test_a_wrong_report_is_taken_back_whole(shop: Session) -> None:
    broke(shop, "P-1", "snapped")
    act = shop.value("SELECT act FROM entry WHERE action = 'break'")
    ids = [row[0] for row in shop.rows("SELECT id FROM entry WHERE act = ?", (act,))]
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), ids, "wrong tag")
    assert piece_by_tag(shop, "P-1").condition == "sound"
    assert piece_by_tag(shop, "D-1").condition == "sound"
