"""The open jobs, and one of them: its runs in the order of work, and its set-up sheets."""

from __future__ import annotations

from crib.desk.kit.open_jobs import list_jobs, show_job
from crib.desk.plan.job_sheet import job_sheet, machines_of_job
from crib.page.frame.reply import Drawing, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest


def jobs(asked: PageRequest) -> Reply:
    """Every open job with how far it is, in the order of work."""
    found = list_jobs(asked.session, asked.now)
    return Shown("jobs", {"jobs": found.jobs}, found)


def job(asked: PageRequest) -> Reply:
    """One job: what is run where, with which tools, and how much of it is logged."""
    found = show_job(asked.session, asked["job"], asked.now)
    by_station: dict[str, list[object]] = {}
    for run in found.runs:
        by_station.setdefault(f"{run.machine} / {run.station}", []).append(run)
    values = {"job": found.jobs[0], "stations": by_station, "notes": found.notes}
    return Shown("job", values, found)


def sheets(asked: PageRequest) -> Reply:
    """The machines of a job, with the set-up sheet of each."""
    name = show_job(asked.session, asked["job"], asked.now).jobs[0].card.name
    machines = machines_of_job(asked.session, name)
    return Shown("job_sheets", {"name": name, "machines": machines}, {"machines": machines})


def sheet(asked: PageRequest) -> Reply:
    """The set-up sheet of one machine, as on paper."""
    made = job_sheet(asked.session, asked["job"], asked["machine"], asked.now)
    return Drawing(made, "application/pdf")


# What stands behind a job's name goes first: a name may hold a slash.
VIEWS = (
    View("/jobs", jobs),
    View("/jobs/{job:path}/set-up", sheets, slow=True),
    View(
        "/jobs/{job:path}/set-up.pdf",
        sheet,
        takes=(FormField("machine", needed=True),),
        slow=True,
    ),
    View("/jobs/{job:path}", job),
)
