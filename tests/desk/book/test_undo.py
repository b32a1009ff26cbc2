"""Taking entries back: by number, the last act, a whole act; and what cannot be."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import yes_to
from crib.desk.book.shop_rules import change_rule
from crib.desk.book.undo import undo_act, undo_entries, undo_last
from crib.desk.common.acting import stamp_for
from crib.desk.common.kinds import KindRequest
from crib.desk.common.reminder_levels import is_silent
from crib.desk.edges.grind import GrindRequest, record_grind
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.shelf.add import NewPiece, add_piece
from crib.desk.shelf.measure import Sizes, measure_piece
from crib.desk.shelf.move import Move, move_pieces
from crib.desk.shelf.retire import retire_piece
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import AskBack, BadValue, Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry, rebuild
from crib.stock.book.settings import set_rule, shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import every_row, nothing_changes
from tests.shop import small_shop

ALL = yes_to("whole-act")
NIGHT = "P-0137 400 thru 3/8 with D-0201 P-0140 9 thru 1/4"
ONE = "Ironworker 1 / punch"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def strokes(shop: Session, count: int, piece_id: int = 1, by: str = "") -> int:
    entry = NewEntry("strokes", piece_id, quantity=count, weighted_milli=1500 * count, severity=1.5)
    ledger.write(shop, stamp_for(shop, by), [entry])
    return newest(shop)


def newest(shop: Session) -> int:
    number: int = shop.value("SELECT max(id) FROM entry")
    return number


def test_an_entry_is_taken_back_and_the_totals_are_told_before_and_after(shop: Session) -> None:
    strokes(shop, 100)
    wrong = strokes(shop, 4000)
    undone = undo_entries(shop, [wrong], "typed a nought too many", by="nights")
    (piece,) = undone.pieces
    assert (piece.tag, piece.before.wear, piece.after.wear) == ("P-0137", 6150.0, 150.0)
    assert (piece.before.strokes_since_new, piece.after.strokes_since_new) == (4100, 100)
    assert [line.entry for line in undone.lines] == [wrong]
    assert undone.lines[0].taken_back_by == newest(shop)
    assert rebuild(shop) == []


def test_nothing_is_erased(shop: Session) -> None:
    wrong = strokes(shop, 4000)
    before = every_row(shop)["entry"]
    undo_entries(shop, [wrong], "wrong")
    assert every_row(shop)["entry"][: len(before)] == before


def test_a_grind_that_is_taken_back_brings_the_wear_back(shop: Session) -> None:
    strokes(shop, 1000)
    ledger.write(shop, stamp_for(shop, ""), [NewEntry("grind", 1, ground_um=250, length_mm=69.0)])
    grind = newest(shop)
    strokes(shop, 10)
    (piece,) = undo_entries(shop, [grind], "it was the other one").pieces
    assert (piece.before.wear, piece.after.wear) == (15.0, 1515.0)
    assert (piece.before.grinds, piece.after.grinds) == (1, 0)
    assert (piece.before.length_mm, piece.after.length_mm) == (69.0, None)


def test_the_last_act_is_that_of_the_person_who_asks(shop: Session) -> None:
    mine = strokes(shop, 10, by="bench 2")
    strokes(shop, 20, by="nights")
    assert [line.entry for line in undo_last(shop, "wrong", by="bench 2").lines] == [mine]
    with nothing_changes(shop), pytest.raises(UnknownName, match="bench 2 did nothing"):
        undo_last(shop, "wrong", by="bench 2")


def test_undoing_twice_takes_back_the_act_before(shop: Session) -> None:
    first, second = strokes(shop, 10, by="nights"), strokes(shop, 20, by="nights")
    assert undo_last(shop, "wrong", by="nights").lines[0].entry == second
    assert undo_last(shop, "wrong", by="nights").lines[0].entry == first


def test_a_whole_act_is_taken_back_by_its_name_or_by_one_of_its_entries(shop: Session) -> None:
    moved = move_pieces(shop, Move(("P-0137", "P-0140"), "A4"))
    assert len(undo_act(shop, moved.act, "wrong drawer", confirmed=ALL).pieces) == 2
    move_pieces(shop, Move(("P-0137", "P-0140"), "A3"))
    undone = undo_act(shop, str(newest(shop)), "wrong drawer", confirmed=ALL)
    assert [(one.tag, one.after.place) for one in undone.pieces] == [
        ("P-0137", "A1"),
        ("P-0140", "A2"),
    ]
    with nothing_changes(shop), pytest.raises(UnknownName, match=r"no act .* that still holds"):
        undo_act(shop, moved.act, "again")


def test_the_rest_of_an_act_is_taken_back_when_some_of_it_was(shop: Session) -> None:
    moved = move_pieces(shop, Move(("P-0137", "P-0140"), "A4"))
    assert undo_entries(shop, [newest(shop)], "that one not").left_in_act == 1
    assert [one.tag for one in undo_act(shop, moved.act, "wrong").pieces] == ["P-0137"]


def test_a_piece_that_was_brought_in_by_mistake_goes_out_of_use(shop: Session) -> None:
    made = KindRequest("punch", "round", "13/16", seat="A")
    entry = add_piece(shop, NewPiece("P-1", make=made, place="A1", strokes="5")).entry
    (piece,) = undo_entries(shop, [entry], "no such piece").pieces
    assert (piece.after.condition, piece.after.place, piece.after.wear) == ("retired", None, 0.0)
    assert rebuild(shop) == []


def test_an_opening_entry_with_later_ones_is_not_taken_back_alone(shop: Session) -> None:
    made = KindRequest("punch", "round", "13/16", seat="A")
    entry = add_piece(shop, NewPiece("P-1", make=made)).entry
    later = strokes(shop, 10, piece_by_tag(shop, "P-1").id)
    with nothing_changes(shop), pytest.raises(Refused, match="later entries"):
        undo_entries(shop, [entry], "no such piece")
    assert len(undo_entries(shop, [entry, later], "no such piece").lines) == 2


def test_a_retired_piece_comes_back(shop: Session) -> None:
    entry = retire_piece(shop, "P-0137", "thought it cracked").entry
    (piece,) = undo_entries(shop, [entry], "it was dirt").pieces
    assert (piece.before.condition, piece.after.condition) == ("retired", "sound")


def test_an_undo_that_would_leave_an_unsafe_pair_is_refused(shop: Session) -> None:
    move_pieces(shop, Move(("P-0140",), ONE))
    out = move_pieces(shop, Move(("P-0140",), "A2"))
    move_pieces(shop, Move(("D-0201",), ONE))
    with nothing_changes(shop), pytest.raises(Refused, match="would leave a station unsafe: die"):
        undo_act(shop, out.act, "it stayed in")


def test_an_undo_that_makes_a_mounted_die_too_small_is_refused(shop: Session) -> None:
    measure_piece(shop, "D-0202", Sizes(width_mm=22.6), "worn wide")
    wide = newest(shop)
    move_pieces(shop, Move(("P-0140", "D-0202"), ONE))
    with nothing_changes(shop), pytest.raises(Refused, match="is not bigger than punch P-0140"):
        undo_entries(shop, [wide], "read the wrong line")


def test_an_undo_that_brings_a_short_pair_nearer_is_taken_and_one_that_parts_it_is_not(
    shop: Session,
) -> None:
    move_pieces(shop, Move(("P-0137", "D-0201"), ONE))
    for length_mm in (66.0, 65.0, 64.0):
        entry = NewEntry("correct", 1, length_mm=length_mm)
        ledger.write(shop, stamp_for(shop, ""), [entry])
    assert piece_by_tag(shop, "P-0137").length_mm == 64.0
    undo_entries(shop, [newest(shop)], "misread")
    assert piece_by_tag(shop, "P-0137").length_mm == 65.0
    ledger.write(shop, stamp_for(shop, ""), [NewEntry("correct", 1, length_mm=69.0)])
    right = newest(shop)
    with nothing_changes(shop), pytest.raises(Refused, match="does not reach the die"):
        undo_entries(shop, [right], "misread")


def test_an_undo_may_mend_a_station_that_is_unsafe(shop: Session) -> None:
    move_pieces(shop, Move(("P-0140", "D-0202"), "A1"))
    station = shop.value("SELECT id FROM place WHERE name = ?", (ONE,))
    moves = [
        NewEntry("move", piece_by_tag(shop, t).id, place_id=station) for t in ("P-0140", "D-0202")
    ]
    ledger.write(shop, stamp_for(shop, ""), moves)
    assert len(undo_last(shop, "never", confirmed=ALL).pieces) == 2


@pytest.mark.parametrize(
    ("numbers", "error", "said"),
    [
        ([], BadValue, "no entry given"),
        ([99], UnknownName, "no entry 99 in the ledger"),
        ([6, 7], Refused, "entry 6 is taken back already|entry 7 is a counter-entry"),
        ([6], Refused, "entry 6 is taken back already"),
        ([8], Refused, "entry 8 changed a shop rule"),
    ],
)
def test_what_cannot_be_taken_back_is_refused_and_changes_nothing(
    shop: Session, numbers: list[int], error: type[Refused], said: str
) -> None:
    undo_entries(shop, [strokes(shop, 10)], "wrong")
    set_rule(shop, stamp_for(shop, ""), "wear.plan", "0.6", "we plan early")
    with nothing_changes(shop), pytest.raises(error, match=said):
        undo_entries(shop, numbers, "again")


def test_one_wrong_number_takes_nothing_back(shop: Session) -> None:
    good = strokes(shop, 10)
    with nothing_changes(shop), pytest.raises(UnknownName, match="no entry 99"):
        undo_entries(shop, [good, 99], "wrong")


def test_a_reason_is_needed(shop: Session) -> None:
    for call in (undo_last, lambda one, why: undo_entries(one, [1], why)):
        with nothing_changes(shop), pytest.raises(BadValue, match="no reason given"):
            call(shop, " ")


@pytest.mark.parametrize(
    ("before", "after", "kept", "silent"),
    [
        (4600, 3600, "plan", False),
        (4600, 0, "fine", False),
        (4600, 100, "fine", False),
        (500, 3600, "plan", True),
        (500, 6100, "not_for_finish", True),
    ],
)
def test_a_look_after_a_grind_taken_back_counts_for_no_more_than_it_saw(
    shop: Session, before: int, after: int, kept: str, silent: bool
) -> None:
    """Silent only where the level is still the one seen, and then it was seen on this edge."""
    change_rule(shop, "life.follow", "no", "as set", by="nights")
    worn(shop, before)
    record_look(shop, LookRequest("P-0137", sharp=True))
    record_grind(shop, GrindRequest("P-0137", off="0.1mm"))
    wrong = newest(shop)
    worn(shop, after)
    record_look(shop, LookRequest("P-0137", sharp=True))
    undo_entries(shop, [wrong], "another punch was ground")
    card = piece_by_tag(shop, "P-0137")
    assert (card.wear, card.acknowledged) == (before + after, kept)
    assert is_silent(card, shop_rules(shop)) is silent
    assert rebuild(shop) == []


def worn(shop: Session, strokes: int) -> None:
    entry = NewEntry("strokes", 1, quantity=strokes, weighted_milli=1000 * strokes, severity=1.0)
    ledger.write(shop, stamp_for(shop, ""), [entry] if strokes else [])


def test_a_whole_act_shows_first_what_goes_by_piece_and_changes_nothing(shop: Session) -> None:
    log_words(shop, NIGHT.split(), LogOptions())
    with nothing_changes(shop), pytest.raises(AskBack, match="3 entries of 3 pieces") as asked:
        undo_last(shop, "the wrong night")
    assert asked.value.confirm == "whole-act"
    assert [line.partition(": ")[0] for line in asked.value.told] == ["D-0201", "P-0137", "P-0140"]
    assert "400 strokes thru 3/8 in" in asked.value.told[0]
    assert len(undo_last(shop, "the wrong night", confirmed=ALL).lines) == 3


@pytest.mark.parametrize(("which", "half"), [(0, "D-0201"), (1, "P-0137"), (2, None)])
def test_one_half_taken_back_offers_the_other(shop: Session, which: int, half: str | None) -> None:
    log_words(shop, NIGHT.split(), LogOptions())
    first = newest(shop) - 2
    undone = undo_entries(shop, [first + which], "the wrong pair")
    assert [one.tag for one in undone.halves] == ([half] if half else [])
    rest = [one.entry for one in undone.halves]
    if rest:
        assert undo_entries(shop, rest, "the wrong pair").halves == ()
        assert set(strokes_of(shop)) <= {"P-0140"}


def strokes_of(shop: Session) -> dict[str, int]:
    rows = shop.rows("SELECT tag, strokes_total FROM piece WHERE strokes_total > 0")
    return {row[0]: row[1] for row in rows}
