"""Jobs, their planned runs, and what the ledger says of them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from crib.acts import yes_to
from crib.errors import AskBack, BadValue, Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import (
    JobLineRow,
    job_called,
    job_lines,
    open_jobs,
    open_runs_at,
    planned_runs,
    runs_of_pieces,
)
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import HoldRecord
from crib.stock.writers.keep_jobs import JobFacts, NewRun, close_job, keep_plan
from tests.shop import add_piece, insert, small_shop

PLANNED = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
LATER = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
HOLE = "hole 13/16 thru 3/8 A36"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A small shop."""
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def stamp(moment: datetime = PLANNED) -> ledger.Stamp:
    """The window's stamp at a moment."""
    return ledger.new_stamp(1, now=moment)


def run(session: Session, tag: str = "P-0137", strokes: int = 40, thick: float = 9.525) -> NewRun:
    """A run of one punch over a die."""
    station = session.value("SELECT min(id) FROM station")
    piece, die = piece_by_tag(session, tag), piece_by_tag(session, "D-0201")
    return NewRun(
        station, piece.id, die.id, "B1", HOLE, "A36", thick, strokes, strokes, strokes * 1000
    )


def keep(session: Session, runs: list[NewRun], name: str = "24-118", due: str = "") -> int:
    """A plan kept under a name."""
    line = JobLineRow("B1", HOLE, 40, 4)
    return keep_plan(session, stamp(), JobFacts(name, due), [line], runs)


def log(
    session: Session,
    tag: str,
    count: int,
    job: str = "24-118",
    thick: float | None = 9.525,
    moment: datetime = LATER,
) -> list[int]:
    """Strokes of a piece for a job, straight into the ledger."""
    piece = piece_by_tag(session, tag)
    entry = ledger.NewEntry("strokes", piece.id, quantity=count, job=job, thickness_mm=thick)
    ledger.write(session, stamp(moment), [entry])
    rows = session.rows("SELECT id FROM entry ORDER BY id DESC LIMIT 1")
    return [row[0] for row in rows]


def logged(session: Session, name: str = "24-118") -> list[int]:
    """What is logged of each run."""
    return [one.logged for one in planned_runs(session, job_called(session, name).id)]


def test_a_plan_is_kept_with_its_features_and_runs(shop: Session) -> None:
    job_id = keep(shop, [run(shop)], due="2026-03-09")
    (card,) = open_jobs(shop)
    (kept,) = planned_runs(shop, job_id)
    assert (card.name, card.due_on, card.planned, card.logged, card.left) == (
        "24-118",
        "2026-03-09",
        40,
        0,
        40,
    )
    assert (kept.tag, kept.with_tag, kept.place) == ("P-0137", "D-0201", "A1")
    assert (kept.machine, kept.station) == ("Ironworker 1", "punch")
    assert job_lines(shop, job_id) == [JobLineRow("B1", HOLE, 40, 4)]


def test_strokes_with_the_jobs_name_count_and_come_off_when_taken_back(shop: Session) -> None:
    keep(shop, [run(shop)])
    entries = log(shop, "P-0137", 25)
    assert logged(shop) == [25]
    ledger.reverse(shop, stamp(LATER), entries, "wrong tag")
    assert logged(shop) == [0]


def test_strokes_before_the_plan_or_of_another_job_do_not_count(shop: Session) -> None:
    keep(shop, [run(shop)])
    log(shop, "P-0137", 5, moment=datetime(2026, 3, 1, 8, 0, tzinfo=UTC))
    log(shop, "P-0137", 6, job="24-119")
    log(shop, "P-0137", 7, job="")
    assert logged(shop) == [0]


def test_strokes_go_to_the_run_of_their_thickness_first(shop: Session) -> None:
    keep(shop, [run(shop, thick=6.35), run(shop, thick=9.525)])
    log(shop, "P-0137", 30)
    assert logged(shop) == [0, 30]
    log(shop, "P-0137", 30, thick=None)
    assert logged(shop) == [30, 30]


def test_a_copy_that_was_taken_instead_counts_for_its_kind(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-0137").kind_id
    add_piece(shop, "P-0138", kind)
    keep(shop, [run(shop)])
    log(shop, "P-0138", 50)
    card = job_called(shop, "24-118")
    assert (card.logged, card.beyond) == (40, 10)


def test_a_plan_without_strokes_is_replaced(shop: Session) -> None:
    first = keep(shop, [run(shop), run(shop, "P-0140")])
    assert keep(shop, [run(shop, strokes=12)]) == first
    assert [one.strokes for one in planned_runs(shop, first)] == [12]
    assert len(job_lines(shop, first)) == 1


def test_logged_strokes_are_asked_about_and_can_be_kept(shop: Session) -> None:
    keep(shop, [run(shop)])
    log(shop, "P-0137", 25)
    with pytest.raises(AskBack, match="25 of 40 strokes of job '24-118' are logged already"):
        keep(shop, [run(shop, strokes=60)])
    new = run(shop, strokes=60)
    keep_plan(
        shop,
        stamp(LATER),
        JobFacts("24-118"),
        [],
        [new],
        confirmed=yes_to("strokes-of-earlier-plan"),
    )
    assert logged(shop) == [25]


def test_a_due_date_stays_when_nobody_says_another(shop: Session) -> None:
    keep(shop, [run(shop)], due="2026-03-09")
    keep(shop, [run(shop)])
    assert job_called(shop, "24-118").due_on == "2026-03-09"


def test_open_runs_are_those_with_strokes_left_at_a_machine(shop: Session) -> None:
    keep(shop, [run(shop), run(shop, "P-0140")])
    log(shop, "P-0137", 40)
    assert [one.tag for one in open_runs_at(shop, "ironworker 1")] == ["P-0140"]
    assert open_runs_at(shop, "Ironworker 2") == []
    station = shop.value("SELECT min(id) FROM station")
    assert [one.tag for one in open_runs_at(shop, [station])] == ["P-0140"]


def test_the_runs_of_a_piece_are_found_also_under_the_punch(shop: Session) -> None:
    keep(shop, [run(shop), run(shop, "P-0140")])
    die, punch = piece_by_tag(shop, "D-0201").id, piece_by_tag(shop, "P-0140").id
    assert [one.tag for one in runs_of_pieces(shop, [die])] == ["P-0137", "P-0140"]
    assert [one.tag for one in runs_of_pieces(shop, [punch])] == ["P-0140"]
    assert runs_of_pieces(shop, []) == []


def test_jobs_stand_in_the_order_of_work(shop: Session) -> None:
    keep(shop, [run(shop)], name="no date")
    keep(shop, [run(shop)], name="late", due="2026-04-01")
    keep(shop, [run(shop)], name="soon", due="2026-03-03")
    keep_plan(shop, stamp(), JobFacts("first of all", run_order=1), [], [run(shop)])
    names = [one.name for one in open_jobs(shop)]
    assert names == ["first of all", "soon", "late", "no date"]


def test_a_closed_job_is_no_longer_open_and_frees_what_was_promised(shop: Session) -> None:
    job_id = keep(shop, [run(shop)])
    piece = piece_by_tag(shop, "P-0137").id
    insert(
        shop, HoldRecord, job_id=job_id, piece_id=piece, person_id=1, made_at="2026-03-02T08:00:00Z"
    )
    close_job(shop, job_called(shop, "24-118"), "2026-03-05")
    assert open_jobs(shop) == []
    assert job_called(shop, "24-118").closed_on == "2026-03-05"
    assert shop.value("SELECT state FROM hold") == "released"


def test_a_closed_job_is_not_closed_or_planned_again(shop: Session) -> None:
    keep(shop, [run(shop)])
    close_job(shop, job_called(shop, "24-118"), "2026-03-05")
    closed = job_called(shop, "24-118")
    with pytest.raises(Refused, match="closed already, on 2026-03-05"):
        close_job(shop, closed, "2026-03-06")
    with pytest.raises(Refused, match="was closed on 2026-03-05"):
        keep(shop, [run(shop)])


def test_a_job_that_is_not_there_names_the_open_ones(shop: Session) -> None:
    keep(shop, [run(shop)])
    with pytest.raises(UnknownName, match="no job is called '24-999'; open: 24-118"):
        job_called(shop, "24-999")


@pytest.mark.parametrize("name", ["", "   ", "x" * 61])
def test_a_name_that_cannot_stand_is_refused(shop: Session, name: str) -> None:
    with pytest.raises(BadValue, match="must have 1 to 60"):
        keep(shop, [run(shop)], name=name)
