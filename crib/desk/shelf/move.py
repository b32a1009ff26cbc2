"""Put pieces in a drawer, a station, the grinder or somebody's hands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crib.acts import Confirmed, Said, act, saying
from crib.desk.common.acting import stamp_for
from crib.desk.common.as_stored import as_stored
from crib.desk.common.caution_page import Work
from crib.desk.common.cautions import is_heavy, short_cautions, station_work
from crib.desk.common.mounting import (
    ONE_EACH,
    Fault,
    mount_at,
    mounting_faults,
    stack_cautions,
    unfit_faults,
)
from crib.desk.common.ways import require_same_site
from crib.errors import AskBack, BadValue, Refused
from crib.stock.book.ledger import NewEntry, Stamp, write
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, pieces_named
from crib.stock.queries.places import (
    PlaceCard,
    last_drawer,
    make_drawer,
    mounted_at,
    place_by_name,
    station_card,
)

ADAPTERS = ("punch_adapter", "die_adapter")


@dataclass(frozen=True, slots=True)
class Move:
    """What was asked: which pieces, where to, and what may be done on the way."""

    tags: tuple[str, ...]
    to: str
    new_drawer: bool = False
    confirmed: Confirmed = frozenset()
    note: str = ""


@dataclass(frozen=True, slots=True)
class MovedPiece:
    """One piece that changed its place; ``swapped_out`` when it made room for another."""

    tag: str
    kind: str
    came_from: str | None
    to: str
    swapped_out: bool


@dataclass(frozen=True, slots=True)
class MountedPiece:
    """One piece that stands at the station now."""

    role: str
    tag: str


@dataclass(frozen=True, slots=True)
class Moved:
    """What moved, what lay there already, and what to look at before the first stroke.

    ``safety`` are the cautions of carrying it and of the station's work.
    """

    pieces: tuple[MovedPiece, ...]
    there_already: tuple[str, ...]
    mounted: tuple[MountedPiece, ...]
    cautions: tuple[Said, ...]
    act: str
    notes: tuple[Said, ...] = ()
    safety: tuple[str, ...] = ()


def move_pieces(
    session: Session, move: Move, *, by: str = "", now: datetime | None = None
) -> Moved:
    """Move pieces, all of them or none.

    Raises:
        UnknownName: for a tag or a place that is not there; names the nearest.
        Refused: for a lost piece, and for anything that must not stand at a station.
        AskBack: when a mounted piece must make room and nobody said so.
    """
    with session.writing():
        stamp = stamp_for(session, by, now=now)
        place = (
            make_drawer(session, move.to) if move.new_drawer else place_by_name(session, move.to)
        )
        cards = _pieces(session, move.tags)
        require_same_site(session, cards, place)
        arriving = [card for card in cards if card.place_id != place.id]
        steps = [(one, place, False) for one in arriving]
        minded: list[str] = []
        if place.station_id is not None:
            out = _make_room(session, place, cards, move.confirmed)
            steps = [*((one, drawer, True) for one, drawer in out), *steps]
            minded = _require_mountable(session, place, cards, [one for one, _drawer in out])
        require_seats_left(session, [one for one, _place, _out in steps])
        _write(session, stamp, steps, " ".join(move.note.split()))
        there = tuple(card.tag for card in cards if card.place_id == place.id)
        return _report(session, place, steps, there, stamp, minded)


def _pieces(session: Session, tags: Sequence[str]) -> list[PieceCard]:
    """The cards of the tags, each once."""
    if not tags:
        message, example = "no tag given", act("move", tags=("P-0137",), to="A1")
        raise BadValue(message, way_out=saying("write it like ", example))
    cards = pieces_named(session, tags)
    for card in cards:
        if card.condition == "lost":
            message = f"{card.tag} is lost"
            count = act("count.found", place=None, found=card.tag, why=None)
            way_out = saying("when it turned up: ", count)
            raise Refused(message, way_out=way_out)
    return cards


def _make_room(
    session: Session, place: PlaceCard, arriving: Sequence[PieceCard], confirmed: Confirmed
) -> list[tuple[PieceCard, PlaceCard]]:
    """Which mounted pieces leave for which drawers, so that the arriving ones have room."""
    out = []
    for mounted in mounted_at(session, _station_id(place)):
        wanted = [one for one in arriving if one.role == mounted.role and one.id != mounted.id]
        if mounted.role not in ONE_EACH or not wanted or mounted.id in {one.id for one in arriving}:
            continue
        if "station-taken" not in confirmed:
            message = f"{place.name} has {mounted.role} {mounted.tag} mounted"
            swap = act("confirm.station-taken")
            way_out = saying("say ", swap, f" to send {mounted.tag} back to its drawer first")
            raise AskBack(message, confirm="station-taken", way_out=way_out)
        drawer = last_drawer(session, mounted.id)
        if drawer is None:
            message = f"{mounted.tag} never lay in a drawer that the crib knows"
            way_out = saying("say where: ", act("move", tags=(mounted.tag,)))
            raise AskBack(message, choose="drawer", way_out=way_out)
        out.append((mounted, drawer))
    return out


def _require_mountable(
    session: Session,
    place: PlaceCard,
    arriving: Sequence[PieceCard],
    leaving: Sequence[PieceCard],
) -> list[str]:
    """Refuse what would be wrong at the station once everything has moved; what is to be minded."""
    ids = {one.id for one in (*arriving, *leaving)}
    staying = [one for one in mounted_at(session, _station_id(place)) if one.id not in ids]
    station_id, rules = _station_id(place), shop_rules(session)
    _refuse(unfit_faults(mount_at(session, station_id, rules, arriving)))
    mount = mount_at(session, station_id, rules, [*staying, *arriving])
    _refuse(mounting_faults(mount))
    return stack_cautions(mount)


def require_seats_left(session: Session, moving: Sequence[PieceCard]) -> None:
    """Refuse to take an adapter from under a tool that stays."""
    ids = {one.id for one in moving}
    stations = {
        one.station_id for one in moving if one.role in ADAPTERS and one.station_id is not None
    }
    for station_id in sorted(stations):
        staying = [one for one in mounted_at(session, station_id) if one.id not in ids]
        _refuse(mounting_faults(mount_at(session, station_id, shop_rules(session), staying)))


def _refuse(faults: Sequence[Fault]) -> None:
    if faults:
        message = "; ".join(fault.what for fault in faults)
        raise Refused(message, way_out=faults[0].way_out)


def _write(
    session: Session, stamp: Stamp, steps: Sequence[tuple[PieceCard, PlaceCard, bool]], note: str
) -> None:
    entries = [
        NewEntry("move", card.id, place_id=place.id, note="made room" if out else note[:400])
        for card, place, out in steps
    ]
    write(session, stamp, entries)


def _report(
    session: Session,
    place: PlaceCard,
    steps: Sequence[tuple[PieceCard, PlaceCard, bool]],
    there: tuple[str, ...],
    stamp: Stamp,
    minded: Sequence[str],
) -> Moved:
    stored = as_stored(session, [card.id for card, _to, _out in steps], stamp)
    moved = tuple(
        MovedPiece(card.tag, card.kind_name, card.place, stored.cards[card.id].place or "", out)
        for card, _to, out in steps
    )
    mounted = [] if place.station_id is None else mounted_at(session, place.station_id)
    waiting = [_looked_at(one.tag) for one in mounted if one.condition == "inspect"]
    standing_there = tuple(
        MountedPiece(mounted_piece.role, mounted_piece.tag) for mounted_piece in mounted
    )
    safety = _safety(session, place, [card for card, _to, _out in steps])
    told = (*minded, *waiting)
    return Moved(moved, there, standing_there, told, stamp.act, stored.notes, safety)


def _safety(session: Session, place: PlaceCard, moving: Sequence[PieceCard]) -> tuple[str, ...]:
    """What to mind with the pieces in hand: at a station, with a person, and where one is heavy."""
    works: list[Work] = []
    if place.station_id is not None:
        works.append(station_work(station_card(session, place.station_id).does))
    elif place.sort == "person":
        works.append("hand_out")
    if any(is_heavy(card.role, card.width_mm) for card in moving):
        works.append("heavy")
    return short_cautions(works) if works else ()


def _looked_at(tag: str) -> Said:
    look = act("look.inspected", tag=tag)
    return saying(f"{tag} waits to be looked at: ", look, " when it is sound")


def _station_id(place: PlaceCard) -> int:
    assert place.station_id is not None
    return place.station_id
