"""The open jobs: how far each is, its runs one by one, closing one and opening it again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from crib.acts import Said, act, saying, yes_to
from crib.desk.common.acting import require_reason, stamp_for, today_of
from crib.desk.kit.claims import claim, claim_note, unclaimed
from crib.desk.strokes.log import LogOptions, log_lines
from crib.desk.strokes.log_book import StrokeLine
from crib.desk.strokes.weigh import Work
from crib.errors import AskBack
from crib.stock.book.settings import shop_rules
from crib.stock.book.subjects import CLOSING
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import (
    JobCard,
    RunCard,
    job_and_runs,
    job_called,
    open_jobs,
    planned_runs,
)
from crib.stock.writers.keep_jobs import acts_at_closing, close_job, reopen_job
from crib.trade.shop.shop_rules import Rules

ASSUMED = "assumed at closing"
# They are counted because nobody logged them, however many they are.
_PLANNED = yes_to("typed-already", "many-strokes")


@dataclass(frozen=True, slots=True)
class JobState:
    """A job with what a person wants to know of it on a day."""

    card: JobCard
    late: bool

    def as_json(self) -> dict[str, Any]:
        """The job for programs."""
        card = self.card
        return {
            "job": card.name,
            "due_on": card.due_on or None,
            "late": self.late,
            "open": card.open,
            "closed_on": card.closed_on or None,
            "run_order": card.run_order,
            "note": card.note,
            "runs": card.runs,
            "strokes_planned": card.planned,
            "strokes_logged": card.logged,
            "strokes_left": card.left if card.runs else None,
            "strokes_beyond": card.beyond,
            "planned": bool(card.runs),
        }


@dataclass(frozen=True, slots=True)
class Jobs:
    """The open jobs, or one job with its runs; ``notes`` say what was just done."""

    jobs: tuple[JobState, ...]
    runs: tuple[RunCard, ...] = ()
    notes: tuple[Said, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """All of it for programs."""
        return {
            "jobs": [job.as_json() for job in self.jobs],
            "runs": [_run_json(run) for run in self.runs],
            "notes": list(self.notes),
        }


@dataclass(frozen=True, slots=True)
class Closing:
    """How a job is closed: what becomes of planned strokes that nobody logged."""

    assume: bool = False
    not_made: bool = False
    by: str = ""
    on: str = ""


def list_jobs(session: Session, now: datetime | None = None) -> Jobs:
    """Every open job with its progress, in the order of work."""
    today = today_of(now)
    return Jobs(tuple(_state(card, today) for card in open_jobs(session)))


def show_job(session: Session, name: str, now: datetime | None = None) -> Jobs:
    """One job with its runs.

    Raises:
        UnknownName: when there is none of that name.
    """
    card, runs = job_and_runs(session, name)
    notes: tuple[Said, ...] = claim_note(card, unclaimed(session, card, runs))
    if not runs:
        notes = (saying("not planned yet: ", act("plan.keep", job=card.name)),)
    return Jobs((_state(card, today_of(now)),), tuple(runs), notes)


def claim_strokes(
    session: Session, name: str, *, by: str = "", now: datetime | None = None
) -> Jobs:
    """Give a job the strokes that were logged without one and that only it needs.

    Raises:
        UnknownName: when there is no job of that name.
        Refused: when there are none.
    """
    done = claim(session, name, by=by, now=now)
    shown = show_job(session, name, now)
    return replace(shown, notes=(done, *shown.notes))


def close(session: Session, name: str, how: Closing, now: datetime | None = None) -> Jobs:
    """Close a job; planned strokes that nobody logged are counted as assumed when told to.

    Raises:
        UnknownName: when there is none of that name.
        Refused: for a job that is closed already.
        AskBack: when planned strokes are not logged and nobody said what became of them.
    """
    with session.writing():
        card = job_called(session, name)
        runs = [run for run in planned_runs(session, card.id) if run.left > 0]
        notes = _settle(session, card, runs, how, now) if runs and card.open else ()
        stamp = stamp_for(session, how.by, how.on, now)
        close_job(session, card, stamp.shift_on)
    shown = show_job(session, card.name, now)
    closed = f"job {card.name} is closed as of {stamp.shift_on}"
    return replace(shown, notes=(closed, *notes, *_still_assumed(session, shown.jobs[0].card)))


def reopen(
    session: Session, name: str, why: str, how: Closing | None = None, now: datetime | None = None
) -> Jobs:
    """Open a job again that was closed by mistake; its note gets the reason.

    Raises:
        UnknownName: when there is none of that name.
        BadValue: without a reason, or when the note has no room for it.
        Refused: for a job that is open.
    """
    how = how or Closing()
    with session.writing():
        card = job_called(session, name)
        reason = require_reason(why, f"job {card.name} opened again")
        on = stamp_for(session, how.by, how.on, now).shift_on
        by = f" by {how.by.strip()}" if how.by.strip() else ""
        reopen_job(session, card, f"opened again {on}{by}: {reason}")
    shown = show_job(session, card.name, now)
    freed = saying("pieces promised to it were freed at closing: ", act("kit.hold", job=card.name))
    notes = (f"job {card.name} is open again", freed, *_still_assumed(session, card))
    return replace(shown, notes=(*notes, *shown.notes))


def _still_assumed(session: Session, card: JobCard) -> Iterator[Said]:
    """The acts that counted strokes at closing; opening the job again does not take them back."""
    for number, count in acts_at_closing(session, card).items():
        undo = act("undo.act", act=number, why=None)
        yield saying(f"the {count:,} strokes assumed at closing stay counted until ", undo)


def _settle(
    session: Session,
    card: JobCard,
    runs: Sequence[RunCard],
    how: Closing,
    now: datetime | None,
) -> tuple[Said, ...]:
    """Log the planned strokes that are left, or ask about them."""
    left = sum(run.left for run in runs)
    if how.not_made:
        return (f"{left:,} planned strokes were not made",)
    if not how.assume:
        message = f"{left:,} of {card.planned:,} planned strokes of job {card.name} are not logged"
        assume, not_made = act("say.assume"), act("say.not-made")
        way_out = saying("log them; or add ", assume, " to count them as planned, or ", not_made)
        raise AskBack(message, choose="strokes-not-logged", way_out=way_out)
    rules = shop_rules(session)
    options = LogOptions(by=how.by, on=how.on, confirmed=_PLANNED)
    logged = log_lines(session, [_line(run, card, rules) for run in runs], options, now)
    return (f"{left:,} planned strokes are counted, marked assumed", *logged.notes)


def _line(run: RunCard, card: JobCard, rules: Rules) -> StrokeLine:
    material = rules.material(run.material) if run.material else None
    return StrokeLine(
        tag=run.tag,
        count=run.left,
        work=Work(run.thickness_mm, material),
        die_tag=run.die_tag,
        job=card.name,
        estimate=True,
        note=ASSUMED,
        subject=CLOSING,
        beside=run.beside_tags or None,
    )


def _state(card: JobCard, today: date) -> JobState:
    late = bool(card.open and card.due_on and card.due_on < today.isoformat())
    return JobState(card, late)


def _run_json(run: RunCard) -> dict[str, Any]:
    return {
        "sequence": run.sequence,
        "machine": run.machine,
        "station": run.station,
        "tag": run.tag,
        "with_tag": run.with_tag,
        "beside": list(run.beside_tags),
        "place": run.place,
        "mark": run.mark,
        "phrase": run.phrase,
        "material": run.material,
        "thickness_mm": run.thickness_mm,
        "quantity": run.quantity,
        "strokes": run.strokes,
        "logged": run.logged,
        "left": run.left,
    }
