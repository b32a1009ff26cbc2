"""Strokes without a job that only one open job needs: asked about, offered, and given to it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from crib.acts import act, acts_in, yes_to
from crib.desk.book.check import check_crib
from crib.desk.book.undo import undo_act
from crib.desk.kit.open_jobs import claim_strokes, list_jobs, show_job
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.stroke_sheet import take_sheet
from crib.errors import AskBack, Refused
from crib.stock.engine.session import Session
from crib.stock.queries.history import last_act
from crib.stock.queries.jobs import job_called
from crib.stock.tables.all_tables import JobLineRecord, JobRecord
from tests.desk.kitting import FIRST, SECOND, kit_shop, strokes
from tests.desk.rows import nothing_changes
from tests.shop import insert

NO_JOB = LogOptions(confirmed=yes_to("no-job"))
ALL = yes_to("whole-act")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Two jobs: both want P-0137 thru 3/8 A36, the second wants P-0140 as well."""
    with closing(kit_shop(tmp_path / "shop.crib")) as session:
        yield session


def log(shop: Session, words: str, options: LogOptions | None = None) -> None:
    log_words(shop, words.split(), options or LogOptions())


def test_strokes_that_only_one_job_needs_are_asked_about(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(AskBack, match=f"only job {SECOND} needs") as asked:
        log(shop, "P-0140 25 thru 3/8 A36 with D-0204")
    assert asked.value.confirm == "no-job"
    assert acts_in(asked.value.way_out) == (act("say.job", job=SECOND), act("confirm.no-job"))
    log(shop, f"P-0140 25 thru 3/8 A36 with D-0204 job {SECOND}")
    assert job_called(shop, SECOND).logged == 25
    log(shop, "P-0140 26 thru 3/8 A36")


@pytest.mark.parametrize(
    "words",
    [
        "P-0137 40 thru 3/8 A36 with D-0201",
        "P-0140 25 thru 1/2 A36",
        "P-0140 25 thru 3/8 304",
        "P-0140 25 thru 3/8 A36 job another",
    ],
)
def test_what_several_jobs_or_none_need_is_not_asked_about(shop: Session, words: str) -> None:
    log(shop, words)
    assert sum(strokes(shop).values()) > 0
    assert not any("claim" in str(note) for note in show_job(shop, SECOND).notes)


def test_what_was_said_to_be_no_jobs_is_not_offered_again(shop: Session) -> None:
    log(shop, "P-0140 25 thru 3/8 A36 with D-0204", NO_JOB)
    assert show_job(shop, SECOND).notes == ()
    with nothing_changes(shop), pytest.raises(Refused, match="no strokes without a job"):
        claim_strokes(shop, SECOND)


def test_a_sheets_strokes_are_offered_to_the_job_and_given_to_it(shop: Session) -> None:
    sheet = b"tag,strokes,thru,material,die\nP-0140,20,3/8,A36,D-0204\n"
    told = take_sheet(shop, sheet, "night.csv", LogOptions()).notes
    claim = act("jobs.claim", job=SECOND)
    assert [acts_in(note) for note in told] == [(claim,)]
    assert [acts_in(note) for note in show_job(shop, SECOND).notes] == [(claim,)]
    before = strokes(shop)
    done = claim_strokes(shop, SECOND, by="nights")
    assert done.jobs[0].card.logged == 20
    assert strokes(shop) == before == {"P-0140": 20, "D-0204": 20}
    assert {row[0] for row in shop.rows("SELECT DISTINCT job FROM entry WHERE job <> ''")} == {
        SECOND
    }
    assert check_crib(shop).sound
    undo_act(shop, str(last_act(shop, 3)), "not that job's", confirmed=ALL)
    assert (job_called(shop, SECOND).logged, strokes(shop)) == (0, {})


def test_a_job_without_a_plan_says_so(shop: Session) -> None:
    job_id = insert(shop, JobRecord, name="24-200")
    insert(shop, JobLineRecord, job_id=job_id, phrase="hole 13/16 thru 3/8 A36", quantity=4)
    states = {job.card.name: job.as_json() for job in list_jobs(shop).jobs}
    assert (states["24-200"]["planned"], states["24-200"]["strokes_left"]) == (False, None)
    assert (states[FIRST]["planned"], states[FIRST]["strokes_left"]) == (True, 40)
    assert [acts_in(note) for note in show_job(shop, "24-200").notes] == [
        (act("plan.keep", job="24-200"),)
    ]
