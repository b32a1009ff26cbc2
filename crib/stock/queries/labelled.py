"""What labels are printed for: the tools that are there, in the order of a walk."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from crib.stock.engine.in_lists import in_lists
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, select_cards

_HERE = "piece.condition NOT IN ('lost', 'retired')"
_OF_USE = f"{_HERE} AND piece.condition <> 'broken'"
_WALK = "ORDER BY place.walk_order, place.name, kind.role, kind.shape, kind.width_mm, piece.tag"


class PunchSize(NamedTuple):
    """The size and the seat of a punch that the crib has [mm]."""

    shape: str
    seat: str
    width_mm: float
    long_mm: float | None


def tools_here(session: Session, place_id: int | None = None) -> list[PieceCard]:
    """The pieces at a place, or all, that are neither broken, lost nor retired."""
    if place_id is None:
        return select_cards(session, _OF_USE, tail=_WALK)
    return select_cards(session, f"piece.place_id = ? AND {_OF_USE}", (place_id,), tail=_WALK)


def tools_in_drawers(session: Session, place_ids: Iterable[int] = ()) -> list[PieceCard]:
    """The pieces of use in some drawers, or in all when none is named."""
    in_drawers = f"place.sort = 'drawer' AND {_OF_USE}"
    wanted = list(place_ids)
    if not wanted:
        return select_cards(session, in_drawers, tail=_WALK)
    return [
        card
        for marks, some in in_lists(wanted)
        for card in select_cards(
            session, f"{in_drawers} AND piece.place_id IN {marks}", some, tail=_WALK
        )
    ]


def punch_sizes(session: Session) -> list[PunchSize]:
    """The punches that the crib has, by kind: what a die of the same seat is for."""
    rows = session.rows(
        "SELECT DISTINCT kind.shape, seat.name, kind.width_mm, kind.long_mm FROM kind"
        " JOIN seat ON seat.id = kind.seat_id JOIN piece ON piece.kind_id = kind.id"
        f" WHERE kind.role = 'punch' AND kind.width_mm IS NOT NULL AND {_HERE}"
    )
    return [PunchSize(*row) for row in rows]
