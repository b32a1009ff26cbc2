"""How much of each planned run stands in the ledger, read from the entries with its job's name.

Strokes of a planned piece count for its own runs first: those of the same thickness, then the
others, in the order of work. What is left, and what another piece of the same kind did (a copy
that was taken instead), counts for the runs of that kind that still want strokes.

A cut by several edges counts once, by the piece that strikes; what cut with it is beside it.
Only entries typed after the plan was made count, so that the cost follows the work since then and
not the whole story of a piece.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Any

from crib.stock.book.ledger import NewEntry
from crib.stock.book.subjects import BESIDE
from crib.stock.engine.engine import Row
from crib.stock.engine.in_lists import asked_tables, in_lists
from crib.stock.engine.session import Session

_SAME_THICKNESS_MM = 0.01
_ASKED = {"job_id": "INTEGER", "job": "TEXT", "since": "TEXT", "kind_id": "INTEGER"}


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
    heaps_of = _heaps(session, by_job)
    for job_id, own in by_job.items():
        heaps = heaps_of.get(job_id, [])
        found.of_run.update(_spread(own, heaps))
        left = sum(heap.strokes for heap in heaps)
        if left:
            found.beyond[job_id] = left
    return found


def _heaps(session: Session, runs_of: Mapping[int, Sequence[RunStrokes]]) -> dict[int, list[_Heap]]:
    """Standing strokes of each job on pieces of its planned kinds, by piece and thickness."""
    rows = [
        (job_id, runs[0].job, min(run.made_at for run in runs), kind_id)
        for job_id, runs in runs_of.items()
        for kind_id in sorted({run.kind_id for run in runs})
    ]
    join = session.engine.hint.then_join
    heaps: dict[int, list[_Heap]] = {}
    for asked, values in asked_tables(_ASKED, rows):
        for job_id, *heap in session.rows(
            f"{asked} SELECT asked.job_id, entry.piece_id, piece.kind_id, entry.thickness_mm,"
            f" sum(entry.quantity) FROM asked {join} piece ON piece.kind_id = asked.kind_id"
            f" {join} entry ON entry.piece_id = piece.id AND entry.made_at >= asked.since"
            " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
            " WHERE entry.action = 'strokes' AND lower(entry.job) = lower(asked.job)"
            f" AND counter.id IS NULL AND entry.subject <> '{BESIDE}'"
            " GROUP BY asked.job_id, entry.piece_id, piece.kind_id, entry.thickness_mm"
            " ORDER BY asked.job_id, entry.piece_id, entry.thickness_mm NULLS FIRST",
            values,
        ):
            heaps.setdefault(job_id, []).append(_Heap(*heap))
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


@dataclass(frozen=True, slots=True)
class Jobless:
    """Standing strokes of a tool that were logged without a job."""

    id: int
    piece_id: int
    tag: str
    count: int
    thickness_mm: float | None
    material: str


def jobless_strokes(session: Session, piece_ids: Iterable[int], since: str) -> list[Jobless]:
    """Standing strokes of some pieces without a job, typed since a moment; the oldest first.

    What was said to be no job's, or is about something else, is left out.
    """
    return [
        Jobless(*row)
        for marks, some in in_lists(piece_ids)
        for row in session.rows(
            "SELECT entry.id, entry.piece_id, piece.tag, entry.quantity, entry.thickness_mm,"
            " entry.material FROM entry JOIN piece ON piece.id = entry.piece_id"
            " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
            f" WHERE entry.piece_id IN {marks} AND entry.made_at >= ? AND entry.job = ''"
            " AND entry.subject = '' AND entry.action = 'strokes' AND counter.id IS NULL"
            " ORDER BY entry.id",
            [*some, since],
        )
    ]


def entries_again(session: Session, entry_ids: Iterable[int]) -> list[tuple[str, NewEntry]]:
    """Some entries as they would be written once more, each with its shift's day."""
    names = [one.name for one in fields(NewEntry) if one.name != "reverses_id"]
    columns = ", ".join(names)

    def named(row: Row) -> dict[str, Any]:
        return {name: row[name] for name in names}

    return [
        (str(row[0]), NewEntry(**{**named(row), "estimate": bool(row["estimate"])}))
        for marks, some in in_lists(entry_ids)
        for row in session.rows(
            f"SELECT shift_on, {columns} FROM entry WHERE id IN {marks} ORDER BY id", some
        )
    ]
