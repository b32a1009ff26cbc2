"""Take a kit back: its strokes, its way home and its holds in one act, all or nothing.

Undoing that act takes the strokes off and puts the pieces back into the holder's hands;
the holds follow (see ``hold_undo.follow_undo``), so the kit is out again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crib.acts import Confirmed, Said, act, saying
from crib.desk.common.acting import stamp_for, today_of
from crib.desk.common.as_stored import as_stored
from crib.desk.common.reminder_levels import Reminder
from crib.desk.kit.handing import Step, hand_over, on_day
from crib.desk.kit.returned_strokes import KitStrokes, read_counts
from crib.desk.strokes.log import cards_before, risen
from crib.desk.strokes.log_book import Book, Booked, entries_of
from crib.desk.strokes.log_guards import CountGuard
from crib.errors import AskBack, BadValue, Refused
from crib.stock.book.ledger import Stamp
from crib.stock.book.people import person_name
from crib.stock.book.settings import shop_rules
from crib.stock.book.subjects import of_hold
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import job_called, planned_runs
from crib.stock.queries.pieces import PieceCard, pieces_by_ids, pieces_named
from crib.stock.queries.places import PlaceCard, last_drawer, place_by_name
from crib.stock.writers.holds import (
    HoldCard,
    hold_of_pieces,
    holds_of_job,
    mark_back,
    mark_released,
)
from crib.stock.writers.keep_kits import last_move
from crib.trade.shop.shop_rules import Rules

_NEVER_BACK = ("lost", "retired")


@dataclass(frozen=True, slots=True)
class TakeBack:
    """How it comes back: counts as TAG=COUNT, one drawer for all, the shift of the strokes."""

    counts: tuple[str, ...] = ()
    to: str = ""
    strokes: bool = True
    on: str = ""
    confirmed: Confirmed = frozenset()


@dataclass(frozen=True, slots=True)
class StrokesBack:
    """Strokes that were counted; ``estimate`` when nobody counted them and the plan was taken.

    ``beside`` cut with the tool, as often.
    """

    tag: str
    die: str
    count: int
    estimate: bool
    weighted: float
    beside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PieceBack:
    """One piece that is back: where it went, or why it stays where it is."""

    tag: str
    kind: str
    holder: str
    place: str
    note: str


@dataclass(frozen=True, slots=True)
class KitBack:
    """What came back. ``job`` is empty for a loan."""

    job: str
    act: str
    by: str
    shift_on: str
    strokes: tuple[StrokesBack, ...]
    pieces: tuple[PieceBack, ...]
    became_due: tuple[Reminder, ...]
    notes: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class _Way:
    """Where one piece goes; ``ends`` for one that will never be back."""

    hold: HoldCard
    card: PieceCard
    place_id: int | None
    place: str
    note: str = ""
    ends: bool = False


def take_back(
    session: Session, job: str, back: TakeBack, *, by: str = "", now: datetime | None = None
) -> KitBack:
    """Take back what is out for a job.

    What is left of each run is counted as planned and marked as an estimate, unless a count of
    its piece is given.

    Raises:
        UnknownName: for a job, a tag or a drawer that is not known.
        Refused: when nothing is out, and for a count of a piece that is not.
        AskBack: for a count far above the usual, or a piece without a drawer on record.
    """
    counts = read_counts(back.counts)
    if counts and not back.strokes:
        message = "counts were given, and that no strokes are to be counted"
        raise BadValue(message, way_out="leave one of them out")
    with session.writing():
        card = job_called(session, job)
        holds = [hold for hold in holds_of_job(session, card.id) if hold.state == "out"]
        if not holds:
            message = f"nothing is out for job {card.name}"
            raise Refused(message, way_out=saying(act("kit"), " lists what is out"))
        out = pieces_by_ids(session, (hold.piece_id for hold in holds))
        rules, runs = shop_rules(session), planned_runs(session, card.id)
        said = KitStrokes(rules, card.name, runs if back.strokes else [], out, counts)
        return _take(session, card.name, holds, out, said, back, by, now)


def take_loans_back(
    session: Session,
    tags: Sequence[str],
    back: TakeBack,
    *,
    by: str = "",
    now: datetime | None = None,
) -> KitBack:
    """Take back pieces that were lent without a job.

    Raises:
        UnknownName: for a tag or a drawer that is not known.
        Refused: for a piece that is not lent.
    """
    with session.writing():
        out = {piece.id: piece for piece in pieces_named(session, tags)}
        holds = hold_of_pieces(session, out)
        faults = [_not_lent(piece, holds.get(piece.id)) for piece in out.values()]
        if any(faults):
            message = "; ".join(fault for fault in faults if fault)
            whole = act("kit.back", job=None)
            raise Refused(message, way_out=saying("a job's kit comes back whole: ", whole))
        said = KitStrokes(shop_rules(session), "", [], out, {})
        return _take(session, "", list(holds.values()), out, said, back, by, now)


def _not_lent(card: PieceCard, hold: HoldCard | None) -> str:
    if hold is None:
        return f"{card.tag} is not lent to anybody"
    return f"{card.tag} is {hold.words}" if hold.job is not None else ""


def _take(
    session: Session,
    job: str,
    holds: Sequence[HoldCard],
    out: dict[int, PieceCard],
    said: KitStrokes,
    back: TakeBack,
    by: str,
    now: datetime | None,
) -> KitBack:
    stamp = stamp_for(session, by, back.on, now)
    today = today_of(now).isoformat()
    book = Book(session, said.rules, said.lines)
    booked = [book.take(line) for line in said.lines]
    if "many-strokes" not in back.confirmed:
        _check_counts(session, said.rules, booked)
    ways = _ways(session, holds, out, back)
    _write(session, stamp, today, booked, ways)
    before = cards_before(booked)
    every = [*(piece.id for piece in before), *(way.card.id for way in ways)]
    stored = as_stored(session, every, on_day(stamp, today))
    after = {piece.id: stored.cards[piece.id] for piece in before}
    return KitBack(
        job=job,
        act=stamp.act,
        by=person_name(session, stamp.person_id),
        shift_on=stamp.shift_on,
        strokes=tuple(_stroke(stroke) for stroke in booked),
        pieces=tuple(
            _piece_back(way, stored.cards[way.card.id])
            for way in sorted(ways, key=lambda way: way.card.tag)
        ),
        became_due=risen(before, after, said.rules),
        notes=(*said.notes, *book.notes, *stored.notes),
    )


def _piece_back(way: _Way, stored: PieceCard) -> PieceBack:
    """A piece that came back, where it is stored now."""
    place = "" if way.ends else stored.place or ""
    return PieceBack(stored.tag, stored.kind_name, way.hold.holder, place, way.note)


def _write(
    session: Session, stamp: Stamp, today: str, booked: Sequence[Booked], ways: Sequence[_Way]
) -> None:
    """Strokes of their shift, moves of today, and the holds, as one act."""
    entries = [entry for stroke in booked for entry in entries_of(stroke)]
    steps = [Step(way.card, way.place_id, way.hold, "over" if way.ends else "back") for way in ways]
    hand_over(session, on_day(stamp, today), steps, [(stamp, entries)] if entries else [])
    mark_back(session, [way.hold.id for way in ways if not way.ends], today)
    mark_released(session, [way.hold.id for way in ways if way.ends])


def _check_counts(session: Session, rules: Rules, booked: Sequence[Booked]) -> None:
    """Ask back at a typed count far above the usual; planned ones were thought about."""
    guard = CountGuard(session, rules)
    for stroke in booked:
        if not stroke.line.estimate:
            guard.check(stroke)


def _stroke(stroke: Booked) -> StrokesBack:
    line, worn = stroke.line, stroke.others
    weighted = round(line.count * stroke.weight.each, 3)
    die = next((one.card.tag for one in worn if one.how == "under"), "")
    beside = tuple(one.card.tag for one in worn if one.how == "with")
    return StrokesBack(stroke.piece.tag, die, line.count, line.estimate, weighted, beside)


def _ways(
    session: Session, holds: Sequence[HoldCard], out: dict[int, PieceCard], back: TakeBack
) -> list[_Way]:
    drawer = _drawer(session, back.to) if back.to.strip() else None
    return [_way(session, hold, out[hold.piece_id], drawer) for hold in holds]


def _drawer(session: Session, name: str) -> PlaceCard:
    place = place_by_name(session, name)
    if place.sort != "drawer":
        message = f"{place.name} is a {place.sort}; pieces come back to a drawer"
        leave_out = saying("leave ", act("say.no-drawer"), " out")
        raise Refused(message, way_out=saying(leave_out, ": each goes to its last drawer"))
    return place


def _way(session: Session, hold: HoldCard, card: PieceCard, drawer: PlaceCard | None) -> _Way:
    """Home to its drawer; what was sent elsewhere meanwhile, or stayed mounted, stays there."""
    here = card.place or ""
    if card.condition in _NEVER_BACK:
        return _Way(hold, card, None, "", f"is {card.condition}", ends=True)
    note = "is broken: it stays out of every answer" if card.condition == "broken" else ""
    if card.place_sort == "grinder" and card.place != hold.holder:
        return _Way(hold, card, card.place_id, here, "is at the grinder and stays there")
    if drawer is None and card.place_sort == "drawer":
        return _Way(hold, card, card.place_id, here, note or "lay there already")
    if drawer is None and _stayed_mounted(session, hold, card):
        return _Way(hold, card, card.place_id, here, note or "stays mounted")
    home = drawer or last_drawer(session, card.id)
    if home is None:
        message = f"{card.tag} never lay in a drawer that the crib knows"
        way_out = saying("say where they go: ", act("say.drawer"))
        raise AskBack(message, choose="drawer", way_out=way_out)
    return _Way(hold, card, home.id, home.name, note)


def _stayed_mounted(session: Session, hold: HoldCard, card: PieceCard) -> bool:
    """Whether it stood at its station when it was handed out, and still does."""
    if card.place_sort != "station":
        return False
    row = last_move(session, card.id, of_hold(hold.id, "out"))
    return row is not None and row["place_id"] == card.place_id
