"""A blade's next edge, until every edge is used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from crib.acts import Said, act, saying
from crib.desk.common.acting import read_found, require_came, stamp_for
from crib.desk.common.as_stored import as_stored
from crib.desk.common.blade_pairs import require_blades, turned_unlike
from crib.desk.common.cautions import short_cautions
from crib.desk.edges.grind import came_back, short_note
from crib.desk.life.relearn import relearn
from crib.errors import BadValue, Refused
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry, Stamp
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from crib.stock.queries.strokes import edges_used

CAUTIONS = short_cautions(["turn"])


@dataclass(frozen=True, slots=True)
class TurnRequest:
    """A turning as it was said; edge 0 is the next fresh one."""

    tag: str
    edge: int = 0
    by: str = ""
    on: str = ""
    note: str = ""
    found: str = ""


@dataclass(frozen=True, slots=True)
class Turned:
    """A blade after its turning, with what to think of it.

    ``opposite`` is what to do about those that cut with it.
    """

    tag: str
    kind: str
    shift_on: str
    edge_before: int
    edge: int
    edges: int
    edges_left: int
    wear_before: float
    notes: tuple[Said, ...] = ()
    opposite: tuple[Said, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS


@dataclass(frozen=True, slots=True)
class TurnedTogether:
    """The blades of a pair after their turning, and what is still to be done about them."""

    pieces: tuple[Turned, ...]
    opposite: tuple[Said, ...]
    cautions: tuple[str, ...] = CAUTIONS


def turn_edge(session: Session, request: TurnRequest, now: datetime | None = None) -> Turned:
    """Bring a blade's next edge into use.

    Raises:
        Refused: for a piece with one edge, or with no fresh edge left.
        BadValue: for an edge that the piece does not have, or a finding that is not known.
    """
    with session.writing():
        return _record(session, request, stamp_for(session, request.by, request.on, now))


def turn_edges(
    session: Session, tags: Sequence[str], request: TurnRequest, now: datetime | None = None
) -> TurnedTogether:
    """Turn the blades of a pair, in one act or not at all.

    Raises:
        BadInput: what ``turn_edge`` raises of any of them.
        Refused: for what are not blades of one pair.
    """
    with session.writing():
        require_blades(session, tags, "turn")
        stamp = stamp_for(session, request.by, request.on, now)
        every = [_record(session, replace(request, tag=tag), stamp) for tag in tags]
        cards = [piece_by_tag(session, one.tag) for one in every]
        notes = [note for card in cards for note in turned_unlike(session, card)]
    alone = [replace(one, opposite=()) for one in every]
    return TurnedTogether(tuple(alone), tuple(dict.fromkeys(notes)))


def _record(session: Session, request: TurnRequest, stamp: Stamp) -> Turned:
    card = piece_by_tag(session, request.tag)
    require_came(session, [card], request.on, stamp)
    used = edges_used(session, card.id) | {card.edge}
    edge = _next_edge(card, request.edge, used)
    found, note = read_found(request.found), short_note(request.note)
    entry = NewEntry("turn", card.id, edge=edge, found=found, note=note)
    ledger.write(session, stamp, [entry])
    relearn(session, [card.kind_id])
    stored = as_stored(session, [card.id], stamp)
    after = stored.cards[card.id]
    return Turned(
        tag=card.tag,
        kind=card.kind_name,
        shift_on=stamp.shift_on,
        edge_before=card.edge,
        edge=after.edge,
        edges=card.edges,
        edges_left=card.edges - len(used | {edge}),
        wear_before=card.wear,
        notes=(*came_back(card, found, shop_rules(session)), *stored.notes),
        opposite=tuple(turned_unlike(session, after)),
    )


def _next_edge(card: PieceCard, asked: int, used: set[int]) -> int:
    by_length = act("grind.length", tag=card.tag)
    by_what_came_off = act("grind.off", tag=card.tag)
    grind = saying("grind it: ", by_what_came_off if card.length_mm is None else by_length)
    if card.condition in ("broken", "lost", "retired"):
        message = f"{card.tag} is {card.condition}; it cannot be turned"
        raise Refused(message, way_out=saying(act("history", tag=card.tag), " shows why"))
    if card.edges == 1:
        message = f"{card.tag} has one edge; there is nothing to turn"
        raise Refused(message, way_out=grind)
    if asked and not 1 <= asked <= card.edges:
        message = f"edge {asked} must be 1 to {card.edges}"
        leave_out = saying("leave ", act("say.edge"), " out")
        raise BadValue(message, way_out=saying(leave_out, ": the next fresh one comes into use"))
    fresh = [edge for edge in range(1, card.edges + 1) if edge not in used]
    if not fresh:
        every = "both" if card.edges == 2 else f"all {card.edges}"
        message = f"{card.tag}: {every} edges are used"
        raise Refused(message, way_out=grind)
    if asked and asked not in fresh:
        message = f"{card.tag}: edge {asked} is used already; fresh: {', '.join(map(str, fresh))}"
        raise Refused(message, way_out="turn to a fresh edge")
    later = [edge for edge in fresh if edge > card.edge]
    return asked or (later or fresh)[0]
