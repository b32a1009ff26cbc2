"""The set-up sheet of what is left of a kept job, for a door that shows it and writes no file."""

from __future__ import annotations

from datetime import datetime

from crib.acts import act, saying
from crib.desk.common.acting import today_of
from crib.desk.plan.make_plan import PlanRequest, make_plan
from crib.desk.plan.set_up_sheets import sheet_bytes, standing_tools
from crib.errors import Refused, UnknownName
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session

_SECONDS = 4.0
"""A page waits for it."""


def machines_of_job(session: Session, job: str) -> list[str]:
    """The machines that a kept job's rest would be run on, a sheet for each.

    Raises:
        UnknownName: when no job is called so.
    """
    plan = make_plan(session, PlanRequest(job=job, seconds=0.0))
    return [one.machine for one in plan.machines]


def job_sheet(session: Session, job: str, machine: str, now: datetime | None = None) -> bytes:
    """The set-up sheet of one machine for what is left of a kept job, as a PDF.

    Raises:
        UnknownName: for a job or a machine that is not known, or has no work of it.
        Refused: when nothing of the job is left to be run.
    """
    plan = make_plan(session, PlanRequest(job=job, seconds=_SECONDS))
    names = [one.machine for one in plan.machines]
    if not plan.runs:
        message = f"job {job}: nothing of it is left to be set up"
        raise Refused(message, way_out=saying("its runs: ", act("jobs")))
    if machine not in names:
        message = f"job {job} has no work on {machine!r}"
        raise UnknownName(message, way_out=f"its machines: {', '.join(names)}")
    rules, made_on = shop_rules(session), today_of(now)
    return sheet_bytes(plan, machine, rules, made_on, standing_tools(session))
