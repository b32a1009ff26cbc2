"""Take a piece out of use for good, with the reason."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from crib.acts import Said, act, saying
from crib.desk.common.acting import require_reason, stamp_for
from crib.desk.common.as_stored import as_stored
from crib.desk.life.relearn import relearn
from crib.errors import Refused
from crib.stock.book.ledger import NewEntry, write
from crib.stock.engine.session import Session
from crib.stock.queries.history import last_entry
from crib.stock.queries.pieces import count_left, piece_by_tag


@dataclass(frozen=True, slots=True)
class Retired:
    """A piece that is out of use, what it did in its life, and what is left of its kind."""

    tag: str
    kind: str
    why: str
    was: str
    strokes_since_new: int
    grinds: int
    left_of_kind: int
    entry: int
    condition: str
    notes: tuple[Said, ...]


def retire_piece(
    session: Session, tag: str, why: str, *, by: str = "", now: datetime | None = None
) -> Retired:
    """Retire one piece. Its tag is never used again.

    Raises:
        UnknownName: when no piece has that tag.
        BadValue: without a reason.
        Refused: for a piece that is retired already, or stands mounted at a station.
    """
    reason = require_reason(why, f"retire {tag}")
    with session.writing():
        card = piece_by_tag(session, tag)
        if card.condition == "retired":
            message = f"{card.tag} is retired already"
            history = act("history", tag=card.tag)
            raise Refused(message, way_out=saying("nothing to do; ", history, " says why"))
        if card.station_id is not None:
            message = f"{card.tag} is mounted at {card.place}"
            move = act("move", tags=(card.tag,))
            raise Refused(message, way_out=saying("take it out first: ", move))
        entry = NewEntry("retire", card.id, condition="retired", note=reason)
        stamp = stamp_for(session, by, now=now)
        write(session, stamp, [entry])
        relearn(session, [card.kind_id])
        number = last_entry(session, card.id)
        stored = as_stored(session, [card.id], stamp)
    left = count_left(session, card.kind_id)
    return Retired(
        card.tag,
        card.kind_name,
        reason,
        card.condition,
        card.strokes_total,
        card.grinds,
        left,
        number,
        stored.cards[card.id].condition,
        stored.notes,
    )
