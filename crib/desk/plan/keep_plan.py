"""Keep a plan: the job with its features and runs, and a want for everything that is missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crib.acts import Confirmed, Said, act, saying
from crib.desk.answer.wants import remember_want
from crib.desk.common.acting import read_day, stamp_for
from crib.desk.plan.mend_plan import KeptPlan
from crib.desk.plan.phrase_picks import Served
from crib.desk.plan.planned_parts import PlanJob
from crib.desk.plan.runs import Run
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import JobLineRow
from crib.stock.queries.pieces import pieces_by_tags
from crib.stock.writers.keep_jobs import JobFacts, NewRun, keep_plan
from crib.words import CUTS_TOGETHER


@dataclass(frozen=True, slots=True)
class Keeping:
    """Who keeps a plan, what was confirmed, and what stands of the plan that was kept before."""

    by: str = ""
    confirmed: Confirmed = frozenset()
    standing: KeptPlan | None = None


def keep(
    session: Session,
    job: PlanJob,
    runs: Sequence[Run],
    served: dict[str, Served],
    whose: Keeping,
    now: datetime | None = None,
) -> list[Said]:
    """Keep one job's plan in one transaction; returns what a person should know of it.

    Raises:
        BadValue: for a name or a day that cannot stand.
        AskBack: when strokes of an earlier plan are logged.
    """
    read_day(job.due_on, "the due date")
    own = [run for run in runs if run.task.chunk.job.name == job.name]
    kept = [run for run in own if run.tools]
    ids = {
        tag: card.id
        for tag, card in pieces_by_tags(
            session, {tool.tag for run in kept for tool in run.tools}
        ).items()
    }
    wanted = _missing(job, served)
    by, confirmed, stands = whose.by, whose.confirmed, whose.standing
    lines = lines_of_job(job)
    if stands is not None:
        lines, confirmed = list(stands.lines), confirmed | {"strokes-of-earlier-plan"}
    with session.writing():
        stamp = stamp_for(session, by, now=now)
        facts = JobFacts(job.name, job.due_on, run_order=job.run_order)
        made = [_new(run, served[run.use.feature.phrase], ids) for run in kept]
        made = stands.joined(made) if stands else made
        keep_plan(session, stamp, facts, lines, made, confirmed=confirmed)
        struck = 0
        for phrase, count in wanted.items():
            found = served[phrase].missing
            want = remember_want(
                session,
                phrase,
                job=job.name,
                quantity=count,
                missing=found.order if found else (),
                by=by,
                now=now,
                asked=False,
            )
            struck += not want.is_open
    before = f", {len(stands.runs)} of them as before" if stands else ""
    notes: list[Said] = [f"kept as job {job.name}: {_runs(len(made))}{before}"]
    if len(kept) < len(own):
        notes.append(f"{_runs(len(own) - len(kept))} without tools of the crib: not kept")
    if len(wanted) > struck:
        notes.append(f"{len(wanted) - struck} missing: remembered for buying")
    if struck:
        notes.append(saying(f"{struck} missing, struck out before: ", act("wants.all")))
    return notes


def lines_of_job(job: PlanJob) -> list[JobLineRow]:
    """The job's features as they are kept."""
    return [
        JobLineRow(part.mark[:60], feature.phrase, feature.each * part.pieces, feature.each)
        for part in job.parts
        for feature in part.features
    ]


def _runs(count: int) -> str:
    return "1 run" if count == 1 else f"{count} runs"


def _missing(job: PlanJob, served: dict[str, Served]) -> dict[str, int]:
    wanted: dict[str, int] = {}
    for part in job.parts:
        for feature in part.features:
            if served[feature.phrase].missing is not None:
                wanted[feature.phrase] = wanted.get(feature.phrase, 0) + feature.each * part.pieces
    return wanted


def _new(run: Run, served: Served, ids: dict[str, int]) -> NewRun:
    plate = served.plate
    lead, *others = run.tools
    under = [tool for tool in others if tool.role != lead.role or tool.role not in CUTS_TOGETHER]
    return NewRun(
        station_id=run.station.id,
        piece_id=ids[lead.tag],
        with_piece_id=ids[under[0].tag] if under else None,
        mark=run.task.chunk.part.mark[:60],
        phrase=run.use.feature.phrase,
        material=plate.material.name,
        thickness_mm=plate.thickness_mm,
        quantity=run.quantity,
        strokes=run.strokes,
        weighted_milli=round(run.weighted * 1000),
        beside=tuple(ids[tool.tag] for tool in others if tool not in under[:1]),
    )
