"""Hand pieces over and take them back: where they go, what the ledger says of it, what must not be.

Every piece of an act gets a move entry, one that stays mounted or is lost as well. So its history
tells who had it, and undoing knows the holds that the act changed by what its entries are about.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from crib.acts import Said, act, saying
from crib.desk.common.acting import read_day
from crib.desk.common.mounting import Fault, mounting_faults, mounts_at, new_faults
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.book.ledger import Batch, NewEntry, Stamp, write_all
from crib.stock.book.settings import shop_rules
from crib.stock.book.subjects import HoldStep, of_hold
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.places import PlaceCard, place_by_name, places_like
from crib.stock.writers.holds import HoldCard, active_holds
from crib.stock.writers.keep_kits import badge_name, last_walk_order, make_place
from crib.words import AWAY


@dataclass(frozen=True, slots=True)
class Step:
    """One piece that goes to a place, out for its hold or back from it; or that is given up."""

    card: PieceCard
    place_id: int | None
    hold: HoldCard
    way: HoldStep

    @property
    def entry(self) -> NewEntry:
        """What the ledger keeps of it."""
        note = _NOTES[self.way](self.hold)[:400]
        subject = of_hold(self.hold.id, self.way)
        return NewEntry("move", self.card.id, place_id=self.place_id, note=note, subject=subject)


def _note_out(hold: HoldCard) -> str:
    return (
        f"handed out to {hold.holder} for job {hold.job}" if hold.job else f"lent to {hold.holder}"
    )


def _note_back(hold: HoldCard) -> str:
    return f"back from {hold.holder}{f' for job {hold.job}' if hold.job else ''}"


def _note_over(hold: HoldCard) -> str:
    return f"{hold.condition}, so not {_note_back(hold)}"


_NOTES: dict[HoldStep, Callable[[HoldCard], str]] = {
    "out": _note_out,
    "back": _note_back,
    "over": _note_over,
}


def receiver(session: Session, name: str, *, new_place: bool) -> PlaceCard:
    """The place of who takes the pieces: a person, the grinder, or outside the shop.

    A badge name gets its place by itself; anybody else is a place outside, when said to be new.

    Raises:
        BadValue: when nobody is named.
        UnknownName: for a name that is neither a place nor a badge name.
        Refused: for a drawer or a station.
    """
    if not name.strip():
        message, to = "who takes them?", act("say.receiver")
        raise BadValue(message, way_out=saying("say it with ", to, ": a person or a place"))
    try:
        place = place_by_name(session, name)
    except UnknownName:
        with session.ahead(lambda: last_walk_order(session)):
            badge = badge_name(session, name)
            if badge is not None:
                return make_place(session, badge, "person")
        if new_place:
            return make_place(session, name, "outside")
        message = f"{name.strip()[:40]!r} is neither a place nor a badge name"
        add = ("; or add ", act("say.new-place"), " for a new place outside the shop")
        raise UnknownName(message, way_out=saying(places_like(session, name), *add)) from None
    if place.sort not in AWAY:
        message = f"{place.name} is a {place.sort}, not somebody who takes pieces"
        way_out = saying("name a person or a place outside; ", act("move"), " mounts pieces")
        raise Refused(message, way_out=way_out)
    return place


def due_back(session: Session, until: str, due_on: str, today: date) -> str:
    """When pieces should be back: as said, else the day a job is due, else by the shop's rule.

    Raises:
        BadValue: for a day that cannot be read, or is over.
    """
    said = read_day(until, "the day they are back")
    if said is not None:
        if said < today:
            message = f"back by {said.isoformat()} is before today, {today.isoformat()}"
            raise BadValue(message, way_out="give a day that is to come")
        return said.isoformat()
    if due_on >= today.isoformat():
        return due_on
    days = shop_rules(session).number("kit.back_days")
    return (today + timedelta(days=days)).isoformat()


def hand_over(
    session: Session, stamp: Stamp, steps: Sequence[Step], strokes: Sequence[Batch] = ()
) -> None:
    """Write strokes and moves as one act; refuse what would leave a station unsafe.

    Moves are of today, whatever shift the strokes are of: the pieces change hands now.

    Raises:
        Refused: naming what would be wrong. Stands inside a transaction.
    """
    stations = sorted({step.card.station_id for step in steps if step.card.station_id is not None})
    before = _faults(session, stations)
    write_all(session, [*strokes, (stamp, [step.entry for step in steps])])
    new = new_faults(before, _faults(session, stations))
    if new:
        message = f"that would leave a station unsafe: {'; '.join(fault.what for fault in new)}"
        raise Refused(message, way_out=saying(act("move"), " the other piece out first"))


def hold_remarks(session: Session) -> Iterator[Said]:
    """What is out and lies in a drawer, or will never come back; what is promised and gone."""
    for hold in active_holds(session):
        back = act("kit.back", job=hold.job or hold.tag)
        if hold.condition in ("lost", "retired"):
            settle = back if hold.state == "out" else act("kit.hold", job=hold.job)
            yield saying(f"{hold.tag} is {hold.words}, and is {hold.condition}: ", settle)
        elif hold.state == "out" and hold.place_sort == "drawer":
            yield saying(f"{hold.tag} is {hold.words}, and lies in {hold.place}: ", back)


def counted(count: int, what: str = "piece") -> str:
    """How many of something, in words."""
    return f"{count:,} {what}{'' if count == 1 else 's'}"


def on_day(stamp: Stamp, shift_on: str) -> Stamp:
    """The same act, for the shift of another day."""
    return replace(stamp, shift_on=shift_on)


def _faults(session: Session, stations: Sequence[int]) -> list[Fault]:
    mounts = mounts_at(session, stations, shop_rules(session))
    return [fault for mount in mounts for fault in mounting_faults(mount)]
