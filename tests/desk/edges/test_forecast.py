"""The dates ahead: by pace, by planned jobs, and never for a tool that is not used."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from crib.desk.edges.forecast import forecast
from crib.desk.edges.forecast_dates import Forecast, ForecastRequest, PieceForecast
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import BadValue, Refused
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.book.settings import set_rule
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.planned import plan_job, run
from tests.shop import add_piece, small_shop

MONDAY = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
ALL = ForecastRequest(everything=True)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    assert ledger.rebuild(session) == []
    session.close()


def worked(
    session: Session,
    tag: str,
    each: int,
    days: int = 20,
    last: datetime = MONDAY,
    job: str = "",
) -> None:
    """So many strokes on each of the working days before a day."""
    shifts = [last - timedelta(days=number) for number in range(1, 2 * days + 2)]
    usual = [shift for shift in shifts if shift.weekday() < 5][:days]
    entry = NewEntry(
        *("strokes", piece_by_tag(session, tag).id),
        quantity=each,
        weighted_milli=each * 1000,
        job=job,
    )
    person = person_id(session, "")
    batches = [(ledger.new_stamp(person, now=shift), [entry]) for shift in usual]
    ledger.write_all(session, batches)


def rule(session: Session, key: str, value: str) -> None:
    set_rule(session, ledger.new_stamp(person_id(session, "")), key, value, "a test")


def of(found: Forecast, tag: str) -> PieceForecast:
    return next(one for one in found.pieces if one.tag == tag)


def due_on(session: Session, tag: str = "P-0137") -> date:
    found = of(forecast(session, ALL, MONDAY), tag)
    return date.fromisoformat(found.due_on)


def test_a_piece_is_due_when_its_pace_has_used_the_interval(shop: Session) -> None:
    worked(shop, "P-0137", 200)
    found = of(forecast(shop, ForecastRequest(), MONDAY), "P-0137")
    assert (found.wear, found.per_work_day, found.interval) == (4000.0, 200.0, 5000.0)
    assert (found.plan_on, found.after_job_on, found.due_on) == (
        *("2026-03-02", "2026-03-04"),
        "2026-03-06",
    )
    assert (found.do, found.place, found.used) == ("grind it", "A1", 0.8)


def test_a_tool_that_is_not_used_has_no_date(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-0137").kind_id
    add_piece(shop, "P-0150", kind, wear=4999)
    worked(shop, "P-0140", 200, last=MONDAY - timedelta(weeks=20))
    assert forecast(shop, ALL, MONDAY).pieces == ()


def test_todays_strokes_are_not_expected_twice(shop: Session) -> None:
    worked(shop, "P-0137", 200)
    before = due_on(shop)
    log_words(shop, "P-0137 200 thru 3/8 A36".split(), LogOptions(), MONDAY)
    assert due_on(shop) == before


def test_a_single_busy_shift_is_no_pace(shop: Session) -> None:
    worked(shop, "P-0137", 2000, days=1)
    assert of(forecast(shop, ALL, MONDAY), "P-0137").per_work_day == 100.0


def test_an_overdue_piece_that_is_used_is_due_at_once(shop: Session) -> None:
    worked(shop, "P-0137", 300)
    found = forecast(shop, ForecastRequest(), MONDAY)
    assert of(found, "P-0137").due_on == found.today


def test_a_planned_job_brings_its_pieces_forward_and_the_die_by_half(shop: Session) -> None:
    worked(shop, "P-0137", 20)
    before = due_on(shop)
    job = run(shop, "P-0137", 2600, die="D-0201")
    plan_job(shop, "J-1", job, due_on="2026-03-12")
    assert due_on(shop) < before
    add_wear(shop, "D-0201", 3700)
    found = forecast(shop, ForecastRequest(), MONDAY)
    assert [(one.tag, one.due_on, one.planned) for one in found.pieces] == [
        ("D-0201", "2026-03-12", 1300.0)
    ]


def add_wear(session: Session, tag: str, weighted: int) -> None:
    entry = NewEntry(
        "strokes", piece_by_tag(session, tag).id, quantity=1, weighted_milli=weighted * 1000
    )
    stamp = ledger.new_stamp(person_id(session, ""), now=MONDAY - timedelta(weeks=30))
    ledger.write(session, stamp, [entry])


def test_what_is_logged_of_a_job_is_not_planned_any_more(shop: Session) -> None:
    plan_job(shop, "J-1", run(shop, "P-0137", 6000), due_on="2026-03-12")
    words = "P-0137 2000 thru 3/8 A36 job J-1".split()
    log_words(shop, words, LogOptions(), MONDAY - timedelta(hours=1))
    found = of(forecast(shop, ALL, MONDAY), "P-0137")
    assert (found.wear, found.planned) == (2000.0, 4000.0)


def test_a_job_that_is_late_counts_on_the_first_day(shop: Session) -> None:
    plan_job(shop, "J-1", run(shop, "P-0137", 6000), due_on="2026-02-12")
    assert due_on(shop) == MONDAY.date()


def test_a_job_without_a_day_is_named_and_not_counted(shop: Session) -> None:
    plan_job(shop, "J-1", run(shop, "P-0137", 6000))
    found = forecast(shop, ALL, MONDAY)
    assert found.pieces == ()
    assert found.notes == ("job J-1 has no day it is due: its strokes are not counted",)


def test_closed_days_push_the_date_back(shop: Session) -> None:
    worked(shop, "P-0137", 200)
    rule(shop, "shift.closed_days", "2026-03-04 to 2026-03-05")
    assert due_on(shop).isoformat() == "2026-03-10"
    assert forecast(shop, ALL, MONDAY).closed == ("2026-03-04", "2026-03-05")


def test_a_saturday_shift_brings_the_date_forward(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-0137").kind_id
    add_piece(shop, "P-0150", kind, wear=100)
    worked(shop, "P-0150", 100)
    before = due_on(shop, "P-0150")
    rule(shop, "shift.work_days", "Mon-Sat")
    after = of(forecast(shop, ALL, MONDAY), "P-0150")
    assert after.per_work_day < 100
    assert date.fromisoformat(after.due_on) <= before + timedelta(days=1)


def test_only_the_weeks_ahead_are_shown_unless_all_are_asked_for(shop: Session) -> None:
    worked(shop, "P-0137", 100)
    worked(shop, "P-0140", 200)
    found = forecast(shop, ForecastRequest(weeks=1), MONDAY)
    assert ([one.tag for one in found.pieces], found.later, found.until) == (
        *(["P-0140"], 1),
        "2026-03-08",
    )
    assert len(forecast(shop, ALL, MONDAY).pieces) == 2


def test_a_kind_runs_out_when_its_grinds_are_used_up(shop: Session) -> None:
    worked(shop, "P-0137", 250)
    kind = piece_by_tag(shop, "P-0137").kind_id
    with shop.writing():
        shop.run("UPDATE kind SET regrind_mm = 0.25, lead_days = 14 WHERE id = ?", (kind,))
    (found,) = [one for one in forecast(shop, ALL, MONDAY).kinds if one.role == "punch"]
    assert (found.pieces, found.in_hand, found.per_work_day) == (1, 5000.0, 250.0)
    assert (found.out_on, found.order_by) == ("2026-03-27", "2026-03-13")
    add_piece(shop, "P-0150", kind)
    (more,) = [one for one in forecast(shop, ALL, MONDAY).kinds if one.role == "punch"]
    assert more.in_hand == 15000.0
    assert more.out_on > found.out_on


@pytest.mark.parametrize("weeks", [0, 53])
def test_weeks_have_limits(shop: Session, weeks: int) -> None:
    with pytest.raises(BadValue, match=f"weeks={weeks} must be 1 to 52"):
        forecast(shop, ForecastRequest(weeks=weeks), MONDAY)


def events(path: Path) -> list[Any]:
    return list(Calendar.from_ical(path.read_bytes()).walk("VEVENT"))


def test_the_calendar_file_holds_a_lasting_event_for_each_piece(
    shop: Session, tmp_path: Path
) -> None:
    worked(shop, "P-0137", 200)
    request = ForecastRequest(ics=tmp_path / "due.ics")
    assert forecast(shop, request, MONDAY).file == str(request.ics)
    (before,) = events(tmp_path / "due.ics")
    assert before.decoded("dtstart") == date(2026, 3, 6)
    assert before.decoded("dtstamp") == MONDAY
    assert str(before["summary"]) == "P-0137: grind it"
    assert "Now 4,000 of 5,000 weighted strokes, 80 %; 200 a working day." in before["description"]
    rule(shop, "shift.closed_days", "2026-03-06")
    forecast(shop, request, MONDAY)
    (after,) = events(tmp_path / "due.ics")
    assert (after["uid"], after.decoded("dtstart")) == (before["uid"], date(2026, 3, 9))


def test_another_file_is_not_written_over(shop: Session, tmp_path: Path) -> None:
    request = ForecastRequest(ics=tmp_path / "due.ics")
    (tmp_path / "due.ics").write_text("my notes")
    with pytest.raises(Refused, match="crib did not write it"):
        forecast(shop, request, MONDAY)


def test_pieces_that_cannot_be_used_have_no_date(shop: Session) -> None:
    worked(shop, "P-0137", 200)
    stamp = ledger.new_stamp(person_id(shop, ""))
    entry = NewEntry("break", piece_by_tag(shop, "P-0137").id, condition="broken")
    ledger.write(shop, stamp, [entry])
    assert forecast(shop, ALL, MONDAY).pieces == ()


@pytest.mark.parametrize(("job", "planned"), [("J-OLD", 100.0), ("j-old", 100.0), ("other", 0.0)])
def test_jobs_that_made_the_pace_are_not_on_top_of_it(
    shop: Session, job: str, planned: float
) -> None:
    """A shop that plans all of its 100 strokes a day, and has 500 of them in its plan ahead."""
    due = (MONDAY + timedelta(days=7)).date().isoformat()
    plan_job(shop, "J-OLD", run(shop, "P-0137", 1), now=MONDAY - timedelta(days=60))
    shop.connection.execute("UPDATE job SET open = 0")
    worked(shop, "P-0137", 100, job=job)
    before = due_on(shop)
    plan_job(shop, "J-NEW", run(shop, "P-0137", 500), due_on=due, now=MONDAY)
    found = of(forecast(shop, ALL, MONDAY), "P-0137")
    assert (found.per_work_day, found.planned_per_work_day) == (100.0, planned)
    assert (due_on(shop) == before) is bool(planned)
