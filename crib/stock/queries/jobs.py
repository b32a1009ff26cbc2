"""Jobs and the runs that are planned for them, with how much of each run stands in the ledger.

What is logged of a run is never kept beside the ledger: it is read from it (``job_strokes``). So
logging needs no second write, and an entry that is taken back is taken off its run as well.
``planned_run.logged`` is what had been typed when the plan was made; the program writes 0 there.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from crib.acts import act, saying
from crib.errors import UnknownName
from crib.stock.engine.engine import Row
from crib.stock.engine.in_lists import in_lists
from crib.stock.engine.session import Session
from crib.stock.queries.job_strokes import RunStrokes, strokes_of_runs
from crib.words import CUTS_TOGETHER

_RUNS = """
    SELECT run.id, run.job_id, job.name AS job, job.due_on, run.sequence, run.station_id,
        machine.name AS machine, station.name AS station, run.piece_id, piece.tag, piece.kind_id,
        kind.name AS kind, kind.role, place.name AS place, run.with_piece_id,
        die.tag AS with_tag, die.kind_id AS with_kind_id, die_kind.role AS with_role,
        die_kind.name AS with_kind, die_place.name AS with_place, run.mark, run.phrase,
        run.material, run.thickness_mm, run.quantity, run.strokes, run.weighted_milli,
        run.logged AS typed, run.made_at
    FROM planned_run AS run JOIN job ON job.id = run.job_id
    JOIN station ON station.id = run.station_id JOIN machine ON machine.id = station.machine_id
    JOIN piece ON piece.id = run.piece_id JOIN kind ON kind.id = piece.kind_id
    LEFT JOIN place ON place.id = piece.place_id
    LEFT JOIN piece AS die ON die.id = run.with_piece_id
    LEFT JOIN kind AS die_kind ON die_kind.id = die.kind_id
    LEFT JOIN place AS die_place ON die_place.id = die.place_id
"""
_JOB = "SELECT id, name, due_on, open, note, run_order, closed_on FROM job"
_JOB_ORDER = "ORDER BY run_order IS NULL, run_order, due_on = '', due_on, lower(name), job.id"


@dataclass(frozen=True, slots=True)
class JobCard:
    """A job and how far it is: strokes of the tools that strike, dies not counted again.

    ``beyond`` are strokes logged for it that no planned run is left for.
    """

    id: int
    name: str
    due_on: str
    open: bool
    note: str
    run_order: int | None
    closed_on: str
    planned: int = 0
    logged: int = 0
    beyond: int = 0
    runs: int = 0

    @property
    def left(self) -> int:
        """Planned strokes that are not logged yet."""
        return self.planned - self.logged


@dataclass(frozen=True, slots=True)
class RunPiece:
    """A piece that cuts with the one of a run that strikes, such as the other blade."""

    id: int
    tag: str
    kind_id: int


@dataclass(frozen=True, slots=True)
class RunCard:
    """One planned run: where, with which pieces, for what, and how much of it is logged.

    ``beside`` cut with the piece that strikes, stroke for stroke; a die is ``with_tag``.
    """

    id: int
    job_id: int
    job: str
    due_on: str
    sequence: int
    station_id: int
    machine: str
    station: str
    piece_id: int
    tag: str
    kind_id: int
    kind: str
    place: str | None
    role: str
    with_piece_id: int | None
    with_tag: str | None
    with_kind_id: int | None
    with_role: str | None
    with_kind: str | None
    with_place: str | None
    mark: str
    phrase: str
    material: str
    thickness_mm: float | None
    quantity: int
    strokes: int
    weighted_milli: int
    made_at: str
    logged: int = 0
    beside: tuple[RunPiece, ...] = ()

    @property
    def left(self) -> int:
        """Strokes of the run that are not logged yet."""
        return self.strokes - self.logged

    @property
    def piece_ids(self) -> tuple[int, ...]:
        """Every piece that it uses, the one that strikes first."""
        under = () if self.with_piece_id is None else (self.with_piece_id,)
        return (self.piece_id, *under, *(piece.id for piece in self.beside))

    @property
    def die_tag(self) -> str:
        """The die under its punch; empty where there is none."""
        return (self.with_tag or "") if (self.role, self.with_role) == ("punch", "die") else ""

    @property
    def beside_tags(self) -> tuple[str, ...]:
        """The tags of the pieces that cut with the one that strikes."""
        return tuple(piece.tag for piece in self.beside)


@dataclass(frozen=True, slots=True)
class JobLineRow:
    """One feature of a job: how many in all, and how many of them in each part."""

    mark: str
    phrase: str
    quantity: int
    per_part: int


def open_jobs(session: Session) -> list[JobCard]:
    """Every open job with its progress, in the order of work: run order, then the day it is due."""
    return [card for card, _runs in open_jobs_and_runs(session)]


def _made_here(session: Session) -> str:
    """That a job is made at the asker's site; one of no site is made at every one."""
    site = session.site
    return "" if site is None else f" AND coalesce(site_id, {site:d}) = {site:d}"


def open_jobs_and_runs(session: Session) -> list[tuple[JobCard, list[RunCard]]]:
    """Every open job as ``open_jobs`` has it, with its planned runs in the order of work."""
    return _cards(session, session.rows(f"{_JOB} WHERE open{_made_here(session)} {_JOB_ORDER}"))


def job_called(session: Session, name: str) -> JobCard:
    """The job of that name with its progress, open or closed; case does not matter.

    Raises:
        UnknownName: when there is none; names the open ones.
    """
    return job_and_runs(session, name)[0]


def job_and_runs(session: Session, name: str) -> tuple[JobCard, list[RunCard]]:
    """The job of that name, as ``job_called`` finds it, with its planned runs.

    Raises:
        UnknownName: when there is none; names the open ones.
    """
    row = job_row(session, name)
    if row is None:
        known = [
            one["name"]
            for one in session.rows(f"{_JOB} WHERE open{_made_here(session)} {_JOB_ORDER}")
        ]
        message = f"no job is called {name.strip()[:40]!r}"
        known_text = f"; open: {', '.join(known[:12])}" if known else ""
        way_out = saying(act("jobs"), " lists the open jobs")
        raise UnknownName(message + known_text, way_out=way_out)
    return _cards(session, [row])[0]


def job_row(session: Session, name: str) -> Row | None:
    """The row of the job of that name, or None."""
    return session.row(
        f"{_JOB} WHERE lower(name) = lower(?) ORDER BY name = ? DESC",
        (" ".join(name.split()), " ".join(name.split())),
    )


def job_lines(session: Session, job_id: int) -> list[JobLineRow]:
    """The features of a job as they were given."""
    return lines_of_jobs(session, [job_id])[job_id]


def lines_of_jobs(session: Session, job_ids: Iterable[int]) -> dict[int, list[JobLineRow]]:
    """The features of some jobs as they were given, by job."""
    lines: dict[int, list[JobLineRow]] = {job_id: [] for job_id in job_ids}
    for marks, some in in_lists(lines):
        for job_id, *line in session.rows(
            "SELECT job_id, mark, phrase, quantity, per_part FROM job_line"
            f" WHERE job_id IN {marks} ORDER BY id",
            some,
        ):
            lines[job_id].append(JobLineRow(*line))
    return lines


def planned_runs(session: Session, job_id: int) -> list[RunCard]:
    """The planned runs of a job, in the order of work."""
    return _with_strokes(session, [job_id])[0]


def runs_of_pieces(session: Session, piece_ids: Iterable[int]) -> list[RunCard]:
    """The open jobs' planned runs that use some pieces, striking or under the punch."""
    wanted = set(piece_ids)
    runs = _with_strokes(session, {job_id for job_id, _piece_id in planned_pieces(session, wanted)})
    return [run for run in runs[0] if wanted.intersection(run.piece_ids)]


def planned_pieces(session: Session, piece_ids: Iterable[int]) -> set[tuple[int, int]]:
    """The open jobs whose planned runs use some pieces, each with the piece."""
    parts = [("planned_run", "piece_id"), ("planned_run", "with_piece_id")]
    parts.append(("planned_run_piece", "piece_id"))
    return {
        (row[0], row[1])
        for marks, some in in_lists(piece_ids)
        for row in session.rows(
            " UNION ".join(
                f"SELECT run.job_id, run.{column} FROM {table} AS run"
                f" JOIN job ON job.id = run.job_id WHERE job.open AND run.{column} IN {marks}"
                for table, column in parts
            ),
            some * len(parts),
        )
    }


def runs_of_jobs(session: Session, names: Iterable[str]) -> list[RunCard]:
    """The planned runs of the jobs of some names, open or closed, in the order of work."""
    wanted = {" ".join(name.split()).lower() for name in names}
    ids = [
        row[0]
        for marks, some in in_lists(wanted)
        for row in session.rows(f"SELECT id FROM job WHERE lower(name) IN {marks}", some)
    ]
    return _with_strokes(session, ids)[0] if ids else []


def open_runs_at(session: Session, where: str | Iterable[int]) -> list[RunCard]:
    """The open jobs' runs that still have strokes to log at a machine, or at some stations."""
    rows = session.rows(
        "SELECT DISTINCT run.job_id FROM job JOIN planned_run AS run ON run.job_id = job.id"
        " WHERE job.open"
    )
    found = _with_strokes(session, [row[0] for row in rows])[0]
    if isinstance(where, str):
        machine = where.strip().casefold()
        return [run for run in found if run.left > 0 and run.machine.casefold() == machine]
    stations = set(where)
    return [run for run in found if run.left > 0 and run.station_id in stations]


def _cards(session: Session, rows: Sequence[Row]) -> list[tuple[JobCard, list[RunCard]]]:
    planned: dict[int, list[RunCard]] = {row["id"]: [] for row in rows}
    runs, beyond = _with_strokes(session, planned)
    for run in runs:
        planned[run.job_id].append(run)
    return [
        (_card(row, planned[row["id"]], beyond.get(row["id"], 0)), planned[row["id"]])
        for row in rows
    ]


def _card(row: Row, runs: Sequence[RunCard], beyond: int) -> JobCard:
    return JobCard(
        **{**dict(row), "open": bool(row["open"])},
        planned=sum(run.strokes for run in runs),
        logged=sum(run.logged for run in runs),
        beyond=beyond,
        runs=len(runs),
    )


def _with_strokes(session: Session, job_ids: Iterable[int]) -> tuple[list[RunCard], dict[int, int]]:
    """The runs of some jobs with what is logged of them, and the strokes beyond, by job."""
    runs = [
        _run_card(row, row["typed"])
        for marks, some in in_lists(job_ids)
        for row in session.rows(
            f"{_RUNS} WHERE run.job_id IN {marks}"
            " ORDER BY job.run_order IS NULL, job.run_order, job.due_on = '', job.due_on, job.id,"
            " run.sequence",
            some,
        )
    ]
    with session.ahead(lambda: _beside(session, runs)):
        found = strokes_of_runs(session, [_asked(run) for run in runs])
        beside = _beside(session, runs)
    return [
        replace(
            run,
            logged=run.logged + found.of_run.get(run.id, 0),
            beside=beside.get((run.job_id, run.sequence), ()),
        )
        for run in runs
    ], found.beyond


def _beside(
    session: Session, runs: Iterable[RunCard]
) -> dict[tuple[int, int], tuple[RunPiece, ...]]:
    """The pieces that cut with those of some runs, by job and sequence; a punch has none."""
    jobs = {run.job_id for run in runs if run.role in CUTS_TOGETHER}
    found: dict[tuple[int, int], tuple[RunPiece, ...]] = {}
    for marks, some in in_lists(jobs):
        for job_id, sequence, *piece in session.rows(
            "SELECT beside.job_id, beside.sequence, piece.id, piece.tag, piece.kind_id"
            " FROM planned_run_piece AS beside JOIN piece ON piece.id = beside.piece_id"
            f" WHERE beside.job_id IN {marks} ORDER BY piece.tag",
            some,
        ):
            key = (job_id, sequence)
            found[key] = (*found.get(key, ()), RunPiece(*piece))
    return found


def _run_card(row: Row, logged: int) -> RunCard:
    values: dict[str, Any] = dict(row)
    del values["typed"]
    return RunCard(**values, logged=logged)


def _asked(run: RunCard) -> RunStrokes:
    return RunStrokes(
        run.id,
        run.job_id,
        run.job,
        run.piece_id,
        run.kind_id,
        run.thickness_mm,
        run.strokes - run.logged,
        run.made_at,
    )
