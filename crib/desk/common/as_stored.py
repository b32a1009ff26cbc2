"""What the crib holds of some pieces after an act: read again, never what the act meant."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from crib.acts import Said
from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, pieces_by_ids
from crib.stock.queries.strokes import dated_after


@dataclass(frozen=True, slots=True)
class Stored:
    """Pieces as they are stored, by their numbers, and what of their dates must be known."""

    cards: dict[int, PieceCard]
    notes: tuple[Said, ...]


def as_stored(session: Session, piece_ids: Iterable[int], stamp: Stamp) -> Stored:
    """Some pieces after an act; those with entries of later days than the act's are noted."""
    ids = list(dict.fromkeys(piece_ids))
    return Stored(
        pieces_by_ids(session, ids),
        tuple(
            f"{tag} has entries of {day}, after this one's {stamp.shift_on}: wear and edge go by"
            " those days, place and condition by what was written last"
            for tag, day in dated_after(session, ids, stamp.shift_on)
        ),
    )
