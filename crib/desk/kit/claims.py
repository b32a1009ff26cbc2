"""Strokes logged without a job that only one open job needs: told, and given to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from crib.acts import Said, act, saying
from crib.desk.common.acting import stamp_for
from crib.desk.kit.handing import on_day
from crib.desk.life.relearn import relearn_pieces
from crib.desk.strokes.whose_strokes import only_job
from crib.errors import Refused
from crib.stock.book.ledger import reverse, write_all
from crib.stock.engine.session import Session
from crib.stock.queries.history import other_halves
from crib.stock.queries.job_strokes import Jobless, entries_again, jobless_strokes
from crib.stock.queries.jobs import JobCard, RunCard, job_and_runs, runs_of_pieces


def unclaimed(session: Session, card: JobCard, runs: Sequence[RunCard]) -> list[Jobless]:
    """Strokes since a job was planned, without a job's name, that no other open job needs."""
    if not card.open or not any(run.left > 0 for run in runs):
        return []
    tools = {run.piece_id: run for run in runs if run.left > 0}
    since = min(run.made_at for run in runs)
    wanted: dict[int, list[RunCard]] = {}
    for run in runs_of_pieces(session, tools):
        if run.left > 0:
            wanted.setdefault(run.piece_id, []).append(run)
    return [
        one
        for one in jobless_strokes(session, tools, since)
        if only_job(wanted.get(one.piece_id, ()), one.thickness_mm, one.material) == card.name
    ]


def claim_note(card: JobCard, found: Sequence[Jobless]) -> tuple[Said, ...]:
    """What is to be said of strokes that could be a job's."""
    if not found:
        return ()
    count, tags = sum(one.count for one in found), sorted({one.tag for one in found})
    text = f"{count:,} strokes of {' and '.join(tags)} were logged without a job, and only this"
    return (saying(f"{text} one needs them: ", act("jobs.claim", job=card.name)),)


def claim(session: Session, name: str, *, by: str = "", now: datetime | None = None) -> Said:
    """Give a job the strokes that were logged without one and that only it needs, in one act.

    Each is taken back by a counter-entry and counted again as it was, with the job's name; what
    wore with a tool goes with it.

    Raises:
        UnknownName: when there is no job of that name.
        Refused: when there are none.
    """
    with session.writing():
        card, runs = job_and_runs(session, name)
        found = unclaimed(session, card, runs)
        if not found:
            message = f"job {card.name}: no strokes without a job that only it needs"
            raise Refused(message, way_out=saying(act("history"), " lists what was logged"))
        stamp = stamp_for(session, by, now=now)
        own = [one.id for one in found]
        ids = sorted({*own, *other_halves(session, own)})
        again = entries_again(session, ids)
        moved = reverse(session, stamp, ids, f"it was for job {card.name}")
        days = sorted({day for day, _entry in again})
        write_all(
            session,
            [
                (on_day(stamp, day), [replace(e, job=card.name) for on, e in again if on == day])
                for day in days
            ],
        )
        relearn_pieces(session, moved)
    count = sum(one.count for one in found)
    undo = act("undo.act", act=stamp.act, why=None)
    text = f"{count:,} strokes count for job {card.name} now; wrong? "
    off = " takes them off altogether, then log them again with "
    return saying(text, undo, off, act("confirm.no-job"))
