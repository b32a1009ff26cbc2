"""Reminders follow what a kind's own edges taught: kept beside the kind, never far, never alone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import act, saying, yes_to
from crib.desk.book.check import check_crib, mend_crib
from crib.desk.book.shop_rules import change_rule
from crib.desk.book.undo import undo_last
from crib.desk.common.reminder_levels import level_of
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.edges.due import DueRequest, list_due
from crib.desk.edges.grind import GrindRequest, record_grind
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.edges.turn import TurnRequest, turn_edge
from crib.desk.life.how_sure import TOLD_AT
from crib.desk.life.learning import learn_kind
from crib.desk.life.relearn import relearn_all
from crib.desk.shelf.retire import retire_piece
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.tables.export_tables import give_out
from crib.desk.tables.import_tables import take_in
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import edge_kind
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from crib.stock.queries.strokes import worn_pieces
from crib.trade.life.edge_life import Observation, Prior
from crib.trade.life.estimate import Pool, life_estimate
from crib.trade.life.reminder_follow import followed_interval
from tests.shop import add_kind, add_piece, new_crib

INTERVAL = 5000.0
LOW, HIGH = 2 ** (-1 / 11), 2 ** (1 / 33)
"""What the first edge may do: half of the interval in ten edges, twice of it in thirty."""
HALF = 0.5 / INTERVAL
"""A learned interval is kept in whole strokes."""


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """One kind of punch with two pieces, and a kind of die with one."""
    session = new_crib(tmp_path / "shop.crib")
    punch = add_kind(session, role="punch", width="13/16", name="the punch", length_mm=70.0)
    for tag in ("P-1", "P-2"):
        add_piece(session, tag, punch)
    add_piece(session, "D-1", add_kind(session, role="die", width="27/32", name="the die"))
    yield session
    assert ledger.rebuild(session) == []
    assert check_crib(session).sound
    session.close()


def card(session: Session, tag: str = "P-1") -> PieceCard:
    return piece_by_tag(session, tag)


def learned(session: Session, tag: str = "P-1") -> int | None:
    return card(session, tag).learned_strokes


def works(session: Session, strokes: int, tag: str = "P-1") -> None:
    """Strokes that weigh 1 each."""
    entry = NewEntry("strokes", card(session, tag).id, strokes, strokes * 1000)
    ledger.write(session, ledger.new_stamp(person_id(session, "")), [entry])


def ground(session: Session, found: str = "", tag: str = "P-1") -> None:
    record_grind(
        session,
        GrindRequest(
            tag,
            off="0.1mm",
            found=found,
            confirmed=yes_to("damage-not-gone", "much-ground-off", "typed-already"),
        ),
    )


def edge(session: Session, strokes: int, found: str = "", tag: str = "P-1") -> None:
    works(session, strokes, tag)
    ground(session, found, tag)


def edges(session: Session, times: int, strokes: int, found: str, tag: str = "P-1") -> None:
    """Several edges alike, in one transaction because that is quicker."""
    with session.writing():
        for _time in range(times):
            edge(session, strokes, found, tag)


def follows(*seen: Observation) -> int:
    """Where reminders stand after edges of the kind alone."""
    learned = life_estimate([Pool("this kind", seen)], Prior(INTERVAL), 25000.0).scale_10
    return round(followed_interval(learned, INTERVAL, len(seen)))


def neighbours(session: Session, strokes: int, found: str) -> None:
    """Thirty edges of another kind of punch of the same size."""
    kind = add_kind(session, role="punch", width="13/16", name="the neighbour")
    add_piece(session, "N-1", kind)
    edges(session, 30, strokes, found, "N-1")


def test_without_history_the_settings_hold(shop: Session) -> None:
    works(shop, 4000)
    assert learned(shop) is None
    assert card(shop).interval(INTERVAL) == INTERVAL
    with shop.writing():
        relearn_all(shop)
    assert learned(shop) is None


def test_strokes_alone_teach_nothing(shop: Session) -> None:
    log_words(shop, ["P-1", "300", "thru", "3/8", "A36"], LogOptions())
    assert learned(shop) is None


def test_edges_found_dull_bring_the_reminders_nearer(shop: Session) -> None:
    edges(shop, 5, 3000, "right")
    found = learned(shop)
    assert found is not None
    assert found == follows(*[Observation(3000.0, "dull")] * 5) < 4000
    works(shop, 4400)
    (line,) = list_due(shop, DueRequest()).lines
    assert (line.tag, line.interval, line.level) == ("P-1", found, "not_for_finish")
    assert [one.tag for one in worn_pieces(shop, 1.0, INTERVAL)] == ["P-1"]


def test_what_was_learned_never_feeds_itself(shop: Session) -> None:
    edges(shop, 5, 3000, "right")
    once = learned(shop)
    for _time in range(3):
        with shop.writing():
            relearn_all(shop)
    assert learned(shop) == once


@pytest.mark.parametrize("found", ["sharp", "right", "overdue", "chipped"])
@pytest.mark.parametrize("strokes", [200, 60_000])
def test_the_first_edge_moves_it_by_six_percent_at_most(
    shop: Session, strokes: int, found: str
) -> None:
    edge(shop, strokes, found)
    kept = learned(shop)
    assert kept is not None
    assert LOW - HALF <= kept / INTERVAL <= HIGH + HALF
    assert (round(LOW, 2), round(HIGH, 2)) == (0.94, 1.02)


@pytest.mark.parametrize("strokes", [200, 4999, 5001, 60_000])
def test_grinds_without_a_word_leave_the_settings(shop: Session, strokes: int) -> None:
    edges(shop, 3, strokes, "")
    assert learned(shop) is None
    edge(shop, 4000, "overdue")
    kept = learned(shop)
    edges(shop, 3, strokes, "")
    assert learned(shop) == pytest.approx(kept, rel=0.01)


def test_where_only_dull_edges_are_told_of_silent_ones_count_as_mostly_sharp(
    shop: Session,
) -> None:
    edges(shop, 2, 6500, "overdue")
    deaf = learned(shop)
    assert deaf is not None
    edges(shop, 20, 6500, "")
    heard = learned(shop)
    assert heard is not None
    assert 1.01 * deaf < heard < INTERVAL


@pytest.mark.parametrize(("strokes", "found"), [(200, "overdue"), (60_000, "sharp")])
def test_the_first_edge_does_not_bring_in_all_that_others_taught(
    shop: Session, strokes: int, found: str
) -> None:
    neighbours(shop, strokes, found)
    assert learned(shop) is None
    edge(shop, 4000, "right")
    kept = learned(shop)
    assert kept is not None
    assert LOW - HALF <= kept / INTERVAL <= HIGH + HALF


@pytest.mark.parametrize("found", ["", "sharp", "right", "overdue", "chipped"])
def test_a_further_edge_moves_it_a_little(shop: Session, found: str) -> None:
    edges(shop, 4, 4000, "right")
    before = learned(shop)
    edge(shop, 9000, found)
    after = learned(shop)
    assert before is not None
    assert after is not None
    # A running edge gives way to an ended one: one step back and one forth at most.
    assert LOW / HIGH - HALF <= after / before <= HIGH / LOW + HALF


@pytest.mark.parametrize(
    ("strokes", "found", "most_stretch", "expected"),
    [
        (100, "overdue", "2", 2500),
        (100, "overdue", "1.25", 4000),
        (60_000, "sharp", "2", 10_000),
        (60_000, "sharp", "1", 5000),
    ],
)
def test_it_stays_within_the_stretch(
    shop: Session, strokes: int, found: str, most_stretch: str, expected: int
) -> None:
    change_rule(shop, "life.most_stretch", most_stretch, "for a test", by="window")
    edges(shop, 60, strokes, found)
    assert learned(shop) == expected


def test_undoing_a_grind_restores_the_level_and_the_reminder(shop: Session) -> None:
    works(shop, 4600)
    before, due = card(shop), list_due(shop, DueRequest())
    ground(shop, "overdue")
    assert learned(shop) is not None
    assert list_due(shop, DueRequest()).lines == ()
    undo_last(shop, "wrong tag")
    rules = shop_rules(shop)
    assert learned(shop) is None
    assert level_of(card(shop), rules) == level_of(before, rules) == "after_this_job"
    assert list_due(shop, DueRequest()) == due


def test_undoing_a_grind_restores_what_was_learned(shop: Session) -> None:
    edges(shop, 3, 3000, "right")
    before = learned(shop)
    ground(shop, "overdue", "P-1")
    edge(shop, 3500, "overdue", "P-1")
    undo_last(shop, "not ground after all")
    with shop.writing():
        relearn_all(shop)
    in_between = learned(shop)
    ground(shop, "overdue")
    assert learned(shop) != in_between
    undo_last(shop, "not ground after all")
    assert learned(shop) == in_between == before


def test_what_silence_costs_is_told_once(shop: Session) -> None:
    told = []
    for number in range(7):
        works(shop, 3000)
        sure = yes_to("damage-not-gone", "much-ground-off", "typed-already")
        request = GrindRequest("P-1", off="0.1mm", found="", confirmed=sure)
        notes = record_grind(shop, request).notes
        told += [number for note in notes if "life.silent" in str(note)]
    assert told == [TOLD_AT - 1]


def test_a_look_that_finds_it_sharp_is_an_edge_dull_only_later(shop: Session) -> None:
    works(shop, 8000)
    record_look(shop, LookRequest("P-1", sharp=True))
    assert learned(shop) == follows(Observation(8000.0, "right")) > INTERVAL
    undo_last(shop, "wrong piece")
    assert learned(shop) is None


def test_finding_it_sharp_never_brings_the_reminder_nearer(shop: Session) -> None:
    neighbours(shop, 200, "overdue")
    works(shop, 4600)
    looked = record_look(shop, LookRequest("P-1", sharp=True))
    assert (learned(shop), looked.silent) == (INTERVAL, True)


def test_putting_off_and_inspecting_teach_nothing(shop: Session) -> None:
    works(shop, 4600)
    record_look(shop, LookRequest("P-1", defer=True, why="job 12 must ship"))
    assert learned(shop) is None


def test_a_broken_edge_was_sharp_until_then(shop: Session) -> None:
    works(shop, 4000)
    report_break(shop, BreakRequest("P-1", ["snapped"]))
    kept = follows(Observation(4000.0, "right", broken=True))
    assert learned(shop, "P-2") == kept
    retire_piece(shop, "P-1", "in two pieces")
    assert learned(shop, "P-2") == kept


def test_a_lost_piece_teaches_nothing(shop: Session) -> None:
    works(shop, 4000)
    report_break(shop, BreakRequest("P-1", ["lost"]))
    assert learned(shop, "P-2") is None


def test_a_turned_blade_teaches_too(shop: Session) -> None:
    kind = add_kind(shop, role="blade", width="6", shape="special", profile="flat", edges=4)
    add_piece(shop, "B-1", kind, edge=1)
    works(shop, 4000, "B-1")
    turn_edge(shop, TurnRequest("B-1", found="overdue"))
    kept = learned(shop, "B-1")
    assert kept is not None
    assert kept < INTERVAL


def test_an_act_touches_the_kinds_of_its_pieces_only(shop: Session) -> None:
    edge(shop, 4000, "overdue")
    before = learned(shop)
    edges(shop, 9, 500, "overdue", "D-1")
    assert learned(shop) == before
    assert learned(shop, "D-1") is not None


def test_a_shop_may_hold_its_settings(shop: Session) -> None:
    edge(shop, 4000, "overdue")
    kept = learned(shop)
    change_rule(shop, "life.follow", "no", "we trust the card", by="window")
    assert learned(shop) is None
    edge(shop, 4000, "overdue")
    assert learned(shop) is None
    undo_last(shop, "for a test")
    change_rule(shop, "life.follow", "yes", "the ledger knows better", by="window")
    assert learned(shop) not in (None, INTERVAL)
    assert kept is not None


def test_a_rule_it_depends_on_is_heard_at_once(shop: Session) -> None:
    edges(shop, 3, 4000, "right")
    at_5000 = learned(shop)
    change_rule(shop, "wear.interval_strokes", "8000", "softer plate", by="window")
    assert at_5000 is not None
    assert learned(shop) != at_5000
    told = learn_kind(shop, edge_kind(shop, card(shop).kind_id), shop_rules(shop))
    assert (told.interval, round(told.follow)) == (8000, learned(shop))


def test_a_ledger_taken_in_whole_is_learned_from(shop: Session, tmp_path: Path) -> None:
    for found in ("overdue", "right", "right", "sharp"):
        edge(shop, 3600, found)
    give_out(shop, tmp_path / "out")
    other = new_crib(tmp_path / "other.crib")
    take_in(other, tmp_path / "out", by="")
    assert learned(other) == learned(shop)
    other.close()


def set_by_hand(session: Session, name: str, strokes: int | None) -> None:
    with session.writing():
        session.run("UPDATE kind SET learned_strokes = ? WHERE name = ?", (strokes, name))


@pytest.mark.parametrize(
    ("name", "strokes", "fault"),
    [
        ("the die", 4000, "the die: learned 4,000, and no edge of it was seen at its end"),
        ("the punch", 2499, "the punch: learned 2,499, more than 2 times off 5,000"),
        ("the punch", 10_001, "the punch: learned 10,001, more than 2 times off 5,000"),
    ],
)
def test_the_check_finds_one_that_no_edge_bears_out(
    shop: Session, name: str, strokes: int, fault: str
) -> None:
    edge(shop, 4000, "overdue")
    kept = learned(shop)
    set_by_hand(shop, name, strokes)
    report = check_crib(shop)
    assert [fault for one in report.checks for fault in one.faults] == [fault]
    mended = mend_crib(shop)
    assert (mended.sound, mended.mended, mended.relearned) == (True, 0, 1)
    assert (learned(shop), learned(shop, "D-1")) == (kept, None)


@pytest.mark.parametrize("strokes", [2500, 3000, 10_000])
def test_one_that_lags_behind_is_no_fault(shop: Session, strokes: int) -> None:
    edge(shop, 4000, "overdue")
    set_by_hand(shop, "the punch", strokes)
    assert check_crib(shop).sound


def test_edges_that_are_not_in_use_yet_are_remarked(shop: Session) -> None:
    edge(shop, 4000, "overdue")
    set_by_hand(shop, "the punch", None)
    report = check_crib(shop)
    assert report.sound
    words = "what edges of the punch taught is not in use yet: "
    assert report.remarks == (saying(words, act("check.mend")),)
    assert mend_crib(shop).remarks == ()
    assert learned(shop) is not None
