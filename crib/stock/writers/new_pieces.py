"""The row of a new piece: what is known of it beside what its opening entry will say."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from crib.stock.book.totals import Totals
from crib.stock.engine.session import Session


@dataclass(frozen=True, slots=True)
class NewPieceRow:
    """A piece that comes in. Money cents; what is empty is not known."""

    tag: str
    kind_id: int
    dedicated_to: str = ""
    bought_on: str = ""
    price_cents: int | None = None
    note: str = ""


def add_piece_row(session: Session, piece: NewPieceRow) -> int:
    """Put a piece's row in and return its number; it counts as retired until its opening entry.

    Raises:
        RowRefused: for a tag that is taken or cannot stand, or a figure outside its limits.
    """
    return session.insert("piece", asdict(Totals()) | asdict(piece))
