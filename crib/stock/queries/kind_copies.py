"""The copies of a kind that could be taken instead of one another."""

from __future__ import annotations

from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, select_cards
from crib.words import AWAY


def copies_at_hand(session: Session, kind_id: int) -> list[PieceCard]:
    """The sound pieces of a kind that are not away, whatever material they are kept for."""
    away = ", ".join("?" * len(AWAY))
    return select_cards(
        session,
        "piece.kind_id = ? AND piece.condition = 'sound'"
        f" AND coalesce(place.sort, 'drawer') NOT IN ({away})",
        (kind_id, *AWAY),
        tail="ORDER BY piece.tag",
    )
