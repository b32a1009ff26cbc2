"""What somebody has in hand, the drawer each piece belongs in, and bringing it back there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crib.acts import act, saying
from crib.desk.kit.take_back import TakeBack, take_loans_back
from crib.desk.shelf.move import Move, move_pieces
from crib.errors import AskBack, Refused, UnknownName
from crib.stock.book.people import person_called
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, pieces_by_ids, pieces_in_places, pieces_named
from crib.stock.queries.places import home_drawers, place_by_name
from crib.stock.queries.strokes import mounted_pieces
from crib.stock.writers.holds import HoldCard, hold_of_pieces

NOT_THERE = ("lost", "retired")


@dataclass(frozen=True, slots=True)
class InHand:
    """One piece in somebody's hands. ``home`` is the drawer it last lay in, empty for none.

    ``job`` is the job whose kit it is out with: such a kit comes back whole.
    """

    tag: str
    kind: str
    condition: str
    home: str
    job: str
    due_back: str


@dataclass(frozen=True, slots=True)
class Hands:
    """What one person has, by tag."""

    person: str
    pieces: tuple[InHand, ...]


@dataclass(frozen=True, slots=True)
class Standing:
    """A piece that stands at a station."""

    tag: str
    kind: str
    place: str


@dataclass(frozen=True, slots=True)
class BroughtBack:
    """A piece that is where it belongs."""

    tag: str
    kind: str
    came_from: str
    place: str


def in_hands(session: Session, by: str) -> Hands:
    """What a person has in hand.

    Raises:
        UnknownName: when nobody is called so.
    """
    person = person_called(session, by)
    try:
        place = place_by_name(session, person)
    except UnknownName:
        return Hands(person, ())
    there = [one for one in pieces_in_places(session, [place.id]) if one.condition not in NOT_THERE]
    ids = [one.id for one in there]
    homes, holds = home_drawers(session, ids), hold_of_pieces(session, ids)
    pieces = [
        _in_hand(card, homes[card.id].name if card.id in homes else "", holds.get(card.id))
        for card in sorted(there, key=lambda one: one.tag)
    ]
    return Hands(person, tuple(pieces))


def _in_hand(card: PieceCard, home: str, hold: HoldCard | None) -> InHand:
    job, due = ((hold.job or ""), hold.due_back) if hold else ("", "")
    return InHand(card.tag, card.kind_name, card.condition, home, job, due)


def at_machines(session: Session) -> tuple[Standing, ...]:
    """What stands at the machines, station by station."""
    cards = mounted_pieces(session)
    return tuple(Standing(card.tag, card.kind_name, card.place or "") for card in cards)


def home_of(session: Session, piece_id: int) -> str:
    """The drawer that a piece last lay in; empty where it never lay in one."""
    home = home_drawers(session, [piece_id]).get(piece_id)
    return home.name if home else ""


def bring_back(
    session: Session,
    tags: Sequence[str],
    to: str = "",
    *,
    by: str = "",
    now: datetime | None = None,
) -> tuple[BroughtBack, ...]:
    """Put pieces back, each to the drawer it last lay in or all to one; all of them or none.

    What was lent is taken back, what only lay elsewhere is moved.

    Raises:
        UnknownName: for a tag or a drawer that is not known.
        AskBack: for a piece without a drawer on record, when none is named.
        Refused: for a piece of a kit, which comes back whole, and one that is lost or retired.
    """
    with session.writing():
        cards = pieces_named(session, tags)
        lent = _lent(session, cards)
        if lent:
            take_loans_back(session, [one.tag for one in lent], TakeBack(to=to), by=by, now=now)
        strayed = [card for card in cards if card not in lent]
        for home, away in _by_home(session, strayed, to.strip()).items():
            move_pieces(session, Move(tuple(away), home), by=by, now=now)
        after = pieces_by_ids(session, [card.id for card in cards])
    return tuple(
        BroughtBack(card.tag, card.kind_name, card.place or "", after[card.id].place or "")
        for card in cards
    )


def _lent(session: Session, cards: Sequence[PieceCard]) -> list[PieceCard]:
    holds = hold_of_pieces(session, [card.id for card in cards])
    return [card for card in cards if card.id in holds and holds[card.id].state == "out"]


def _by_home(session: Session, cards: Sequence[PieceCard], to: str) -> dict[str, list[str]]:
    """The tags that go to each drawer."""
    homes = home_drawers(session, [] if to else [card.id for card in cards])
    going: dict[str, list[str]] = {}
    for card in cards:
        home = to or (homes[card.id].name if card.id in homes else "")
        _require_way(card, home)
        going.setdefault(home, []).append(card.tag)
    return going


def _require_way(card: PieceCard, home: str) -> None:
    if card.condition == "retired":
        message = f"{card.tag} is retired"
        raise Refused(message, way_out=saying(act("history", tag=card.tag), " says why"))
    if not home:
        message = f"{card.tag} never lay in a drawer that the crib knows"
        raise AskBack(message, choose="drawer", way_out=saying("say where: ", act("say.drawer")))
