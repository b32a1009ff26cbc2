"""Pieces from one site to another: sent, and received, two acts; between them they are on the way.

Each is a move in the ledger, so that undoing takes one back: what was received by a slip is on the
way again, what was sent by one lies where it lay.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from crib.acts import Said, act, saying
from crib.desk.common.acting import stamp_for, tags_named
from crib.desk.common.as_stored import Stored, as_stored
from crib.desk.shelf.move import require_seats_left
from crib.errors import AskBack, BadValue, Refused
from crib.stock.book.ledger import NewEntry, write
from crib.stock.book.settings import shop_rules
from crib.stock.book.sites import Site, days_between, site_called, way_between
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, pieces_named
from crib.stock.queries.places import PlaceCard, make_drawer, place_by_name
from crib.stock.queries.ways import drawers_at
from crib.stock.writers.holds import HoldCard, hold_of_pieces
from crib.words import AWAY


@dataclass(frozen=True, slots=True)
class SentPiece:
    """One piece that left a site or came to one."""

    tag: str
    kind: str
    came_from: str
    place: str


@dataclass(frozen=True, slots=True)
class Sent:
    """What left for another site, and the day on which it should be there."""

    from_site: str
    to_site: str
    due_on: str
    pieces: tuple[SentPiece, ...]
    act: str
    notes: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class Arrived:
    """What came to a site, and the drawers it lies in."""

    site: str
    pieces: tuple[SentPiece, ...]
    act: str
    notes: tuple[Said, ...]


def send_pieces(
    session: Session,
    tags: Sequence[str],
    to: str,
    *,
    by: str = "",
    on: str = "",
    now: datetime | None = None,
) -> Sent:
    """Send pieces from the asker's site to another, all of them or none.

    Raises:
        UnknownName: for a tag or a site that is not known.
        BadValue: without a tag, or in a crib without several sites.
        Refused: for a piece that is not here, or that somebody has.
    """
    here = _own_site(session)
    with session.writing():
        far = site_called(session, to)
        if far.id == here.id:
            message = f"{far.name} is where it is sent from"
            way_out = saying("say from where: ", act("say.site", site=None))
            raise BadValue(message, way_out=way_out)
        cards = _cards(session, tags)
        _refuse("not sent", _not_to_send(session, cards, here))
        require_seats_left(session, cards)
        way, stamp = way_between(session, here.id, far), stamp_for(session, by, on, now)
        note = f"sent from {here.name} to {far.name}"
        write(session, stamp, [NewEntry("move", c.id, place_id=way, note=note) for c in cards])
        pieces, notes = _moved(session, cards, as_stored(session, [c.id for c in cards], stamp))
        days = days_between(session, shop_rules(session)).between(here.id, far.id)
    due = date.fromisoformat(stamp.shift_on) + timedelta(days)
    return Sent(here.name, far.name, due.isoformat(), pieces, stamp.act, notes)


def arrive_pieces(
    session: Session,
    tags: Sequence[str],
    to: str = "",
    *,
    new_drawer: bool = False,
    by: str = "",
    on: str = "",
    now: datetime | None = None,
) -> Arrived:
    """Receive pieces at the asker's site: into one drawer, or each where it last lay here.

    Raises:
        UnknownName: for a tag or a drawer that is not known.
        BadValue: without a tag, or in a crib without several sites.
        Refused: for a piece that is not on the way here, and a drawer that is elsewhere.
        AskBack: for a piece that never lay here, where no drawer is named.
    """
    here = _own_site(session)
    with session.writing():
        cards = _cards(session, tags)
        _refuse("not received", [_not_coming(card, here) for card in cards])
        homes = _homes(session, cards, here, _drawer(session, to, here, new=new_drawer))
        stamp = stamp_for(session, by, on, now)
        note = f"received at {here.name}"
        moves = [NewEntry("move", one.id, place_id=homes[one.id].id, note=note) for one in cards]
        write(session, stamp, moves)
        pieces, notes = _moved(session, cards, as_stored(session, [c.id for c in cards], stamp))
    return Arrived(here.name, pieces, stamp.act, notes)


def _own_site(session: Session) -> Site:
    if session.at is None or not session.at.several:
        message = "this crib has not several sites: there is nowhere to send to"
        raise BadValue(message, way_out=saying("make one more known: ", act("site.add", site=None)))
    if session.at.id is None:
        message = "which site that is was not said"
        raise BadValue(message, way_out=saying("say it with ", act("say.site", site=None)))
    return Site(session.at.id, session.at.name, "")


def _cards(session: Session, tags: Sequence[str]) -> list[PieceCard]:
    if not tags:
        message, example = "no tag given", act("send", tags=("P-0137",), to="South")
        raise BadValue(message, way_out=saying("write it like ", example))
    return pieces_named(session, tags_named(session, tags))


def _refuse(what: str, faults: Sequence[str]) -> None:
    told = [fault for fault in faults if fault]
    if told:
        message = f"{what}: {'; '.join(told)}"
        raise Refused(message, way_out=saying(act("send.list"), " lists what is on the way"))


def _not_to_send(session: Session, cards: Sequence[PieceCard], here: Site) -> list[str]:
    holds = hold_of_pieces(session, [card.id for card in cards])
    return [_why_not_sent(session, card, holds.get(card.id), here) for card in cards]


def _why_not_sent(session: Session, card: PieceCard, hold: HoldCard | None, here: Site) -> str:
    if card.condition in ("lost", "retired"):
        return f"{card.tag} is {card.condition}"
    if card.place_sort == "way":
        return f"{card.tag} is on the way: {card.place}"
    if card.site_id not in (None, here.id):
        return f"{card.tag} is at {session.at.names[card.site_id]}" if session.at else ""
    if hold is not None and hold.state == "out":
        return f"{card.tag} is {hold.words}"
    return f"{card.tag} is away: {card.place}" if card.place_sort in AWAY else ""


def _not_coming(card: PieceCard, here: Site) -> str:
    if card.condition in ("lost", "retired"):
        return f"{card.tag} is {card.condition}"
    if card.place_sort != "way":
        return f"{card.tag} is not on the way, but in {card.place or 'no place'}"
    return "" if card.to_site_id == here.id else f"{card.tag} does not come here: {card.place}"


def _drawer(session: Session, name: str, here: Site, *, new: bool) -> PlaceCard | None:
    if not name.strip():
        return None
    drawer = make_drawer(session, name) if new else place_by_name(session, name)
    if drawer.sort != "drawer" or drawer.site_id != here.id:
        message = f"{drawer.name} is no drawer at {here.name}"
        raise Refused(message, way_out="name a drawer that is there")
    return drawer


def _homes(
    session: Session, cards: Sequence[PieceCard], here: Site, drawer: PlaceCard | None
) -> dict[int, PlaceCard]:
    """The drawer for each piece: the one that was named, else where it last lay here."""
    if drawer is not None:
        return dict.fromkeys((card.id for card in cards), drawer)
    homes = drawers_at(session, [card.id for card in cards], here.id)
    strange = [card.tag for card in cards if card.id not in homes]
    if strange:
        message = f"{', '.join(strange)} never lay in a drawer at {here.name}"
        way_out = saying("say which: ", act("say.drawer", drawer="DRAWER"))
        raise AskBack(message, choose="drawer", way_out=way_out)
    return homes


def _moved(
    session: Session, cards: Sequence[PieceCard], stored: Stored
) -> tuple[tuple[SentPiece, ...], tuple[Said, ...]]:
    """What became of the pieces as they are stored, and what of their dates must be known."""
    pieces = tuple(
        SentPiece(card.tag, card.kind_name, card.place or "", stored.cards[card.id].place or "")
        for card in cards
    )
    return pieces, stored.notes
