"""Stroke sheets taken whole or not at all, once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from crib.acts import yes_to
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.stroke_sheet import SheetResult, take_sheet
from crib.errors import BadRows
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.shop import add_piece, long_there, small_shop

SHEET = (
    "tag,count,thru,material,with,job,by,on,note,hit,dry,about\n"
    "P-0137,400,1/2,A572-50,,J-1,nights,2026-03-03,,,,\n"
    "P-0140,60,,,,J-2,nights,2026-03-04,first lot,,,\n"
    "P-0137,100,3/8,304,D-0201,,bench 2,2026-03-04,,,dry,x\n"
    "P-0140,~30,3/8,A36,,,,,,chain,,\n"
)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    long_there(session)
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def take(session: Session, text: str, options: LogOptions | None = None) -> SheetResult:
    return take_sheet(session, text.encode(), "shift.csv", options or LogOptions())


def strokes(session: Session) -> int:
    return int(session.value("SELECT count(*) FROM entry WHERE action = 'strokes'"))


def test_every_line_counts_for_its_person_and_day(shop: Session) -> None:
    result = take(shop, SHEET)
    assert (result.lines, result.strokes, result.taken_before) == (4, 590, None)
    assert set(result.people) == {"nights", "bench 2", "window"}
    assert (result.shifts[0], len(result.shifts)) == ("2026-03-03", 3)
    assert [(one.tag, one.lines, one.strokes, one.weighted) for one in result.pieces] == [
        ("D-0201", 1, 100, 250.0),
        ("P-0137", 2, 500, 666.667 + 500.0),
        ("P-0140", 2, 90, 60.0 + 48.0),
    ]
    assert result.notes == ("1 line without a thickness: counted at 1.00 a stroke",)


def test_a_sheet_is_one_act_that_the_crib_remembers(shop: Session) -> None:
    result = take(shop, SHEET)
    acts = shop.rows("SELECT DISTINCT act FROM entry WHERE action = 'strokes'")
    assert [row[0] for row in acts] == [result.act]
    kept = shop.row("SELECT act, name, lines FROM sheet")
    assert kept is not None
    assert tuple(kept) == (result.act, "shift.csv", 4)


def test_lines_keep_their_job_note_and_estimate(shop: Session) -> None:
    take(shop, SHEET, LogOptions(job="J-9"))
    rows = shop.rows("SELECT job, note, estimate FROM entry WHERE action = 'strokes' ORDER BY id")
    assert [tuple(row) for row in rows] == [
        ("J-1", "", 0),
        ("J-2", "first lot", 0),
        ("J-9", "", 1),
        ("J-9", "under P-0137", 1),
        ("J-9", "", 1),
    ]


def test_the_same_sheet_twice_counts_once(shop: Session) -> None:
    now = datetime(2026, 3, 5, 12, 0, tzinfo=UTC)
    take_sheet(shop, SHEET.encode(), "shift.csv", LogOptions(by="nights"), now)
    before = strokes(shop)
    again = SHEET.replace(",", ";").replace("\n", "\r\n").encode("utf-8-sig")
    second = take_sheet(shop, again, "copy.csv", LogOptions(by="bench 2"))
    assert strokes(shop) == before
    taken = second.taken_before
    assert taken is not None
    assert (taken.made_at, taken.person, taken.lines, taken.name) == (
        "2026-03-05T12:00:00.000Z",
        "nights",
        4,
        "shift.csv",
    )


def test_a_second_lot_with_the_same_lines_can_be_taken(shop: Session) -> None:
    take(shop, SHEET)
    result = take(shop, SHEET, LogOptions(confirmed=yes_to("typed-already")))
    assert result.taken_before is None
    assert piece_by_tag(shop, "P-0140").strokes_total == 180
    assert take(shop, SHEET).taken_before is not None


def test_every_wrong_line_is_named_and_nothing_is_taken(shop: Session) -> None:
    text = (
        "tag,count,thru,material,with,by,on,hit,dry\n"
        "P-0137,400,3/8,A36,,,,,\n"
        "P-9999,400,,,,,,,\n"
        "P-0137,x,,,,,,,\n"
        "P-0137,0,,,,,,,\n"
        "P-0137,5,3/8,A63,,,,,\n"
        "P-0137,5,wide,A36,,,,,\n"
        "P-0137,5,3/8,AR400,,,,,\n"
        "P-0140,5,3/8,A36,D-0202,,,,\n"
        "P-0137,5,,,,somebody,,,\n"
        "P-0137,5,,,,,31/12/2026,,\n"
        "P-0137,5,,,,,2099-01-01,,\n"
        "P-0137,5,,,,,,half,\n"
        "P-0137,5,,,,,,,wet\n"
        "P-0137,20001,,,,,,,\n"
        ",5,,,,,,,\n"
    )
    with pytest.raises(BadRows, match="14 of 15 lines cannot be taken") as caught:
        take(shop, text)
    texts = {fault.line: str(fault.text) for fault in caught.value.faults}
    for line, words in {
        3: "no piece with tag 'P-9999'",
        4: "there is no number in it",
        5: "count 0 must be > 0",
        6: "unknown material 'A63'",
        7: "there is no number in it",
        8: "AR400 has no wear factor",
        9: "not bigger than punch",
        10: "nobody is called 'somebody'",
        11: "is not a day",
        12: "is after today",
        13: "hit 'half' must be one of: full, bridge, chain",
        14: "dry 'wet' must be one of",
        15: "more than 20000 in one line",
        16: "no piece with tag ''",
    }.items():
        assert words in texts[line]
    assert strokes(shop) == 0
    assert shop.value("SELECT count(*) FROM sheet") == 0


def test_a_zero_too_many_is_a_fault_unless_somebody_is_sure(shop: Session) -> None:
    for count in (390, 400, 410):
        log_words(shop, ["P-0137", str(count)], LogOptions())
    with pytest.raises(BadRows, match="1 of 1 lines") as caught:
        take(shop, "tag,count\nP-0137,4000\n")
    assert "10 times its usual 400 or more" in str(caught.value.faults[0])
    assert (
        take(shop, "tag,count\nP-0137,4000\n", LogOptions(confirmed=yes_to("many-strokes"))).strokes
        == 4000
    )


def test_the_same_line_twice_in_a_sheet_is_two_lots(shop: Session) -> None:
    take(shop, "tag,count\nP-0137,400\nP-0137,400\n")
    assert piece_by_tag(shop, "P-0137").strokes_total == 800


def test_a_die_with_lines_of_its_own_is_not_worn_twice(shop: Session) -> None:
    take(shop, "tag,count,with\nP-0137,400,D-0201\nD-0201,380,\nP-0137,20,D-0201\n")
    assert piece_by_tag(shop, "D-0201").strokes_total == 380


def test_a_late_sheet_wears_the_edge_before_the_grind(shop: Session) -> None:
    now = datetime(2026, 3, 9, 12, 0, tzinfo=UTC)
    piece = piece_by_tag(shop, "P-0137")
    grind = NewEntry("grind", piece.id, ground_um=250)
    ledger.write(shop, ledger.new_stamp(person_id(shop, ""), now=now), [grind])
    take(shop, "tag,count,on\nP-0137,400,2026-03-08\nP-0137,70,2026-03-10\n")
    after = piece_by_tag(shop, "P-0137")
    assert (after.wear, after.strokes_total) == (70.0, 470)


def test_what_became_due_is_told(shop: Session) -> None:
    add_piece(shop, "P-0150", piece_by_tag(shop, "P-0137").kind_id, wear=4300)
    result = take(shop, "tag,count,thru\nP-0150,300,3/8\nP-0137,10,\n")
    assert [(one.tag, one.level) for one in result.became_due] == [("P-0150", "after_this_job")]


def test_taking_a_sheet_back_restores_the_totals_and_it_may_be_taken_anew(shop: Session) -> None:
    before = [tuple(row) for row in shop.rows("SELECT tag, wear_milli, strokes_total FROM piece")]
    result = take(shop, SHEET)
    ids = [row[0] for row in shop.rows("SELECT id FROM entry WHERE act = ?", (result.act,))]
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), ids, "wrong week")
    after = [tuple(row) for row in shop.rows("SELECT tag, wear_milli, strokes_total FROM piece")]
    assert after == before
    assert take(shop, SHEET).taken_before is None
    assert take(shop, SHEET).taken_before is not None
    assert piece_by_tag(shop, "P-0140").strokes_total == 90
