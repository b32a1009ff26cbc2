"""Open jobs with their progress, and closing one with or without its last strokes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from crib.acts import Act, act, acts_in, saying, yes_to
from crib.desk.book.undo import undo_act
from crib.desk.kit.open_jobs import Closing, close, list_jobs, reopen, show_job
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import AskBack, BadValue, Refused, UnknownName
from crib.stock.engine.session import Session
from tests.desk.planning import add_job, hole, one_machine, part_list, plan

ALL = yes_to("whole-act")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A shop with a kept job of 48 strokes."""
    session = one_machine(tmp_path / "s.crib")
    file = part_list(tmp_path / "list.csv", ("B1", hole("13/16"), 12, 4))
    plan(session, file, job="24-118", due="2026-06-01", keep=True)
    yield session
    session.close()


def log(shop: Session, count: int) -> None:
    """Strokes of the job."""
    words = ["P-14", str(count), "thru", "3/8", "A36", "with", "D-14", "job", "24-118"]
    log_words(shop, words, LogOptions())


def test_a_job_is_listed_with_its_progress(shop: Session) -> None:
    log(shop, 20)
    (one,) = list_jobs(shop, datetime(2026, 6, 1, 12, 0, tzinfo=UTC)).jobs
    assert (one.card.name, one.card.planned, one.card.logged, one.late) == (
        "24-118",
        48,
        20,
        False,
    )


def test_a_job_past_its_day_is_late(shop: Session) -> None:
    (one,) = list_jobs(shop, datetime(2026, 6, 2, 12, 0, tzinfo=UTC)).jobs
    assert one.late


def test_a_job_shows_its_runs(shop: Session) -> None:
    log(shop, 20)
    shown = show_job(shop, "24-118")
    assert [(run.tag, run.with_tag, run.logged, run.left) for run in shown.runs] == [
        ("P-14", "D-14", 20, 28)
    ]
    add_job(shop, "bare", ("B1", hole("13/16"), 12))
    (note,) = show_job(shop, "bare").notes
    assert acts_in(note) == (act("plan.keep", job="bare"),)
    with pytest.raises(UnknownName, match="no job is called 'none'"):
        show_job(shop, "none")


def test_closing_asks_about_strokes_that_nobody_logged(shop: Session) -> None:
    log(shop, 20)
    with pytest.raises(AskBack, match="28 of 48 planned strokes of job 24-118 are not logged"):
        close(shop, "24-118", Closing())
    assert show_job(shop, "24-118").jobs[0].card.open


def test_assumed_strokes_are_counted_and_marked(shop: Session) -> None:
    log(shop, 20)
    closed = close(shop, "24-118", Closing(assume=True))
    (state,) = closed.jobs
    assert (state.card.open, state.card.logged) == (False, 48)
    rows = shop.rows(
        "SELECT piece.tag, entry.quantity, entry.estimate, entry.note FROM entry"
        " JOIN piece ON piece.id = entry.piece_id WHERE entry.job = '24-118'"
        " AND entry.estimate ORDER BY entry.id"
    )
    assert [tuple(row) for row in rows] == [
        ("P-14", 28, 1, "assumed at closing"),
        ("D-14", 28, 1, "under P-14"),
    ]
    assert "28 planned strokes are counted, marked assumed" in closed.notes


def test_strokes_that_were_not_made_are_not_counted(shop: Session) -> None:
    closed = close(shop, "24-118", Closing(not_made=True))
    assert "48 planned strokes were not made" in closed.notes
    assert shop.value("SELECT strokes_total FROM piece WHERE tag = 'P-14'") == 0


def test_a_job_that_is_all_logged_closes_without_a_word(shop: Session) -> None:
    log(shop, 48)
    closed = close(shop, "24-118", Closing())
    assert len(closed.notes) == 1
    with pytest.raises(Refused, match="job '24-118' is closed already"):
        close(shop, "24-118", Closing())


def test_a_job_closed_by_mistake_is_opened_again_with_its_reason(shop: Session) -> None:
    close(shop, "24-118", Closing(not_made=True))
    opened = reopen(shop, "24-118", "closed the wrong one", Closing(on="2026-06-03"))
    (state,) = opened.jobs
    assert (state.card.open, state.card.closed_on) == (True, "")
    assert state.card.note == "opened again 2026-06-03: closed the wrong one"
    assert opened.notes[0] == "job 24-118 is open again"
    assert [one.card.name for one in list_jobs(shop).jobs] == ["24-118"]


def test_strokes_assumed_at_closing_stay_until_their_act_is_taken_back(shop: Session) -> None:
    log(shop, 20)
    closed = close(shop, "24-118", Closing(assume=True))
    act = shop.value("SELECT act FROM entry WHERE note = 'assumed at closing'")
    undo = Act("undo.act", (("act", act), ("why", None)))
    opened = reopen(shop, "24-118", "not done")
    for notes in (closed.notes, opened.notes):
        assert [told for told in notes if undo in acts_in(told)] == [
            saying("the 28 strokes assumed at closing stay counted until ", undo)
        ]
    assert opened.jobs[0].card.logged == 48
    undo_act(shop, act, "not made", confirmed=ALL)
    assert show_job(shop, "24-118").jobs[0].card.logged == 20
    assert not any(
        "assumed" in str(note) for note in close(shop, "24-118", Closing(not_made=True)).notes
    )


def test_an_open_job_and_a_reason_that_cannot_stand_are_refused(shop: Session) -> None:
    with pytest.raises(Refused, match="job '24-118' is open"):
        reopen(shop, "24-118", "closed by mistake")
    close(shop, "24-118", Closing(not_made=True))
    with pytest.raises(BadValue, match="job 24-118 opened again: no reason given"):
        reopen(shop, "24-118", " ")
    with shop.writing():
        shop.run("UPDATE job SET note = ?", ("n" * 380,))
    with pytest.raises(BadValue, match="would have 411 letters, at most 400"):
        reopen(shop, "24-118", "oops", Closing(on="2026-06-03"))
    assert not show_job(shop, "24-118").jobs[0].card.open
