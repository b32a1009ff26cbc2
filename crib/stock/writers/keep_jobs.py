"""Writing jobs: a plan with its features and runs at once; closing a job and reopening it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from crib.acts import Confirmed, act, saying
from crib.errors import AskBack, BadValue, Refused
from crib.stock.book.ledger import Stamp
from crib.stock.book.subjects import CLOSING
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import JobCard, JobLineRow, job_called, job_row

LONGEST_NAME = 60
LONGEST_NOTE = 400


@dataclass(frozen=True, slots=True)
class JobFacts:
    """What is said of a job; an empty text or None leaves what the job has already."""

    name: str
    due_on: str = ""
    note: str = ""
    run_order: int | None = None


@dataclass(frozen=True, slots=True)
class NewRun:
    """A run to be kept. ``strokes`` and ``weighted_milli`` are of all ``quantity`` features.

    ``beside`` are the pieces that cut with the one that strikes, a die apart.
    """

    station_id: int
    piece_id: int
    with_piece_id: int | None
    mark: str
    phrase: str
    material: str
    thickness_mm: float | None
    quantity: int
    strokes: int
    weighted_milli: int = 0
    beside: tuple[int, ...] = ()


def keep_plan(
    session: Session,
    stamp: Stamp,
    facts: JobFacts,
    lines: Sequence[JobLineRow],
    runs: Sequence[NewRun],
    *,
    confirmed: Confirmed = frozenset(),
) -> int:
    """Keep a job's features and runs instead of its earlier plan; returns the job's number.

    The strokes that were logged against the earlier plan count for this one when that is confirmed;
    it is again a plan of the whole job.

    Raises:
        BadValue: for a name that cannot stand.
        Refused: for a job that is closed.
        AskBack: when strokes of the earlier plan are logged and nobody said what becomes of them.
    """
    name = " ".join(facts.name.split())
    if not 0 < len(name) <= LONGEST_NAME:
        message = f"job name {name[:20]!r} has {len(name)} letters, must have 1 to {LONGEST_NAME}"
        example = act("say.job", job="24-118")
        raise BadValue(message, way_out=saying("name the job as on its paper, such as ", example))
    with session.writing():
        made_at, job_id = stamp.made_at, None
        if job_row(session, name) is not None:
            old = job_called(session, name)
            made_at, job_id = _since(session, old, confirmed) or made_at, old.id
            _clear(session, old, facts)
        if job_id is None:
            values = {"name": name, "due_on": facts.due_on, "note": facts.note, "open": True}
            job_id = session.insert(
                "job", {**values, "run_order": facts.run_order} | session.rooted
            )
        _write(session, stamp, job_id, made_at, lines, runs)
    return job_id


def _since(session: Session, old: JobCard, confirmed: Confirmed) -> str | None:
    """From when strokes count: from the earlier plan when they are kept; None for from now."""
    if not old.open:
        message = f"job {old.name!r} was closed on {old.closed_on or 'an earlier day'}"
        raise Refused(message, way_out="plan it under a new name")
    if not old.logged:
        return None
    if "strokes-of-earlier-plan" not in confirmed:
        message = f"{old.logged} of {old.planned} strokes of job {old.name!r} are logged already"
        again = act("confirm.strokes-of-earlier-plan")
        way_out = saying("add ", again, ": they will count for the new plan of the whole job")
        raise AskBack(message, confirm="strokes-of-earlier-plan", way_out=way_out)
    first: str = session.value("SELECT min(made_at) FROM planned_run WHERE job_id = ?", (old.id,))
    return first


def _clear(session: Session, old: JobCard, facts: JobFacts) -> None:
    """Take the earlier plan away and set what is said anew of the job."""
    session.run("DELETE FROM planned_run_piece WHERE job_id = ?", (old.id,))
    session.run("DELETE FROM planned_run WHERE job_id = ?", (old.id,))
    session.run("DELETE FROM job_line WHERE job_id = ?", (old.id,))
    session.run(
        "UPDATE job SET due_on = ?, note = ?, run_order = ? WHERE id = ?",
        (
            facts.due_on or old.due_on,
            facts.note or old.note,
            old.run_order if facts.run_order is None else facts.run_order,
            old.id,
        ),
    )


def _write(
    session: Session,
    stamp: Stamp,
    job_id: int,
    made_at: str,
    lines: Sequence[JobLineRow],
    runs: Sequence[NewRun],
) -> None:
    session.insert_many(
        "job_line",
        ("job_id", "mark", "phrase", "quantity", "per_part"),
        [(job_id, line.mark, line.phrase, line.quantity, line.per_part) for line in lines],
    )
    for sequence, run in enumerate(runs, 1):
        facts = {"job_id": job_id, "sequence": sequence, "person_id": stamp.person_id}
        values = {**asdict(run), **facts, "made_at": made_at}
        del values["beside"]
        session.insert("planned_run", values)
    session.insert_many(
        "planned_run_piece",
        ("job_id", "sequence", "piece_id"),
        [
            (job_id, sequence, piece_id)
            for sequence, run in enumerate(runs, 1)
            for piece_id in run.beside
        ],
    )


def close_job(session: Session, job: JobCard, on: str) -> None:
    """Mark a job closed on a day; pieces that were only promised to it are free again.

    Raises:
        Refused: for a job that is closed already.
    """
    if not job.open:
        message = f"job {job.name!r} is closed already, on {job.closed_on or 'an earlier day'}"
        raise Refused(message, way_out="nothing to do")
    with session.writing():
        session.run("UPDATE job SET open = FALSE, closed_on = ? WHERE id = ?", (on, job.id))
        session.run(
            "UPDATE hold SET state = 'released' WHERE job_id = ? AND state = 'held'", (job.id,)
        )


def reopen_job(session: Session, job: JobCard, remark: str) -> None:
    """Open a closed job again; the remark is added to its note.

    Raises:
        Refused: for a job that is open.
        BadValue: when its note has no room for the remark.
    """
    if job.open:
        message = f"job {job.name!r} is open"
        raise Refused(message, way_out="nothing to do")
    note = "; ".join(text for text in (job.note, remark) if text)
    if len(note) > LONGEST_NOTE:
        size = f"{len(note)} letters, at most {LONGEST_NOTE}"
        message = f"the note of job {job.name!r} would have {size}"
        raise BadValue(message, way_out=saying("say it shorter with ", act("say.why")))
    with session.writing():
        session.run(
            "UPDATE job SET open = TRUE, closed_on = '', note = ? WHERE id = ?", (note, job.id)
        )


def acts_at_closing(session: Session, job: JobCard) -> dict[str, int]:
    """The acts that assumed strokes when a job was closed and still hold, with their strokes."""
    rows = session.rows(
        "SELECT entry.act, sum(entry.quantity) FROM entry"
        " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE lower(entry.job) = lower(?) AND entry.action = 'strokes' AND entry.subject = ?"
        " AND counter.id IS NULL GROUP BY entry.act ORDER BY min(entry.id)",
        (job.name, CLOSING),
    )
    return {act: int(quantity) for act, quantity in rows}
