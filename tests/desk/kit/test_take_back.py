"""Handing a kit out and taking it back: places, strokes, holds, and what undo makes of it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from crib.acts import act, acts_in, yes_to
from crib.desk.book.check import check_crib
from crib.desk.book.undo import undo_act, undo_last
from crib.desk.common.acting import today_of
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.kit.hand_out import HandOut, hand_out, lend
from crib.desk.kit.hold import hold_kit, release_kit
from crib.desk.kit.job_kit import list_held, show_kit
from crib.desk.kit.take_back import KitBack, TakeBack, take_back, take_loans_back
from crib.desk.shelf.move import Move, move_pieces
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import AskBack, BadPhrase, BadValue, Refused, UnknownName
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import job_called
from crib.stock.writers.keep_jobs import close_job
from tests.desk.kitting import DUE, FIRST, SECOND, held, kit_shop, places, strokes
from tests.desk.planned import plan_job, run
from tests.shop import add_kind, add_piece

ALL = yes_to("whole-act")
PUNCH = "Ironworker 1 / punch"
BENCH = HandOut("bench 2")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two jobs, and a second punch."""
    session = kit_shop(tmp_path / "shop.crib", "P-0138")
    yield session
    session.close()


def given(back: KitBack) -> dict[str, int]:
    """What was counted, by tag."""
    return {one.tag: one.count for one in back.strokes}


def logged(session: Session, job: str = SECOND) -> int:
    """Planned strokes of a job that stand in the ledger."""
    return job_called(session, job).logged


def test_a_kit_goes_out_and_comes_back_as_it_was(shop: Session) -> None:
    before = places(shop)
    hold_kit(shop, SECOND)
    kit = hand_out(shop, SECOND, BENCH)
    assert kit.done == f"handed out 4 pieces to bench 2, back by {DUE}"
    assert {tag for tag, place in places(shop).items() if place == "bench 2"} == set(kit.tags)
    assert set(held(shop).values()) == {f"{SECOND} out"}
    back = take_back(shop, SECOND, TakeBack())
    assert places(shop) == before
    assert given(back) == {"P-0137": 40, "P-0140": 25}
    assert strokes(shop) == {"P-0137": 40, "D-0201": 40, "P-0140": 25, "D-0204": 25}
    assert (logged(shop), job_called(shop, SECOND).left, held(shop)) == (65, 0, {})
    assert show_kit(shop, SECOND).notes == ("every planned stroke is logged",)
    assert check_crib(shop).sound


def test_what_is_not_promised_yet_is_promised_as_it_goes_out(shop: Session) -> None:
    hold_kit(shop, FIRST)
    kit = hand_out(shop, FIRST, HandOut("nights", until="2099-01-02"))
    assert {one.due_back for one in kit.pieces} == {"2099-01-02"}
    with pytest.raises(Refused, match="D-0201 is out with nights for job 24-117 until 2099-01-02"):
        hand_out(shop, SECOND, BENCH)
    assert set(held(shop)) == {"P-0137", "D-0201"}


def test_a_kit_goes_out_once(shop: Session) -> None:
    hand_out(shop, FIRST, BENCH)
    with pytest.raises(Refused, match="all of its kit is out already"):
        hand_out(shop, FIRST, BENCH)


def test_a_job_without_a_due_date_is_back_by_the_shops_rule(shop: Session) -> None:
    plan_job(shop, "soon", run(shop, "P-0138", 5))
    kit = hand_out(shop, "soon", BENCH)
    tomorrow = today_of(None) + timedelta(days=1)
    assert kit.pieces[0].due_back == tomorrow.isoformat()


def test_what_is_mounted_stays_mounted(shop: Session) -> None:
    move_pieces(shop, Move(("P-0137", "D-0201"), PUNCH))
    before = places(shop)
    hand_out(shop, SECOND, BENCH)
    assert places(shop)["P-0137"] == PUNCH
    assert places(shop)["P-0140"] == "bench 2"
    back = take_back(shop, SECOND, TakeBack())
    assert places(shop) == before
    notes = {one.tag: one.note for one in back.pieces}
    assert notes == {
        "D-0201": "stays mounted",
        "D-0204": "",
        "P-0137": "stays mounted",
        "P-0140": "",
    }


def test_what_was_mounted_from_the_kit_goes_home(shop: Session) -> None:
    before = places(shop)
    hand_out(shop, SECOND, BENCH)
    move_pieces(shop, Move(("P-0140", "D-0204"), PUNCH))
    take_back(shop, SECOND, TakeBack())
    assert places(shop) == before


def test_it_all_goes_to_one_drawer_when_said(shop: Session) -> None:
    hand_out(shop, FIRST, BENCH)
    with pytest.raises(Refused, match="Ironworker 1 / punch is a station"):
        take_back(shop, FIRST, TakeBack(to=PUNCH))
    take_back(shop, FIRST, TakeBack(to="A4"))
    assert {places(shop)[tag] for tag in ("P-0137", "D-0201")} == {"A4"}


@pytest.mark.parametrize(
    ("condition", "said"),
    [
        ("inspect", "not handed out: P-0151 is to be inspected"),
        ("locked", "P-0151 is locked; and no other copy is free"),
        ("broken", "P-0151 is broken; and no other copy is free"),
    ],
)
def test_what_must_not_be_used_is_not_handed_out(shop: Session, condition: str, said: str) -> None:
    add_piece(shop, "P-0151", add_kind(shop, role="punch", width="1/2"), condition=condition)
    plan_job(shop, "odd", run(shop, "P-0137", 5), run(shop, "P-0151", 5))
    before = places(shop)
    with pytest.raises(Refused, match=said):
        hand_out(shop, "odd", BENCH)
    assert (places(shop), held(shop)) == (before, {})


def test_a_piece_with_somebody_else_is_not_handed_out(shop: Session) -> None:
    lend(shop, ["P-0137", "P-0138"], HandOut("yard 2", new_place=True))
    with pytest.raises(Refused, match="P-0137 is out with yard 2 until"):
        hand_out(shop, FIRST, BENCH)


@pytest.mark.parametrize(
    ("to", "error", "said"),
    [
        ("", BadValue, "who takes them"),
        ("A1", Refused, "A1 is a drawer, not somebody who takes pieces"),
        (PUNCH, Refused, "is a station, not somebody"),
        ("nobody", UnknownName, "'nobody' is neither a place nor a badge name"),
    ],
)
def test_who_cannot_take_a_kit_is_refused(
    shop: Session, to: str, error: type[Exception], said: str
) -> None:
    with pytest.raises(error, match=said):
        hand_out(shop, FIRST, HandOut(to))
    assert held(shop) == {}


@pytest.mark.parametrize("until", ["2020-01-01", "tomorrow"])
def test_a_day_that_cannot_be_is_refused(shop: Session, until: str) -> None:
    with pytest.raises(BadValue, match=until):
        hand_out(shop, FIRST, HandOut("bench 2", until=until))
    assert held(shop) == {}


def test_planned_strokes_are_estimates_and_typed_ones_are_not(shop: Session) -> None:
    hand_out(shop, SECOND, BENCH)
    back = take_back(shop, SECOND, TakeBack(("p-0140=31",)))
    assert {one.tag: (one.count, one.estimate) for one in back.strokes} == {
        "P-0140": (31, False),
        "P-0137": (40, True),
    }
    notes = {row[0] for row in shop.rows("SELECT note FROM entry WHERE estimate")}
    assert "as planned" in notes
    assert strokes(shop)["D-0204"] == 31


def test_what_was_logged_already_is_not_counted_again(shop: Session) -> None:
    hand_out(shop, SECOND, BENCH)
    words = ["P-0137", "30", "thru", "3/8", "A36", "with", "D-0201"]
    log_words(shop, words, LogOptions(job=SECOND))
    assert given(take_back(shop, SECOND, TakeBack())) == {"P-0137": 10, "P-0140": 25}
    assert strokes(shop)["P-0137"] == 40


def test_without_strokes_only_the_pieces_come_back(shop: Session) -> None:
    hand_out(shop, SECOND, BENCH)
    assert take_back(shop, SECOND, TakeBack(strokes=False)).strokes == ()
    assert (strokes(shop), held(shop), logged(shop)) == ({}, {}, 0)


def test_none_counted_is_none(shop: Session) -> None:
    hand_out(shop, FIRST, BENCH)
    assert given(take_back(shop, FIRST, TakeBack(("P-0137=0",)))) == {}


def test_a_count_goes_over_the_runs_of_its_piece(shop: Session) -> None:
    runs = (
        run(shop, "P-0138", 20, mark="B1"),
        run(shop, "P-0138", 30, mark="B2", thickness_mm=6.35),
    )
    plan_job(shop, "two", *runs)
    hand_out(shop, "two", BENCH)
    back = take_back(shop, "two", TakeBack(("P-0138=60",)))
    assert [one.count for one in back.strokes] == [20, 40]
    card = job_called(shop, "two")
    assert (card.logged, card.beyond) == (50, 10)


def test_what_a_spare_did_is_not_assumed_of_the_first(shop: Session) -> None:
    plan_job(shop, "long", run(shop, "P-0137", 100, weighted_milli=6_000_000))
    kit = hand_out(shop, "long", BENCH)
    assert set(kit.tags) == {"P-0137", "P-0138"}
    back = take_back(shop, "long", TakeBack(("P-0138=70",)))
    assert given(back) == {"P-0138": 70, "P-0137": 30}
    assert logged(shop, "long") == 100


def test_a_die_may_be_counted_by_itself(shop: Session) -> None:
    hand_out(shop, FIRST, BENCH)
    take_back(shop, FIRST, TakeBack(("D-0201=55", "P-0137=50")))
    assert strokes(shop) == {"P-0137": 50, "D-0201": 55}


@pytest.mark.parametrize(
    ("words", "error", "said"),
    [
        (("P-0137",), BadPhrase, "'P-0137' is not a tag with its count"),
        (("P-0137=-4",), BadPhrase, "is not a tag with its count"),
        (("P-0137=4", "p-0137=5"), Refused, "P-0137 stands twice: 4 and 5"),
        (("P-0138=4",), Refused, "P-0138 is not out for job 24-117"),
        (("P-0137=20001",), AskBack, "P-0137: 20001 strokes"),
    ],
)
def test_a_count_that_cannot_be_is_refused_and_nothing_moves(
    shop: Session, words: tuple[str, ...], error: type[Exception], said: str
) -> None:
    hand_out(shop, FIRST, BENCH)
    before = (places(shop), held(shop))
    with pytest.raises(error, match=said):
        take_back(shop, FIRST, TakeBack(words))
    assert (places(shop), held(shop), strokes(shop)) == (*before, {})


def test_a_high_count_may_be_sure(shop: Session) -> None:
    hand_out(shop, FIRST, BENCH)
    back = take_back(shop, FIRST, TakeBack(("P-0137=20001",), confirmed=yes_to("many-strokes")))
    assert given(back) == {"P-0137": 20001}


def test_strokes_may_be_of_an_earlier_shift(shop: Session) -> None:
    hand_out(shop, FIRST, BENCH)
    yesterday = (today_of(None) - timedelta(days=1)).isoformat()
    back = take_back(shop, FIRST, TakeBack(on=yesterday))
    rows = shop.rows("SELECT DISTINCT shift_on FROM entry WHERE action = 'strokes'")
    assert [row[0] for row in rows] == [yesterday] == [back.shift_on]
    assert places(shop)["P-0137"] == "A1"
    assert check_crib(shop).sound


def test_what_broke_meanwhile_is_back_and_not_assumed(shop: Session) -> None:
    hand_out(shop, SECOND, BENCH)
    report_break(shop, BreakRequest("P-0140", ["snapped"]))
    back = take_back(shop, SECOND, TakeBack())
    assert given(back) == {"P-0137": 40}
    (note,) = back.notes
    assert str(note).startswith("P-0140 is broken: no strokes assumed; say ")
    count = act("kit.back", job=SECOND, counts="P-0140=COUNT")
    assert acts_in(note) == (count, act("log"))
    assert (places(shop)["P-0140"], held(shop)) == ("A2", {})


def test_a_broken_piece_may_be_counted(shop: Session) -> None:
    hand_out(shop, SECOND, BENCH)
    report_break(shop, BreakRequest("P-0140", ["chipped"]))
    back = take_back(shop, SECOND, TakeBack(("P-0140=11",)))
    assert given(back) == {"P-0140": 11, "P-0137": 40}


def test_what_was_lost_does_not_come_back(shop: Session) -> None:
    hand_out(shop, SECOND, BENCH)
    report_break(shop, BreakRequest("D-0204", ["lost"]))
    back = take_back(shop, SECOND, TakeBack())
    notes = {one.tag: one.note for one in back.pieces if one.note}
    assert notes == {"D-0204": "is lost"}
    assert (held(shop), given(back)) == ({}, {"P-0137": 40, "P-0140": 25})
    assert check_crib(shop).sound


def test_nothing_out_is_refused(shop: Session) -> None:
    hold_kit(shop, FIRST)
    with pytest.raises(Refused, match="nothing is out for job 24-117"):
        take_back(shop, FIRST, TakeBack())


def test_undo_of_a_return_makes_the_kit_out_again(shop: Session) -> None:
    hand_out(shop, SECOND, BENCH)
    out = places(shop)
    back = take_back(shop, SECOND, TakeBack())
    undo_act(shop, back.act, "wrong job", confirmed=ALL)
    assert places(shop) == out
    assert (strokes(shop), logged(shop)) == ({}, 0)
    assert set(held(shop).values()) == {f"{SECOND} out"}
    assert check_crib(shop).sound
    assert check_crib(shop).remarks == ()
    assert given(take_back(shop, SECOND, TakeBack())) == {"P-0137": 40, "P-0140": 25}


def test_undo_of_handing_out_makes_it_promised_again(shop: Session) -> None:
    before = places(shop)
    hold_kit(shop, SECOND)
    hand_out(shop, SECOND, BENCH)
    undo_last(shop, "not today", confirmed=ALL)
    assert places(shop) == before
    assert set(held(shop).values()) == {f"{SECOND} held"}
    assert check_crib(shop).sound


def test_a_return_is_not_undone_once_another_was_promised_the_piece(shop: Session) -> None:
    hand_out(shop, FIRST, BENCH)
    back = take_back(shop, FIRST, TakeBack())
    hold_kit(shop, SECOND)
    before = (places(shop), held(shop), strokes(shop))
    with pytest.raises(Refused, match=r"is promised to job 24-118, due .* since it came back"):
        undo_act(shop, back.act, "wrong count", confirmed=ALL)
    assert (places(shop), held(shop), strokes(shop)) == before
    release_kit(shop, SECOND)
    undo_act(shop, back.act, "wrong count", confirmed=ALL)
    assert set(held(shop).values()) == {f"{FIRST} out"}


def test_what_is_out_of_a_closed_job_stays_out(shop: Session) -> None:
    hand_out(shop, FIRST, BENCH)
    close_job(shop, job_called(shop, FIRST), today_of(None).isoformat())
    assert set(held(shop).values()) == {f"{FIRST} out"}
    take_back(shop, FIRST, TakeBack())
    assert held(shop) == {}


def test_a_loan_goes_out_and_comes_back(shop: Session) -> None:
    before = places(shop)
    found = lend(shop, ["P-0137", "d-0201"], HandOut("Old quay works", new_place=True))
    assert found.done.startswith("lent 2 pieces to Old quay works, back by ")
    assert held(shop) == {"P-0137": "Old quay works out", "D-0201": "Old quay works out"}
    with pytest.raises(Refused, match="P-0137 is out with Old quay works until"):
        lend(shop, ["P-0137"], HandOut("bench 2"))
    back = take_loans_back(shop, ["P-0137", "D-0201"], TakeBack())
    assert (back.strokes, places(shop), held(shop)) == ((), before, {})


def test_a_loan_undone_is_no_loan(shop: Session) -> None:
    before = places(shop)
    lend(shop, ["P-0137"], HandOut("bench 2"))
    undo_last(shop, "slip", confirmed=ALL)
    assert (places(shop), held(shop)) == (before, {})


def test_what_is_not_lent_cannot_come_back_from_a_loan(shop: Session) -> None:
    hold_kit(shop, FIRST)
    with pytest.raises(Refused, match="P-0140 is not lent to anybody"):
        take_loans_back(shop, ["P-0140"], TakeBack())
    with pytest.raises(Refused, match="P-0137 is promised to job 24-117"):
        take_loans_back(shop, ["P-0137"], TakeBack())


def test_late_ones_are_listed_with_their_days(shop: Session) -> None:
    lend(shop, ["P-0137"], HandOut("bench 2"))
    due = today_of(None) + timedelta(days=1)
    shop_day = date.fromisoformat(list_held(shop).pieces[0].due_back)
    assert shop_day == due
    with shop.writing():
        past = (today_of(None) - timedelta(days=3)).isoformat()
        shop.run("UPDATE hold SET due_back = ?", (past,))
    (late,) = list_held(shop, late=True).pieces
    assert (late.tag, late.holder, late.days_late) == ("P-0137", "bench 2", 3)
