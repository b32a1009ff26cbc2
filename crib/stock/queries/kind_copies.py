"""The copies of a kind that could be taken instead of one another."""

from __future__ import annotations

from collections.abc import Sequence

from crib.stock.engine.in_lists import in_lists, marks
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, at_site, select_cards
from crib.words import AWAY


def copies_at_hand(session: Session, kind_ids: Sequence[int]) -> list[list[PieceCard]]:
    """The sound pieces of each kind here and not away, whatever material they are kept for."""
    copies: dict[int, list[PieceCard]] = {kind_id: [] for kind_id in kind_ids}
    for kinds, some in in_lists(kind_ids):
        for card in select_cards(
            session,
            f"piece.kind_id IN {kinds} AND piece.condition = 'sound'"
            f" AND coalesce(place.sort, 'drawer') NOT IN {marks(AWAY)} AND {at_site(session.site)}",
            (*some, *AWAY),
            tail="ORDER BY piece.tag",
        ):
            copies[card.kind_id].append(card)
    return [copies[kind_id] for kind_id in kind_ids]
