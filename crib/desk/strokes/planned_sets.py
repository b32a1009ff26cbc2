"""What the plan of a job named to work together: the die under a punch, the blades of one cut."""

from __future__ import annotations

from collections.abc import Iterable

from crib.stock.engine.session import Session
from crib.stock.queries.jobs import RunCard, runs_of_jobs
from crib.stock.queries.pieces import PieceCard

_SAME_THICKNESS_MM = 0.01


class PlannedSets:
    """The planned runs of some jobs, read once; each line of strokes is given to one of them.

    Of the runs that want a piece those in the plate that was said come first, and of these the
    first that is not done: so one punch over two dies in turn wears each as it was planned.
    """

    def __init__(self, session: Session, jobs: Iterable[str]) -> None:
        named = {job for job in jobs if job.strip()}
        self._runs: dict[str, list[RunCard]] = {}
        for run in runs_of_jobs(session, named) if named else ():
            self._runs.setdefault(run.job.casefold(), []).append(run)
        self._wanting: dict[tuple[str, int, bool], list[RunCard]] = {}
        self._planned: dict[tuple[str, int], tuple[int, int] | None] = {}
        self._left = {run.id: run.left for runs in self._runs.values() for run in runs}

    def tags_with(self, piece_ids: Iterable[int]) -> set[str]:
        """The tags of whatever is planned to work with some pieces."""
        wanted = set(piece_ids)
        return {
            tag
            for runs in self._runs.values()
            for run in runs
            if wanted.intersection(run.piece_ids)
            for tag in (run.tag, run.die_tag, *run.beside_tags)
            if tag
        }

    def strokes(self, job: str, piece: PieceCard) -> tuple[int, int] | None:
        """How many strokes a job's plan has for a piece or its like, and how many are logged.

        None where it has none.
        """
        key = (job, piece.id)
        if key not in self._planned:
            runs = [
                run
                for run in self._runs.get(job.strip().casefold(), ())
                if piece.id in run.piece_ids or piece.kind_id == run.kind_id
            ]
            sums = sum(run.strokes for run in runs), sum(run.logged for run in runs)
            self._planned[key] = sums if runs else None
        return self._planned[key]

    def die(self, job: str, punch_id: int, thickness_mm: float | None, count: int) -> str:
        """The die that was planned under a punch for so many strokes; empty when none was."""
        run = self._taken((job, punch_id, True), thickness_mm, count)
        return run.die_tag if run else ""

    def cut(
        self, job: str, piece_id: int, thickness_mm: float | None, count: int
    ) -> tuple[str, ...]:
        """The tags of one planned cut that a piece has part in, the one that strikes first."""
        run = self._taken((job, piece_id, False), thickness_mm, count)
        return (run.tag, *run.beside_tags) if run else ()

    def _taken(
        self, wanted: tuple[str, int, bool], thickness_mm: float | None, count: int
    ) -> RunCard | None:
        """The run that a line's strokes go to; they are taken off what is left of it.

        ``wanted`` are the job, the piece, and whether it must be the one that strikes.
        """
        if wanted not in self._wanting:
            job, piece_id, strikes = wanted
            self._wanting[wanted] = [
                run
                for run in self._runs.get(job.strip().casefold(), ())
                if piece_id in (run.piece_ids[:1] if strikes else run.piece_ids)
            ]
        runs = self._wanting[wanted]
        if not runs:
            return None
        chosen = min(
            runs,
            key=lambda run: (
                not _same_plate(run.thickness_mm, thickness_mm),
                self._left[run.id] <= 0,
            ),
        )
        self._left[chosen.id] -= count
        return chosen


def _same_plate(planned_mm: float | None, said_mm: float | None) -> bool:
    if planned_mm is None or said_mm is None:
        return planned_mm is said_mm
    return abs(planned_mm - said_mm) <= _SAME_THICKNESS_MM
