"""A broken piece is out of use at once, and what stood with it until somebody has looked."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from crib.desk.edges.broke import BreakRequest, Broke, report_break
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import BadInput, BadPhrase, Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
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
        ("it cracked", "cracked", "broken"),
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
    words = "shattered thru 1/2 AR400".split()
    report = report_break(shop, BreakRequest("P-1", words, note="first  hit"))
    assert report.ask.endswith("AR400")
    note = shop.value("SELECT note FROM entry WHERE action = 'break'")
    assert note == "shattered; first hit"


@pytest.mark.parametrize("text", ["", "blunt", "thru 1/2 A36"])
def test_it_must_be_said_what_happened(shop: Session, text: str) -> None:
    with pytest.raises(BadPhrase, match="what happened"):
        broke(shop, "P-1", text)
    assert piece_by_tag(shop, "P-1").condition == "sound"


@pytest.mark.parametrize("text", ["snapped", "it got lost", "cracked thru 1/2 A36"])
def test_a_word_that_is_not_understood_is_pointed_at(shop: Session, text: str) -> None:
    words = text.split()
    for at in range(len(words) + 1):
        said = " ".join((*words[:at], "banana", *words[at:]))
        with pytest.raises(BadInput, match="banana"):
            broke(shop, "P-1", said)
    assert piece_by_tag(shop, "P-1").condition == "sound"


def test_two_things_cannot_have_happened_at_once(shop: Session) -> None:
    with pytest.raises(BadPhrase, match="cannot place 'chipped'") as caught:
        broke(shop, "P-1", "snapped chipped")
    assert caught.value.text[caught.value.start : caught.value.end] == "chipped"


@pytest.mark.parametrize("tag", ["p-1", "P1", "p 1", "P-001"])
def test_a_tag_is_taken_as_it_is_said(shop: Session, tag: str) -> None:
    assert broke(shop, tag, "snapped through 1/2 A36").tag == "P-1"


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


def test_the_next_best_pick_is_offered_without_the_broken_and_the_waiting(shop: Session) -> None:
    found = broke(shop, "P-1", "snapped thru 3/8 A36")
    assert found.instead is not None
    # D-1 stood under it and waits to be looked at; D-0201 is its like in a drawer.
    tags = [one.tag for one in found.instead.pieces]
    assert tags == ["P-0137", "D-0201"]
    assert found.instead.station.endswith("/ punch")
    assert shop.value("SELECT count(*) FROM want") == 0


def test_when_nothing_else_serves_there_is_no_pick(shop: Session) -> None:
    found = broke(shop, "P-0140", "snapped thru 3/8 A36")
    assert (found.ask, found.instead) == ("hole 7/8 thru 3/8 A36", None)


def test_a_hole_that_must_not_be_punched_again_is_not_offered(shop: Session) -> None:
    """13/16 through 1-1/4: too thin a punch for it, which may be why it broke."""
    assert broke(shop, "P-1", "snapped thru 1-1/4 A36").instead is None


def test_a_replacement_is_ordered_by_the_kinds_sizes(shop: Session) -> None:
    found = broke(shop, "P-1", "snapped thru 1/2 A36").order
    assert found.text.startswith("1 punch, round 13/16 in, seat A: head ")
    assert "to punch 1/2 in A36, for Ironworker 1 / punch and Ironworker 2 / punch" in found.text


def test_a_die_is_ordered_over_its_punch(shop: Session) -> None:
    found = broke(shop, "D-1", "cracked thru 1/2").order
    words = "1 die, round 27/32 in opening (total clearance 1/32 in over a 13/16 in punch)"
    assert found.text.startswith(words)
    alone = broke(shop, "D-0202", "cracked").order
    assert "(the opening itself, add no clearance)" in alone.text


@pytest.mark.parametrize(
    ("role", "columns", "text"),
    [
        ("blade", {"shape": "special", "profile": "flat", "edges": 4}, "1 flat shear blade, "),
        (
            "set",
            {"shape": "rectangle", "profile": "notch", "depth_mm": 76.2},
            "1 notch set, punch and die sides matched as one set, rectangular,"
            " 3 in along the edge, at least 3 in deep, ",
        ),
        ("stripper", {}, "1 stripper"),
        ("attachment", {"shape": "special"}, "1 attachment"),
    ],
)
def test_whatever_breaks_has_its_order_line(
    shop: Session, role: str, columns: dict[str, Any], text: str
) -> None:
    add_piece(shop, "X-1", add_kind(shop, role=role, width="3", name="our own", **columns))
    found = broke(shop, "X-1", "cracked").order
    assert found.text.startswith(text)
    assert "as our 'our own'" in found.text


@pytest.mark.parametrize(
    ("profile", "ask"),
    [
        ("notch", "notch 2 x 3 thru 1/4 A36"),
        ("vee", "vee 2 thru 1/4 A36"),
        ("corner", "corner 2 x 3 thru 1/4 A36"),
        ("saddle", ""),
    ],
)
def test_a_set_has_the_phrase_of_what_it_makes(shop: Session, profile: str, ask: str) -> None:
    kind = add_kind(shop, role="set", width="2", shape="rectangle", profile=profile, depth_mm=76.2)
    add_piece(shop, "S-1", kind)
    assert broke(shop, "S-1", "chipped thru 1/4").ask == ask


def test_a_worse_report_is_taken_after_a_lighter_one(shop: Session) -> None:
    for happened in ("chipped", "cracked", "snapped"):
        broke(shop, "P-1", happened)
    for happened in ("chipped", "cracked", "snapped", "shattered"):
        with pytest.raises(Refused, match="P-1 is broken already"):
            broke(shop, "P-1", happened)
