"""What is on the way between sites, when it should come, and why nothing else crosses sites."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from crib.acts import act, saying
from crib.desk.common.acting import today_of
from crib.errors import Refused
from crib.stock.book.settings import shop_rules
from crib.stock.book.sites import SiteDays, days_between
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.places import PlaceCard
from crib.stock.queries.ways import WayPiece, pieces_on_the_way


@dataclass(frozen=True, slots=True)
class OnTheWay:
    """A piece that was sent and not received; ``days_late`` is 0 for what is not late."""

    tag: str
    kind: str
    from_site: str
    to_site: str
    sent_on: str
    due_on: str
    days_late: int


@dataclass(frozen=True, slots=True)
class Ways:
    """Everything on the way from or to the asker's site."""

    pieces: tuple[OnTheWay, ...]


def list_ways(session: Session) -> Ways:
    """What is on the way, as an answer of its own."""
    return Ways(on_the_way(session))


def on_the_way(session: Session, now: datetime | None = None) -> tuple[OnTheWay, ...]:
    """What is on the way from or to the asker's site, or in the whole company; the oldest first."""
    if session.at is None or not session.at.several:
        return ()
    days = days_between(session, shop_rules(session))
    every = pieces_on_the_way(session, session.at.id)
    return tuple(_as_shown(one, days, today_of(now)) for one in every)


def way_of(session: Session, card: PieceCard, now: datetime | None = None) -> OnTheWay | None:
    """The way that one piece is on."""
    days = days_between(session, shop_rules(session))
    every = pieces_on_the_way(session, card.site_id)
    found = [one for one in every if one.piece_id == card.id]
    return _as_shown(found[0], days, today_of(now)) if found else None


def _as_shown(piece: WayPiece, days: SiteDays, today: date) -> OnTheWay:
    due = date.fromisoformat(piece.sent_on) + timedelta(days.between(piece.from_id, piece.to_id))
    return OnTheWay(
        *(piece.tag, piece.kind, piece.from_site, piece.to_site, piece.sent_on, due.isoformat()),
        max(0, (today - due).days),
    )


def require_same_site(session: Session, cards: Sequence[PieceCard], place: PlaceCard) -> None:
    """Refuse what would take a piece to another site without a word of its being sent.

    Raises:
        Refused: naming every such piece, and how it is sent or received.
    """
    if session.at is None or not session.at.several:
        return
    coming = [card for card in cards if card.place_sort == "way"]
    if coming:
        message = "on the way: " + ", ".join(f"{card.tag} ({card.place})" for card in coming)
        received = act("arrive", tags=tuple(card.tag for card in coming))
        raise Refused(message, way_out=saying("received? ", received))
    away = [card for card in cards if card.site_id not in (None, place.site_id)]
    if away:
        names, to = session.at.names, session.at.names[place.site_id or 0]
        where = [names[card.site_id or 0] for card in away]
        said = ", ".join(f"{card.tag} is at {at}" for card, at in zip(away, where, strict=True))
        send = act("send", tags=tuple(card.tag for card in away), to=to, site=where[0])
        message = f"{place.name} is at {to}, {said}"
        raise Refused(message, way_out=saying("send it there: ", send))
