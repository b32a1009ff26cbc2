"""How much of each planned run stands in the ledger, read from the entries with its job's name.

Strokes of a planned piece count for its own runs first: those of the same thickness, then the
others, in the order of work. What is left, and what another piece of the same kind did (a copy
that was taken instead), counts for the runs of that kind that still want strokes.

Only entries typed after the plan was made count, so that the cost follows the work since then and
not the whole story of a piece.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from crib.stock.engine.session import Session

_SAME_THICKNESS_MM = 0.01
_MANY = 500


@dataclass(frozen=True, slots=True)
class RunStrokes:
    """What must be known of a run to find its strokes; ``wanted`` of them are planned."""

    id: int
    job_id: int
    job: str
    piece_id: int
    kind_id: int
    thickness_mm: float | None
    wanted: int
    made_at: str


@dataclass(frozen=True, slots=True)
class StrokesFound:
    """Logged strokes by run, and by job those that no run is left for."""

    of_run: dict[int, int] = field(default_factory=dict)
    beyond: dict[int, int] = field(default_factory=dict)


@dataclass(slots=True)
class _Heap:
    """Strokes of one piece in one thickness that are not given to a run yet."""

    piece_id: int
    kind_id: int
    thickness_mm: float | None
    strokes: int


def strokes_of_runs(session: Session, runs: Sequence[RunStrokes]) -> StrokesFound:
    """The logged strokes of some runs; all runs of a job must be among them, in order of work."""
    found = StrokesFound()
    by_job: dict[int, list[RunStrokes]] = {}
    for run in runs:
        by_job.setdefault(run.job_id, []).append(run)
    for job_id, own in by_job.items():
        heaps = _heaps(session, own)
        given = _spread(own, heaps)
        found.of_run.update(given)
        left = sum(heap.strokes for heap in heaps)
        if left:
            found.beyond[job_id] = left
    return found


def _heaps(session: Session, runs: Sequence[RunStrokes]) -> list[_Heap]:
    """Standing strokes of the job on pieces of the planned kinds, by piece and thickness."""
    kinds = sorted({run.kind_id for run in runs})
    since = min(run.made_at for run in runs)
    heaps = []
    for first in range(0, len(kinds), _MANY):
        some = kinds[first : first + _MANY]
        rows = session.rows(
            "SELECT entry.piece_id, piece.kind_id, entry.thickness_mm, sum(entry.quantity)"
            " FROM piece CROSS JOIN entry ON entry.piece_id = piece.id AND entry.made_at >= ?"
            " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
            f" WHERE piece.kind_id IN ({', '.join('?' * len(some))})"
            " AND entry.action = 'strokes' AND entry.job = ? COLLATE NOCASE"
            " AND counter.id IS NULL GROUP BY entry.piece_id, entry.thickness_mm"
            " ORDER BY entry.piece_id, entry.thickness_mm",
            (since, *some, runs[0].job),
        )
        heaps += [_Heap(*tuple(row)) for row in rows]
    return heaps


def _spread(runs: Sequence[RunStrokes], heaps: Sequence[_Heap]) -> Counter[int]:
    given: Counter[int] = Counter()
    ways: tuple[Callable[[RunStrokes, _Heap], bool], ...] = (
        lambda run, heap: run.piece_id == heap.piece_id and _same_plate(run, heap),
        lambda run, heap: run.piece_id == heap.piece_id,
        lambda run, heap: run.kind_id == heap.kind_id and _same_plate(run, heap),
        lambda run, heap: run.kind_id == heap.kind_id,
    )
    for fits in ways:
        for heap in heaps:
            for run in runs:
                if heap.strokes and fits(run, heap):
                    part = min(heap.strokes, run.wanted - given[run.id])
                    given[run.id] += part
                    heap.strokes -= part
    return given


def _same_plate(run: RunStrokes, heap: _Heap) -> bool:
    if run.thickness_mm is None or heap.thickness_mm is None:
        return run.thickness_mm is heap.thickness_mm
    return abs(run.thickness_mm - heap.thickness_mm) <= _SAME_THICKNESS_MM
