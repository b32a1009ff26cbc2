"""A job or a shift made ready: which pieces, in which order, what wears out, what is missing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from crib.acts import Confirmed, Said, act, saying
from crib.desk.answer.lookup import Lookup
from crib.desk.common.acting import read_day, today_of
from crib.desk.parts.parts_count import FileNotRead
from crib.desk.parts.read_parts import ReadRequest, read_parts
from crib.desk.plan.between_sites import days_left, what_to_send
from crib.desk.plan.drawing_checks import Drawings, Told
from crib.desk.plan.keep_plan import Keeping, keep
from crib.desk.plan.mend_plan import KeptPlan, what_stands
from crib.desk.plan.phrase_picks import Option, SearchScope, Served, look_up
from crib.desk.plan.pick_variants import Variants
from crib.desk.plan.plan_result import Plan, UnservedPhrase
from crib.desk.plan.planned_parts import Phrases, PlanJob, job_of_lines, job_of_parts
from crib.desk.plan.relief_copies import Copies
from crib.desk.plan.runs import GivesOut, Run, runs_of
from crib.desk.plan.search_time import Progress, nobody
from crib.desk.plan.set_up_sheets import HELD, sheet_places, standing_tools, write_sheets
from crib.desk.plan.share_parts import Assigned, Minutes, chunks_of, share_out
from crib.desk.plan.task_order import OrderedTasks, order_tasks
from crib.desk.plan.tasks import magazines_of, tasks_of
from crib.errors import AskBack, BadInput
from crib.files.common.reading_ledger import FileAccount
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import job_and_runs, lines_of_jobs, open_jobs_and_runs
from crib.stock.queries.pieces import PieceCard, pieces_by_ids
from crib.stock.queries.shop_names import machine_called
from crib.stock.queries.strokes import mounted_pieces
from crib.stock.writers.holds import HoldCard
from crib.trade.shop.shop_rules import Rules

_MOST_NAMED = 5
_MOST_SECONDS = 3600


@dataclass(frozen=True, slots=True)
class PlanRequest:
    """What to plan: files of one job, a kept job, or (with neither) every open job.

    Logged strokes of an earlier plan count for this one when that is confirmed. A kept job's plan
    that is kept again changes only where it no longer stands, unless it is to be made ``afresh``.
    ``seconds`` is how long the order of the work may be looked for, what its size needs unless it
    is said; ``told`` hears how far that is.
    """

    files: tuple[Path, ...] = ()
    job: str = ""
    due: str = ""
    keep: bool = False
    confirmed: Confirmed = frozenset()
    in_order: bool = False
    machine: str = ""
    by: str = ""
    unit: str = ""
    thickness: str = ""
    material: str = ""
    same_part: str = ""
    quantity: int | None = None
    slot_centre: str = ""
    sheet: str = ""
    take: str = ""
    columns: str = ""
    seconds: float | None = None
    afresh: bool = False
    told: Progress = nobody

    def more(
        self, quantity: int | None, slot_centre: str, sheet: str, take: str, columns: str
    ) -> PlanRequest:
        """The request with what else the files may not say, and where the sheet goes."""
        asked = replace(self, quantity=quantity, slot_centre=slot_centre, sheet=sheet)
        return replace(asked, take=take, columns=columns)

    def searched(self, afresh: bool, seconds: float | None, told: Progress) -> PlanRequest:
        """The request with how its order is looked for."""
        return replace(self, afresh=afresh, seconds=seconds, told=told)


@dataclass
class _Desk:
    """What is worked out on the way to a plan."""

    lookup: Lookup
    request: PlanRequest
    phrases: Phrases
    drawings: Drawings
    notes: list[Said] = field(default_factory=list)
    told: list[Told] = field(default_factory=list)
    promised: dict[str, str] = field(default_factory=dict)
    standing: KeptPlan | None = None
    accounts: tuple[FileAccount, ...] = ()

    @property
    def session(self) -> Session:
        """The crib."""
        return self.lookup.session

    @property
    def rules(self) -> Rules:
        """The shop's rules."""
        return self.lookup.rules


def make_plan(session: Session, request: PlanRequest, now: datetime | None = None) -> Plan:
    """Plan a job or a shift; with ``keep`` the job is stored with its runs and what is missing.

    Raises:
        BadInput: for files that cannot be read, or options that do not go together.
        UnknownName: for a job or machine that is not there.
        AskBack: when strokes of the job's earlier plan are logged, when a file cannot be read, and
            when a part stands in two files.
    """
    lookup = Lookup(session)
    rules = lookup.rules
    desk = _Desk(lookup, request, Phrases(rules), Drawings(rules))
    _check(desk)
    jobs = sorted(_jobs(desk), key=lambda job: job.turn)
    jobs, desk.told = desk.drawings.judge(jobs)
    desk.promised = _promised(lookup.holds, jobs)
    own = _own(desk, jobs)
    lookup.shelf.have_in_hand(own)
    tags = frozenset(card.tag for card in own)
    shelf = SearchScope(lookup, desk.phrases, desk.request.machine, desk.promised, tags)
    shelf = replace(shelf, days_left=days_left(jobs, today_of(now)))
    served = Variants(lookup.shelf, desk.promised).of_each(look_up(shelf, jobs))
    jobs, out_of_reach = desk.drawings.within_reach(jobs, _options(served))
    desk.told += out_of_reach
    plan = _planned(desk, jobs, served)
    plan = replace(plan, notes=(*plan.notes, *what_to_send(session, plan, today_of(now))))
    if request.sheet:
        sheet_places(request.sheet, [machine.machine for machine in plan.machines])
    if request.keep:
        whose = Keeping(request.by, request.confirmed, desk.standing)
        kept = keep(session, jobs[0], plan.runs, served, whose, now)
        plan = replace(plan, notes=(*plan.notes, *kept), kept=jobs[0].name)
    if request.sheet and plan.runs:
        made_on = today_of(now)
        standing = standing_tools(session)
        written = write_sheets(plan, rules, request.sheet, made_on, standing)
        plan = replace(plan, sheets=tuple(written))
    return plan


def _check(desk: _Desk) -> None:
    request = desk.request
    read_day(request.due, "the due date")
    if request.keep and not request.job.strip():
        message = "a plan is kept under a job's name, and none is given"
        raise BadInput(message, way_out=saying("add ", act("say.job")))
    seconds = request.seconds
    if seconds is not None and not 0 <= seconds <= _MOST_SECONDS:
        message = f"{seconds:g} s to look for the best order, 0 to {_MOST_SECONDS} s are possible"
        raise BadInput(message, way_out=saying("leave out ", act("say.seconds")))
    desk.request = replace(request, machine=machine_called(desk.session, request.machine))


def _jobs(desk: _Desk) -> list[PlanJob]:
    """The jobs asked for, each with its parts."""
    request, session = desk.request, desk.session
    if request.files:
        return [_job_of_files(desk)]
    named = request.job.strip()
    found = [job_and_runs(session, named)] if named else open_jobs_and_runs(session)
    lines_of = lines_of_jobs(session, [card.id for card, _runs in found])
    jobs = []
    for card, runs in found:
        # A plan that is kept is of the whole job; one that is shown is of what is left of it.
        done = () if request.keep else runs
        lines = lines_of[card.id]
        if request.keep and runs and card.open and not request.afresh:
            desk.standing = what_stands(session, lines, runs, desk.lookup.holds, card)
            lines = list(desk.standing.rest)
        made = job_of_lines(card, lines, done, desk.phrases)
        jobs.append(replace(made, due_on=request.due or made.due_on))
        desk.notes += made.notes
        if made.parts:
            desk.notes.append("planned from kept lines: no drawing was looked at")
        if not card.open:
            desk.notes.append(f"job {card.name} is closed since {card.closed_on}")
        if not lines and desk.standing is None:
            plan = act("plan.files", files=None, job=card.name)
            desk.notes.append(saying(f"job {card.name} has no parts: ", plan))
    if not jobs:
        message = "no file is named and no job is open"
        example = act("plan.files", files=("bracket.nc1",), job="24-118")
        raise BadInput(message, way_out=saying("name part files: ", example))
    return jobs


def _job_of_files(desk: _Desk) -> PlanJob:
    request = desk.request
    count = read_parts(
        desk.session,
        ReadRequest(
            request.files,
            unit=request.unit,
            thickness=request.thickness,
            material=request.material,
            quantity=request.quantity,
            slot_centre=request.slot_centre,
            same_part=request.same_part,
            take=request.take,
            columns=request.columns,
        ),
    )
    _look_at_unread(desk, count.not_read)
    desk.accounts = count.read.accounts
    read = count.read
    for note in read.notes:
        at = f"line {note.line}: " if note.line else ""
        desk.notes.append(saying(at, note.said()))
    name = " ".join(request.job.split())
    return job_of_parts(name, request.due.strip(), read.parts, desk.phrases)


def _look_at_unread(desk: _Desk, not_read: Sequence[FileNotRead]) -> None:
    """A plan without some of the files is only made when somebody says so, and says it."""
    if not not_read:
        return
    told = [one.message for one in not_read]
    if "files-not-read" not in desk.request.confirmed:
        many = f"{len(not_read)} file{'' if len(not_read) == 1 else 's'}"
        leave = saying("put them right, or say ", act("confirm.files-not-read"))
        way_out = saying(leave, " to plan the others")
        names = ", ".join(one.file for one in not_read[:_MOST_NAMED])
        more = f" and {len(not_read) - _MOST_NAMED} more" if len(not_read) > _MOST_NAMED else ""
        message = f"{many} cannot be read: {names}{more}"
        raise AskBack(message, confirm="files-not-read", told=told, way_out=way_out)
    desk.notes += [f"NOT in this plan, as it cannot be read: {one}" for one in told]


def _planned(desk: _Desk, jobs: Sequence[PlanJob], served: dict[str, Served]) -> Plan:
    chunks = chunks_of(jobs, served)
    minutes = Minutes.of(desk.rules)
    assigned = share_out(chunks, served, minutes, desk.drawings.reaches)
    stations = {
        station.id: station for found in served.values() for station in found.search.stations
    }
    magazines = magazines_of(assigned, list(stations.values()), _standing(desk.session))
    ordered = order_tasks(
        tasks_of(assigned, magazines),
        magazines,
        in_order=desk.request.in_order,
        seconds=desk.request.seconds,
        told=desk.request.told,
    )
    used = {tag for one in assigned for option in one.options.values() for tag in option.tags}
    desk.notes += [f"{tag} is {desk.promised[tag]}" for tag in sorted(used & set(desk.promised))]
    desk.lookup.shelf.copies.ahead(
        tool.kind_id
        for one in assigned
        for option in one.options.values()
        for tool in option.candidate.tools
    )
    stands = desk.standing
    used |= set(desk.promised) | (stands.tags if stands else set())
    copies = Copies(desk.lookup.shelf, used, desk.rules.number("size.tolerance_mm"))
    coming = stands.still_to_come(desk.rules) if stands else {}
    runs, gives_out = runs_of(ordered, magazines, served, copies, coming)
    told = [*desk.told, *_reached(desk, assigned)]
    return _plan(desk, jobs, served, ordered, runs, gives_out, told)


def _plan(
    desk: _Desk,
    jobs: Sequence[PlanJob],
    served: dict[str, Served],
    ordered: Sequence[OrderedTasks],
    runs: Sequence[Run],
    gives_out: Sequence[GivesOut],
    told: Sequence[Told],
) -> Plan:
    return Plan(
        jobs=tuple(jobs),
        machines=tuple(ordered),
        runs=tuple(runs),
        gives_out=tuple(gives_out),
        missing=tuple(_missing(jobs, served)),
        others=tuple(other for job in jobs for other in job.others),
        told=tuple(told),
        notes=tuple(dict.fromkeys((*desk.notes, *_notes(ordered, served, desk)))),
        minutes=Minutes.of(desk.rules),
        in_order=desk.request.in_order,
        system=desk.rules.system,
        served=served,
        rests_on=desk.rules.changed_among(desk.rules.looked_at),
        stands=desk.standing.runs if desk.standing else (),
        lost=desk.standing.lost if desk.standing else (),
        accounts=desk.accounts,
    )


def _options(served: dict[str, Served]) -> dict[str, list[Option]]:
    return {
        phrase: [one for some in own.at.values() for one in some] for phrase, own in served.items()
    }


def _promised(holds: Sequence[HoldCard], jobs: Sequence[PlanJob]) -> dict[str, str]:
    """The pieces that are promised or out to others than these jobs, with the words for it."""
    own = {job.name.casefold() for job in jobs}
    return {
        hold.tag: hold.words for hold in holds if hold.job is None or hold.job.casefold() not in own
    }


def _own(desk: _Desk, jobs: Sequence[PlanJob]) -> list[PieceCard]:
    """What these jobs have out, away from the shelf; and what was planned for one and is fit."""
    names = {job.name.casefold() for job in jobs}
    out = (
        hold.piece_id
        for hold in desk.lookup.holds
        if hold.state == "out" and hold.job is not None and hold.job.casefold() in names
    )
    planned = desk.standing.fit if desk.standing else ()
    return list({**pieces_by_ids(desk.session, out), **{one.id: one for one in planned}}.values())


def _standing(session: Session) -> dict[int, frozenset[str]]:
    """The tags that stand in each station."""
    found: dict[int, set[str]] = {}
    for card in mounted_pieces(session):
        if card.station_id is not None and card.role in HELD:
            found.setdefault(card.station_id, set()).add(card.tag)
    return {station: frozenset(tags) for station, tags in found.items()}


def _missing(jobs: Sequence[PlanJob], served: dict[str, Served]) -> Iterator[UnservedPhrase]:
    for phrase, one in served.items():
        if one.missing is not None:
            wanted = [
                (job.name, part.mark, feature.each * part.pieces)
                for job in jobs
                for part in job.parts
                for feature in part.features
                if feature.phrase == phrase
            ]
            marks = tuple(dict.fromkeys(mark for _job, mark, _count in wanted))
            yield UnservedPhrase(
                phrase, sum(count for *_where, count in wanted), marks, one.missing
            )


def _reached(desk: _Desk, assigned: Sequence[Assigned]) -> Iterator[Told]:
    for one in assigned:
        for feature in one.chunk.features:
            yield from desk.drawings.reach(one.chunk.part, feature, one.options[feature.phrase])


def _notes(
    ordered: Sequence[OrderedTasks], served: dict[str, Served], desk: _Desk
) -> Iterator[Said]:
    for machine in ordered:
        split = dict.fromkeys(
            task.chunk.part.mark for task in machine.tasks if task.split and task.phase == 1
        )
        if split:
            marks = ", ".join(list(split)[:6]) + (" ..." if len(split) > 6 else "")
            yield f"run through {machine.machine} once for each pair it holds: {marks}"
    for one in served.values():
        if one.plate.assumed:
            name = one.plate.material.name
            yield f"no material named: taken as {name} (rule material.default)"
    if desk.request.machine:
        yield f"only {desk.request.machine} was looked at"
