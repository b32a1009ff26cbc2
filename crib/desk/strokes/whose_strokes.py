"""Whose strokes are these? Those without a job's name, of a tool that only one open job needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from crib.acts import Confirmed, Said, act, saying
from crib.desk.strokes.log_book import Booked, StrokeLine
from crib.errors import AskBack
from crib.stock.book.subjects import NO_JOB
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import RunCard, runs_of_pieces

_SAME_THICKNESS_MM = 0.01


@dataclass(slots=True)
class JobGuard:
    """Knows which open jobs still want strokes of a tool, read once for each."""

    session: Session
    _runs: dict[int, list[RunCard]] = field(default_factory=dict)

    def look_at(self, piece_ids: Iterable[int]) -> None:
        """Learn which runs want some tools, all at once."""
        unknown = [one for one in dict.fromkeys(piece_ids) if one not in self._runs]
        if not unknown:
            return
        self._runs |= {one: [] for one in unknown}
        for run in runs_of_pieces(self.session, unknown):
            if run.piece_id in self._runs and run.left > 0:
                self._runs[run.piece_id].append(run)

    def job_of(self, line: StrokeLine, piece_id: int) -> str:
        """The one job that needs a line's strokes; empty where it names one, or none or several."""
        if line.job or line.subject or line.code:
            return ""
        self.look_at([piece_id])
        material = line.work.material.name if line.work.material else ""
        return only_job(self._runs[piece_id], line.work.thickness_mm, material)

    def settled(self, booked: Sequence[Booked], confirmed: Confirmed) -> list[Booked]:
        """The lines, those that somebody says are no job's marked so.

        Raises:
            AskBack: for strokes without a job that only one open job needs, naming both.
        """
        self.look_at(one.piece.id for one in booked if not one.line.job)
        found = self._by_job(booked)
        if found and "no-job" not in confirmed:
            raise self._doubt(found)
        return [self._marked(one) for one in booked] if found else list(booked)

    def _marked(self, one: Booked) -> Booked:
        if not self.job_of(one.line, one.piece.id):
            return one
        return replace(one, line=replace(one.line, subject=NO_JOB))

    def _doubt(self, found: Mapping[str, list[str]]) -> AskBack:
        said = "; ".join(
            f"only job {job} needs {' and '.join(tags)} in that plate"
            for job, tags in found.items()
        )
        job, no_job = act("say.job", job=next(iter(found))), act("confirm.no-job")
        way_out = saying("are these its strokes? say ", job, "; if they are not, ", no_job)
        message = f"{said}: nothing was counted yet"
        return AskBack(message, confirm="no-job", way_out=way_out)

    def offers(self, booked: Iterable[Booked]) -> Iterator[Said]:
        """What is to be said of strokes that were counted and that one open job needs."""
        for job, tags in self._by_job(booked).items():
            text = f"only job {job} needs what {' and '.join(tags)} did without a job: "
            yield saying(text, act("jobs.claim", job=job))

    def _by_job(self, booked: Iterable[Booked]) -> Mapping[str, list[str]]:
        found: dict[str, list[str]] = {}
        for one in booked:
            job = self.job_of(one.line, one.piece.id)
            if job and one.piece.tag not in found.setdefault(job, []):
                found[job].append(one.piece.tag)
        return found


def only_job(runs: Iterable[RunCard], thickness_mm: float | None, material: str) -> str:
    """The one job among some runs in a plate; empty where there is none, or more than one."""
    jobs = {run.job for run in runs if is_same_plate(run, thickness_mm, material)}
    return jobs.pop() if len(jobs) == 1 else ""


def is_same_plate(run: RunCard, thickness_mm: float | None, material: str) -> bool:
    """Whether a run is in plate of that thickness and material, as far as both are known."""
    if run.material and material and run.material != material:
        return False
    if run.thickness_mm is None or thickness_mm is None:
        return True
    return abs(run.thickness_mm - thickness_mm) <= _SAME_THICKNESS_MM
