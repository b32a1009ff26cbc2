"""The ledger in words: filters, what each entry says, and what was taken back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from crib.desk.book.history import read_act, read_history
from crib.desk.common.acting import read_day, require_reason, stamp_for
from crib.errors import BadValue, CribError, Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.shop import small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def enter(shop: Session, entry: NewEntry, by: str = "", on: str = "") -> None:
    day = date.fromisoformat(on) if on else None
    ledger.write(shop, ledger.new_stamp(person_id(shop, by), shift_on=day), [entry])


def number(shop: Session, tag: str) -> int:
    return piece_by_tag(shop, tag).id


def test_the_newest_entry_comes_first_and_the_rest_is_counted(shop: Session) -> None:
    history = read_history(shop, most=2)
    assert [one.tag for one in history.lines] == ["D-0301", "P-0140"]
    assert history.more == 3


def test_strokes_say_their_plate_job_and_severity(shop: Session) -> None:
    entry = NewEntry(
        "strokes",
        number(shop, "P-0137"),
        quantity=1200,
        weighted_milli=2_000_000,
        severity=5 / 3,
        material="A36",
        thickness_mm=12.7,
        job="J-17",
        estimate=True,
    )
    enter(shop, entry, by="nights")
    (line, *_rest) = read_history(shop, "p-0137").lines
    assert line.what == "1,200 strokes thru 1/2 in A36, each weighs 1.67, a guess, job J-17"
    assert line.severity == pytest.approx(5 / 3)
    assert (line.who, line.tag, line.action) == ("nights", "P-0137", "strokes")


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (NewEntry("grind", 1, length_mm=50.8, ground_um=254), "grind, 0.01 in off, length 2 in"),
        (NewEntry("turn", 1, edge=2), "turn, edge 2"),
        (NewEntry("move", 1, place_id=4), "moved, to A2"),
        (NewEntry("break", 1, condition="broken", note="snapped"), "reported, broken, snapped"),
        (NewEntry("retire", 1, condition="retired", note="worn out"), "retired, worn out"),
        (NewEntry("correct", 1, measured_width_mm=20.574), "measured, size 0.81 in"),
    ],
)
def test_each_entry_says_what_it_did(shop: Session, entry: NewEntry, said: str) -> None:
    enter(shop, entry)
    assert read_history(shop).lines[0].what == said


def test_a_counter_entry_is_shown_and_the_entry_is_marked(shop: Session) -> None:
    enter(shop, NewEntry("turn", 1, edge=2))
    ledger.reverse(shop, stamp_for(shop, ""), [6], "wrong blade")
    counter, turned, *_rest = read_history(shop).lines
    assert (counter.what, counter.reverses) == ("takes back 6, wrong blade", 6)
    assert turned.taken_back_by == counter.entry


def test_an_act_is_read_back_whole_from_any_of_its_entries(shop: Session) -> None:
    both = [NewEntry("move", number(shop, tag), place_id=4) for tag in ("D-0301", "P-0140")]
    stamp = ledger.new_stamp(person_id(shop, "nights"), shift_on=date(2026, 1, 5))
    ledger.write(shop, stamp, both)
    second, first = (line.entry for line in read_history(shop, most=2).lines)
    read = read_act(shop, second)
    assert read == read_act(shop, first)
    assert [one.tag for one in read.lines] == ["D-0301", "P-0140"]
    assert (read.act, read.who, read.shift_on, read.holds) == (
        *(stamp.act, "nights", "2026-01-05"),
        True,
    )
    ledger.reverse(shop, ledger.new_stamp(person_id(shop, "")), [first, second], "slip")
    assert not read_act(shop, first).holds
    with pytest.raises(UnknownName, match="there is no entry 999"):
        read_act(shop, 999)


def test_only_one_person_or_only_shifts_since_a_day(shop: Session) -> None:
    enter(shop, NewEntry("move", 1, place_id=4), by="nights", on="2025-01-05")
    assert [one.shift_on for one in read_history(shop, by="NIGHTS").lines] == ["2025-01-05"]
    assert len(read_history(shop, since="2025-01-06").lines) == 5
    assert len(read_history(shop, since="2025-01-05").lines) == 6


@pytest.mark.parametrize(
    ("wrong", "error", "said"),
    [
        ({"tag": "P-0138"}, UnknownName, "no piece with tag 'P-0138'"),
        ({"by": "nobody"}, UnknownName, "nobody is called 'nobody'"),
        ({"since": "5 Jan"}, BadValue, "the day since when '5 Jan' is not a day"),
        ({"since": "2025-02-30"}, BadValue, "is not a day"),
        ({"most": 0}, BadValue, "most=0 must be 1 to"),
    ],
)
def test_a_wrong_question_is_refused(
    shop: Session, wrong: dict[str, str | int], error: type[CribError], said: str
) -> None:
    with pytest.raises(error, match=said):
        read_history(shop, **wrong)  # type: ignore[arg-type]


def test_a_day_is_read_strictly_and_nothing_is_no_day() -> None:
    assert read_day("  ", "day") is None
    with pytest.raises(BadValue, match="is not a day"):
        read_day("20260105", "day")


def test_a_shift_in_the_future_is_refused(shop: Session) -> None:
    with pytest.raises(Refused, match="is after today"):
        stamp_for(shop, "", "2026-01-03", datetime(2026, 1, 1, tzinfo=UTC))


@pytest.mark.parametrize(("why", "said"), [("  ", "no reason given"), ("x" * 301, "301 letters")])
def test_a_reason_is_needed_and_fits_a_line(why: str, said: str) -> None:
    with pytest.raises(BadValue, match=said):
        require_reason(why, "retire")
