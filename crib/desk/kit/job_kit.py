"""A job's kit: what to take from which drawer, what stands in the way, and what is missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from crib.acts import Act, Said, act, saying
from crib.desk.common.acting import today_of
from crib.desk.common.piece_standing import EDGED, Standing, standing
from crib.desk.kit.choices import Choice, Wishes
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import lines_of, runs_of
from crib.stock.queries.pieces import PieceCard
from crib.stock.writers.holds import HoldCard, active_holds, late_holds
from crib.trade.shop.shop_rules import Rules
from crib.units import System
from crib.words import AWAY


@dataclass(frozen=True, slots=True)
class KitUse:
    """One run that wants a piece; ``left`` are its strokes that are not logged."""

    mark: str
    phrase: str
    station: str
    quantity: int
    left: int


@dataclass(frozen=True, slots=True)
class KitPiece:
    """One piece of the kit. ``used`` and ``used_after`` are shares of its interval.

    ``state`` is held, out or empty; ``mounted`` says that it stands where the job wants it;
    ``trouble`` why it cannot be taken as it is, ``remedy`` what lifts that, ``instead`` the copy to
    take for it.
    """

    tag: str
    kind: str
    role: str
    place: str
    walk_order: int
    mounted: bool
    condition: str
    edge: str
    used: float
    used_after: float
    uses: tuple[KitUse, ...]
    spare: bool
    spare_for: str
    state: str
    holder: str
    due_back: str
    trouble: str
    instead: str
    instead_place: str
    remedy: Act | None = None


@dataclass(frozen=True, slots=True)
class KitMissing:
    """A feature of the job for which no run is planned."""

    mark: str
    phrase: str
    quantity: int


@dataclass(frozen=True, slots=True)
class Swap:
    """A run was pointed to another copy: which, instead of which, and why."""

    tag: str
    instead_of: str
    because: str


@dataclass(frozen=True, slots=True)
class Kit:
    """A job's kit in walking order; what is mounted already stands at the end.

    ``done`` says what was done with it just now, ``tags`` to which pieces.
    """

    job: str
    due_on: str
    open: bool
    strokes_left: int
    pieces: tuple[KitPiece, ...]
    missing: tuple[KitMissing, ...]
    notes: tuple[Said, ...]
    system: System
    done: str = ""
    tags: tuple[str, ...] = ()
    swaps: tuple[Swap, ...] = ()


@dataclass(frozen=True, slots=True)
class HeldPiece:
    """One piece that is promised or out; ``days_late`` is 0 for what is not late."""

    tag: str
    kind: str
    job: str
    due_on: str
    state: str
    spare: bool
    place: str
    holder: str
    out_on: str
    due_back: str
    days_late: int


@dataclass(frozen=True, slots=True)
class HeldList:
    """Everything that is promised or out; or only what should be back, when ``late``."""

    late: bool
    pieces: tuple[HeldPiece, ...]
    done: str = ""


def show_kit(session: Session, job: str) -> Kit:
    """The kit of a job as it stands.

    Raises:
        UnknownName: when no job is called so.
    """
    return kit_from(Wishes.of_job(session, job))


def list_held(session: Session, *, late: bool = False, now: datetime | None = None) -> HeldList:
    """Everything that is promised or out, by job; or what should be back already."""
    today = today_of(now)
    found = late_holds(session, today.isoformat()) if late else active_holds(session)
    return HeldList(late, tuple(held_piece(one, today) for one in found))


def held_piece(hold: HoldCard, today: date) -> HeldPiece:
    """A hold as it is shown."""
    late = 0
    if hold.state == "out" and hold.due_back:
        late = max(0, (today - date.fromisoformat(hold.due_back)).days)
    return HeldPiece(
        *(hold.tag, hold.kind, hold.job or "", hold.due_on, hold.state, hold.spare),
        *(hold.place or "", hold.holder, hold.out_on, hold.due_back, late),
    )


def kit_from(wishes: Wishes, choices: Sequence[Choice] | None = None) -> Kit:
    """The kit that some choices make."""
    found = wishes.choices() if choices is None else choices
    pieces = sorted((_piece(one, wishes) for one in found), key=_walk)
    job = wishes.job
    return Kit(
        job=job.name,
        due_on=job.due_on,
        open=job.open,
        strokes_left=job.left,
        pieces=tuple(pieces),
        missing=tuple(_missing(wishes)),
        notes=tuple(_notes(wishes, found)),
        system=wishes.rules.system,
    )


def _walk(one: KitPiece) -> tuple[bool, int, str, bool, str]:
    return one.mounted or one.state == "out", one.walk_order, one.place, one.spare, one.tag


def _piece(one: Choice, wishes: Wishes) -> KitPiece:
    card, own = one.card, one.own
    stands = standing(card, wishes.rules)
    spare = bool(one.spare_for) or (own is not None and own.spare)
    return KitPiece(
        tag=card.tag,
        kind=card.kind_name,
        role=card.role,
        place=card.place or "",
        walk_order=card.walk_order,
        mounted=one.mounted and not spare,
        condition=card.condition,
        edge=stands.state,
        used=stands.used,
        used_after=_used_after(one, stands),
        uses=tuple(
            KitUse(run.mark, run.phrase, f"{run.machine} / {run.station}", run.quantity, run.left)
            for run in one.runs
        ),
        spare=spare,
        spare_for=one.spare_for,
        state=own.state if own else "",
        holder=own.holder if own else "",
        due_back=own.due_back if own else "",
        trouble=trouble_of(one),
        instead=one.instead.tag if one.instead else "",
        instead_place=(one.instead.place or "") if one.instead else "",
        remedy=remedy_of(one),
    )


def _used_after(one: Choice, stands: Standing) -> float:
    if one.card.role not in EDGED or one.spare_for:
        return stands.used
    return stands.used + one.strokes / stands.interval


def trouble_of(one: Choice) -> str:
    """Why a piece cannot be taken as it is; empty when it can."""
    card = one.card
    if one.taken is not None:
        return one.taken.words
    if card.condition != "sound":
        return "to be inspected" if card.condition == "inspect" else card.condition
    return "" if one.own is not None and one.own.state == "out" else away_words(card)


def remedy_of(one: Choice) -> Act | None:
    """What lets a piece be taken that only waits to be looked at."""
    waits = one.taken is None and one.card.condition == "inspect"
    return act("look.inspected", tag=one.card.tag) if waits else None


def away_words(card: PieceCard) -> str:
    """Where a piece is that must be fetched first; empty when it is at hand."""
    if card.place_sort not in AWAY:
        return ""
    return "at the grinder" if card.place_sort == "grinder" else f"away: {card.place}"


def _missing(wishes: Wishes) -> list[KitMissing]:
    """The job's features that no run is planned for, each with how many of it."""
    planned: dict[tuple[str, str], int] = {}
    for run in runs_of(wishes.session, wishes.job.id):
        key = (run.mark, run.phrase)
        planned[key] = planned.get(key, 0) + run.quantity
    found = []
    for line in lines_of(wishes.session, wishes.job.id):
        key = (line.mark[:60], line.phrase)
        covered = min(line.quantity, planned.get(key, 0))
        planned[key] = planned.get(key, 0) - covered
        if covered < line.quantity:
            found.append(KitMissing(line.mark, line.phrase, line.quantity - covered))
    return found


def _notes(wishes: Wishes, choices: Sequence[Choice]) -> list[Said]:
    job = wishes.job
    notes: list[Said] = list(wishes.no_adapter)
    if not job.open:
        notes.append(f"the job was closed on {job.closed_on or 'an earlier day'}")
    if not job.runs:
        notes.append(saying("no run is planned: ", act("plan.keep", job=job.name)))
    elif not wishes.runs:
        notes.append("every planned stroke is logged")
    notes += [_no_spare(one, wishes.rules) for one in choices if one.no_spare]
    return notes


def _no_spare(one: Choice, rules: Rules) -> str:
    stands = standing(one.card, rules)
    after = stands.used + one.strokes / stands.interval
    return (
        f"no spare for {one.card.tag}: {100 * stands.used:.0f} % used,"
        f" {100 * after:.0f} % after the job, and no other sound copy is free"
    )
