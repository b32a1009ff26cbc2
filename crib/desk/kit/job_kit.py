"""A job's kit: what to take from which drawer, what stands in the way, and what is missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from crib.acts import Act, Said, act, saying
from crib.desk.common.acting import today_of
from crib.desk.common.cautions import short_cautions
from crib.desk.common.piece_wear import EDGED, PieceWear, piece_wear
from crib.desk.common.tool_cards import key_angles
from crib.desk.common.ways import OnTheWay, on_the_way
from crib.desk.kit.choices import KitChoice, choose
from crib.desk.kit.wishes import Wishes, read_wishes
from crib.stock.book.subjects import of_hold
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import JobCard, job_lines, planned_runs
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.places import HomeDrawer, handed_out_at, home_drawers
from crib.stock.writers.holds import HoldCard, active_holds, late_holds
from crib.trade.shop.shop_rules import Rules
from crib.units import System
from crib.words import AWAY

CAUTIONS = short_cautions(["hand_out"])


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

    ``home`` is the drawer that it was to be taken from, wherever it is by now, empty for none;
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
    home: str = ""
    home_order: int = 0
    shape: str = ""
    key_angles: tuple[int, ...] = ()


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
    cautions: tuple[str, ...] = CAUTIONS


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
    notes: tuple[Said, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HeldAtSite(HeldList):
    """The list of a company of several sites, with what is on the way from or to the asker's."""

    on_the_way: tuple[OnTheWay, ...] = ()


def show_kit(session: Session, job: str) -> Kit:
    """The kit of a job as it stands.

    Raises:
        UnknownName: when no job is called so.
    """
    return kit_from(session, read_wishes(session, job))


def list_held(session: Session, *, late: bool = False, now: datetime | None = None) -> HeldList:
    """Everything that is promised or out, by job; or what should be back already.

    With several sites that of the asker's, and what is on the way.
    """
    today = today_of(now)
    holds = late_holds(session, today.isoformat()) if late else active_holds(session)
    here = [hold for hold in holds if session.site in (None, hold.site_id)]
    pieces = tuple(held_piece(hold, today) for hold in here)
    if session.at is not None and session.at.several:
        coming = [one for one in on_the_way(session, now) if one.days_late or not late]
        return HeldAtSite(late, pieces, on_the_way=tuple(coming))
    return HeldList(late, pieces)


def held_piece(hold: HoldCard, today: date) -> HeldPiece:
    """A hold as it is shown."""
    late = 0
    if hold.state == "out" and hold.due_back:
        late = max(0, (today - date.fromisoformat(hold.due_back)).days)
    return HeldPiece(
        *(hold.tag, hold.kind, hold.job or "", hold.due_on, hold.state, hold.spare),
        *(hold.place or "", hold.holder, hold.out_on, hold.due_back, late),
    )


def kit_from(session: Session, wishes: Wishes) -> Kit:
    """The kit that a job's wishes make."""
    with session.ahead(lambda: job_lines(session, wishes.job.id)):
        choices = choose(session, wishes)
        homes = home_drawers(session, _from_drawers(session, choices))
        missing = _missing(session, wishes.job)
    pieces = sorted(
        (_piece(choice, wishes, homes.get(choice.card.id)) for choice in choices), key=_walk
    )
    job = wishes.job
    return Kit(
        job=job.name,
        due_on=job.due_on,
        open=job.open,
        strokes_left=job.left,
        pieces=tuple(pieces),
        missing=tuple(missing),
        notes=tuple(_notes(wishes, choices)),
        system=wishes.rules.system,
    )


def _from_drawers(session: Session, choices: Sequence[KitChoice]) -> list[int]:
    """The pieces that are taken from a drawer, or were: all but those that stood mounted then."""
    standing = {one.card.id: one for one in choices if one.card.station_id is not None}
    out = {key: one.own for key, one in standing.items() if one.own and one.own.state == "out"}
    at = handed_out_at(session, out)
    mounted_since = {
        key
        for key, hold in out.items()
        if at.get((key, of_hold(hold.id, "out"))) != standing[key].card.place_id
    }
    return [
        one.card.id
        for one in choices
        if one.card.id not in standing or one.card.id in mounted_since
    ]


def _walk(piece: KitPiece) -> tuple[bool, int, str, bool, str]:
    return (
        piece.mounted or piece.state == "out",
        piece.walk_order,
        piece.place,
        piece.spare,
        piece.tag,
    )


def _piece(choice: KitChoice, wishes: Wishes, home: HomeDrawer | None) -> KitPiece:
    card, own = choice.card, choice.own
    stands = piece_wear(card, wishes.rules)
    spare = bool(choice.spare_for) or (own is not None and own.spare)
    return KitPiece(
        tag=card.tag,
        kind=card.kind_name,
        role=card.role,
        place=card.place or "",
        walk_order=card.walk_order,
        mounted=choice.mounted and not spare,
        condition=card.condition,
        edge=stands.state,
        used=stands.used,
        used_after=_used_after(choice, stands),
        uses=tuple(
            KitUse(run.mark, run.phrase, f"{run.machine} / {run.station}", run.quantity, run.left)
            for run in choice.runs
        ),
        spare=spare,
        spare_for=choice.spare_for,
        state=own.state if own else "",
        holder=own.holder if own else "",
        due_back=own.due_back if own else "",
        trouble=trouble_of(choice),
        instead=choice.instead.tag if choice.instead else "",
        instead_place=(choice.instead.place or "") if choice.instead else "",
        remedy=remedy_of(choice),
        home=home.name if home else "",
        home_order=home.walk_order if home else 0,
        shape=card.shape,
        key_angles=key_angles(card),
    )


def _used_after(choice: KitChoice, stands: PieceWear) -> float:
    if choice.card.role not in EDGED or choice.spare_for:
        return stands.used
    return stands.used + choice.strokes / stands.interval


def trouble_of(choice: KitChoice) -> str:
    """Why a piece cannot be taken as it is; empty when it can."""
    card = choice.card
    if choice.taken is not None:
        return choice.taken.words
    if card.condition != "sound":
        return "to be inspected" if card.condition == "inspect" else card.condition
    if choice.far is not None:
        days = "1 day" if choice.far.days == 1 else f"{choice.far.days} days"
        return f"at {choice.far.site}, {days} away"
    return "" if choice.own is not None and choice.own.state == "out" else away_words(card)


def remedy_of(choice: KitChoice) -> Act | None:
    """What lets a piece be taken that waits to be looked at, or that another site has."""
    if choice.far is not None and choice.taken is None and choice.card.condition == "sound":
        return choice.far.send
    waits = choice.taken is None and choice.card.condition == "inspect"
    return act("look.inspected", tag=choice.card.tag) if waits else None


def away_words(card: PieceCard) -> str:
    """Where a piece is that must be fetched first; empty when it is at hand."""
    if card.place_sort not in AWAY:
        return ""
    return "at the grinder" if card.place_sort == "grinder" else f"away: {card.place}"


def _missing(session: Session, job: JobCard) -> list[KitMissing]:
    """The job's features that no run is planned for, each with how many of it."""
    planned: dict[tuple[str, str], int] = {}
    for run in planned_runs(session, job.id):
        key = (run.mark, run.phrase)
        planned[key] = planned.get(key, 0) + run.quantity
    missing = []
    for line in job_lines(session, job.id):
        key = (line.mark[:60], line.phrase)
        covered = min(line.quantity, planned.get(key, 0))
        planned[key] = planned.get(key, 0) - covered
        if covered < line.quantity:
            missing.append(KitMissing(line.mark, line.phrase, line.quantity - covered))
    return missing


def _notes(wishes: Wishes, choices: Sequence[KitChoice]) -> list[Said]:
    job = wishes.job
    notes: list[Said] = list(wishes.no_adapter)
    if not job.open:
        notes.append(f"the job was closed on {job.closed_on or 'an earlier day'}")
    if not job.runs:
        notes.append(saying("no run is planned: ", act("plan.keep", job=job.name)))
    elif not wishes.runs:
        notes.append("every planned stroke is logged")
    notes += [_no_spare(choice, wishes.rules) for choice in choices if choice.no_spare]
    return notes


def _no_spare(choice: KitChoice, rules: Rules) -> str:
    stands = piece_wear(choice.card, rules)
    after = stands.used + choice.strokes / stands.interval
    return (
        f"no spare for {choice.card.tag}: {100 * stands.used:.0f} % used,"
        f" {100 * after:.0f} % after the job, and no other sound copy is free"
    )
