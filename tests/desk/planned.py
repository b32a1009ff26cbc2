"""Jobs with planned runs, for tests."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from crib.stock.book import ledger
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import JobLineRow
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.writers.keep_jobs import JobFacts, NewRun, keep_plan

PLANNED_AT = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)


def plan_job(
    session: Session,
    name: str,
    *runs: NewRun,
    due_on: str = "",
    now: datetime = PLANNED_AT,
) -> int:
    """Keep a job with these runs."""
    stamp = ledger.new_stamp(person_id(session, ""), now=now)
    lines = [JobLineRow(run.mark, run.phrase, run.quantity, 1) for run in runs]
    return keep_plan(session, stamp, JobFacts(name, due_on), lines, list(runs))


def run(
    session: Session,
    tag: str,
    strokes: int,
    *,
    die: str = "",
    station: str = "Ironworker 1 / punch",
    **columns: Any,
) -> NewRun:
    """A run of a piece through 3/8 A36; its strokes weigh 1 each unless said otherwise."""
    values: dict[str, Any] = {
        "station_id": session.value("SELECT station_id FROM place WHERE name = ?", (station,)),
        "piece_id": piece_by_tag(session, tag).id,
        "with_piece_id": piece_by_tag(session, die).id if die else None,
        "mark": "B1",
        "phrase": "hole 13/16 thru 3/8 A36",
        "material": "A36",
        "thickness_mm": 9.525,
        "quantity": strokes,
        "strokes": strokes,
        "weighted_milli": strokes * 1000,
    }
    return NewRun(**(values | columns))
