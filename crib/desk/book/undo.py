"""Take entries back by counter-entries: nothing is erased, the totals are taken again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from crib.acts import Confirmed, act, saying, yes_to
from crib.desk.book.history import HistoryLine, lines
from crib.desk.book.undo_shown import require_seen
from crib.desk.common.acting import require_reason, stamp_for
from crib.desk.common.mounting import Fault, mounting_faults, mounts_at, new_faults, unfit_faults
from crib.desk.kit.hold_undo import follow_undo
from crib.desk.life.relearn import relearn_pieces
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.book.ledger import Stamp, reverse
from crib.stock.book.people import person_id
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.history import (
    act_entries,
    act_named,
    entries_numbered,
    last_act,
    other_halves,
    pieces_of_entries,
)
from crib.stock.queries.pieces import PieceCard, pieces_by_ids
from crib.stock.queries.places import occupied_stations
from crib.stock.writers.purchases import act_received
from crib.units import System


@dataclass(frozen=True, slots=True)
class TotalsThen:
    """A piece's totals at one moment."""

    place: str | None
    condition: str
    wear: float
    strokes_since_grind: int
    strokes_since_new: int
    grinds: int
    length_mm: float | None
    width_mm: float | None
    edge: int


@dataclass(frozen=True, slots=True)
class Restored:
    """One piece before and after its entries were taken back."""

    tag: str
    before: TotalsThen
    after: TotalsThen


@dataclass(frozen=True, slots=True)
class Undone:
    """What was taken back, and what that made of the pieces.

    ``halves`` are the other halves of pairs, such as the die of a punch, that still count the same;
    ``left_in_act`` entries in all were made in the same act and still hold.
    """

    lines: tuple[HistoryLine, ...]
    pieces: tuple[Restored, ...]
    left_in_act: int
    halves: tuple[HistoryLine, ...]
    why: str
    unit: System


def undo_entries(
    session: Session,
    numbers: Sequence[int],
    why: str,
    *,
    by: str = "",
    now: datetime | None = None,
) -> Undone:
    """Take back entries by their numbers.

    Raises:
        UnknownName: for a number that is not in the ledger.
        Refused: when an entry cannot be taken back, or would leave a station unsafe.
        BadValue: without a number or a reason.
    """
    reason = require_reason(why, "undo")
    if not numbers:
        message = "no entry given"
        way_out = saying(act("history"), " lists the entries with their numbers")
        raise BadValue(message, way_out=way_out)
    with session.writing():
        stamp = stamp_for(session, by, now=now)
        return _take_back(session, numbers, reason, stamp, yes_to("whole-act"))


def undo_act(
    session: Session,
    act: str,
    why: str,
    *,
    confirmed: Confirmed = frozenset(),
    by: str = "",
    now: datetime | None = None,
) -> Undone:
    """Take back everything that an act did and that still holds; one of its entries names it too.

    Raises:
        UnknownName: for an act that is not in the ledger, or is taken back already.
        AskBack: for an act of several entries, with what would be taken back.
        Refused: when an entry cannot be taken back, or would leave a station unsafe.
    """
    reason = require_reason(why, "undo")
    with session.writing():
        numbers = act_entries(session, act_named(session, act.strip()))
        if not numbers:
            message = f"no act {act.strip()[:40]!r} that still holds"
            raise UnknownName(message, way_out="give the number of one of its entries")
        stamp = stamp_for(session, by, now=now)
        return _take_back(session, numbers, reason, stamp, confirmed)


def undo_last(
    session: Session,
    why: str,
    *,
    confirmed: Confirmed = frozenset(),
    by: str = "",
    now: datetime | None = None,
) -> Undone:
    """Take back the last thing that this person did and that still holds.

    Raises:
        UnknownName: when there is nothing to take back.
        AskBack: for an act of several entries, with what would be taken back.
        Refused: when it cannot be taken back, or would leave a station unsafe.
    """
    reason = require_reason(why, "undo")
    with session.writing():
        last = last_act(session, person_id(session, by))
        if last is None:
            message = f"{by or 'window'} did nothing that still holds"
            way_out = saying(act("history"), " lists the entries; or say ", act("say.by"))
            raise UnknownName(message, way_out=way_out)
        numbers = act_entries(session, last)
        stamp = stamp_for(session, by, now=now)
        return _take_back(session, numbers, reason, stamp, confirmed)


def _take_back(
    session: Session, numbers: Iterable[int], why: str, stamp: Stamp, confirmed: Confirmed
) -> Undone:
    # Newest first, so that an entry that brought a piece in goes after what was done with it.
    chosen = sorted(set(numbers), reverse=True)
    _must_not_be_received(session, chosen)
    tags = pieces_of_entries(session, chosen)
    before = {card.id: card for card in _cards(session, tags)}
    faults_before = _faults(session)
    moved = reverse(session, stamp, chosen, why)
    follow_undo(session, chosen)
    relearn_pieces(session, moved)
    new = new_faults(faults_before, _faults(session))
    if new:
        message = f"that would leave a station unsafe: {'; '.join(one.what for one in new)}"
        way_out = saying(act("move"), " the pieces apart first, then undo")
        raise Refused(message, way_out=way_out)
    # Last, so that nobody is asked about what would be refused.
    require_seen(session, chosen, confirmed)
    unit = shop_rules(session).system
    after = _cards(session, moved)
    taken = entries_numbered(session, chosen)
    return Undone(
        lines(session, taken),
        tuple(Restored(one.tag, _then(before[one.id]), _then(one)) for one in after),
        sum(len(act_entries(session, act)) for act in {one.act for one in taken}),
        lines(session, entries_numbered(session, other_halves(session, chosen))),
        why,
        unit,
    )


def _must_not_be_received(session: Session, numbers: Sequence[int]) -> None:
    """What an order brought goes back through that order, or its count would be wrong."""
    for one in entries_numbered(session, numbers):
        order = act_received(session, one.act) if one.action == "add" else None
        if order is not None:
            message = f"entry {one.id}: {one.tag} came with order {order}"
            back = act("receive.back", tag=one.tag, why=None)
            raise Refused(message, way_out=saying("book it back: ", back))


def _cards(session: Session, ids: Iterable[int]) -> list[PieceCard]:
    return sorted(pieces_by_ids(session, ids).values(), key=lambda one: one.tag)


def _faults(session: Session) -> list[Fault]:
    """What is wrong at any station; a crib has a handful of them."""
    mounts = mounts_at(session, occupied_stations(session), shop_rules(session))
    return [fault for one in mounts for fault in (*mounting_faults(one), *unfit_faults(one))]


def _then(card: PieceCard) -> TotalsThen:
    return TotalsThen(
        card.place,
        card.condition,
        card.wear,
        card.strokes_edge,
        card.strokes_total,
        card.grinds,
        card.length_mm,
        card.measured_width_mm,
        card.edge,
    )
