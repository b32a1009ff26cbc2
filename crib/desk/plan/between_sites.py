"""Tools of other sites in a plan: which are here in time, and by which day each must be sent."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from crib.acts import Said, act, saying
from crib.desk.plan.plan_result import Plan
from crib.desk.plan.planned_parts import PlanJob
from crib.stock.engine.session import Session


def days_left(jobs: Sequence[PlanJob], today: date) -> dict[str, int]:
    """For each phrase the days until the first job is due that wants it; none without a date."""
    left: dict[str, int] = {}
    for job in jobs:
        for phrase in _phrases(job) if job.due_on else ():
            days = (date.fromisoformat(job.due_on) - today).days
            left[phrase] = min(days, left.get(phrase, days))
    return left


def what_to_send(session: Session, plan: Plan, today: date) -> Iterator[Said]:
    """A note for each tool that another site must send, with the last day for it."""
    left = days_left(plan.jobs, today)
    far = {
        tool.tag: (tool, run.use.feature.phrase)
        for run in plan.runs
        for tool in run.tools
        if tool.site
    }
    for tag, (tool, phrase) in sorted(far.items()):
        send = act("send", tags=(tag,), to=session.at.name if session.at else "", site=tool.site)
        by = f" by {today + timedelta(left[phrase] - tool.site_days)}" if phrase in left else ""
        days = "1 day" if tool.site_days == 1 else f"{tool.site_days} days"
        yield saying(f"{tag} is at {tool.site}, {days} away: send it{by}: ", send)


def _phrases(job: PlanJob) -> set[str]:
    return {feature.phrase for part in job.parts for feature in part.features}
