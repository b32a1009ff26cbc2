"""A piece that another site than the asker's has, and must send before it can be used here."""

from __future__ import annotations

from dataclasses import dataclass

from crib.acts import Act, act
from crib.stock.book.sites import days_between
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class FarPiece:
    """From which site a piece must be sent to which, and how many days that takes."""

    tag: str
    site: str
    to: str
    days: int

    @property
    def send(self) -> Act:
        """What brings it."""
        return act("send", tags=(self.tag,), to=self.to, site=self.site)


def far_piece(session: Session, rules: Rules, card: PieceCard) -> FarPiece | None:
    """Whether a piece is at another site; None for one that is here, nowhere or on the way."""
    here, at = session.site, session.at
    if here is None or at is None or card.site_id in (None, here) or card.place_sort == "way":
        return None
    days = days_between(session, rules).between(card.site_id, here)
    return FarPiece(card.tag, at.name_of(card.site_id), at.name, days)
