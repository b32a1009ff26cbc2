"""Everything about one piece."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from crib.desk.book.history import HistoryLine, lines
from crib.desk.common.piece_wear import EDGED, PieceWear, length_now_mm, piece_wear
from crib.desk.common.ways import OnTheWay, way_of
from crib.desk.life.learning import Learned, kept_of
from crib.desk.strokes.stroke_weight import SeverityWhy, why_latest
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import edge_kind
from crib.stock.queries.history import EntryFilter, count_entries, entries
from crib.stock.queries.kinds import SeatNumbers, seat_of_kind
from crib.stock.queries.pieces import PieceCard, piece_by_tag, price_paid_cents
from crib.stock.writers.holds import HoldCard, hold_of_pieces
from crib.units import System

LAST_ENTRIES = 8


@dataclass(frozen=True, slots=True)
class PieceReport:
    """A piece with its standing, seat and last entries. Lengths mm, money cents.

    ``length_mm`` is the measured length, else the one when new less what was ground off;
    ``price_cents`` what this piece cost, where the kind's price may have changed since;
    ``learned`` how long an edge of its kind lasts; ``why`` what makes the weight of the latest
    strokes among the last entries; ``hold`` who has it or is promised it.
    """

    piece: PieceCard
    standing: PieceWear
    learned: Learned | None
    why: SeverityWhy | None
    seat: SeatNumbers | None
    length_mm: float | None
    price_cents: int | None
    entries: tuple[HistoryLine, ...]
    entries_more: int
    unit: System
    currency: str
    hold: HoldCard | None = None
    site: str = ""
    """At which site of several it is, or which it left, where it is on the way."""
    way: OnTheWay | None = None

    def as_json(self) -> dict[str, Any]:
        """One flat object; the numbers by which tables know their rows stay inside."""
        made = {name: value for name, value in asdict(self.piece).items() if name not in _INSIDE}
        return made | {
            "wear": self.piece.wear,
            "ground_mm": self.piece.ground_um / 1000,
            **asdict(self.standing),
            "learned": self.learned,
            "why": self.why,
            "seat": self.seat,
            "length_mm": self.length_mm,
            "length_measured": self.piece.length_mm is not None,
            "price_cents": self.price_cents,
            "hold": _held(self.hold),
            "entries": self.entries,
            "entries_more": self.entries_more,
            **({"site": self.site, "on_the_way": self.way} if self.site else {}),
        }


_INSIDE = (
    "id",
    "kind_id",
    "place_id",
    "station_id",
    "wear_milli",
    "ground_um",
    "site_id",
    "to_site_id",
    "learned_life",
)


def show_piece(session: Session, tag: str) -> PieceReport:
    """Everything the crib knows of one piece.

    Raises:
        UnknownName: when no piece has that tag.
    """
    card = piece_by_tag(session, tag)
    rules = shop_rules(session)
    of_piece = EntryFilter(piece_id=card.id)
    last = entries(session, of_piece, LAST_ENTRIES)
    count = count_entries(session, of_piece)
    return PieceReport(
        piece=card,
        standing=piece_wear(card, rules),
        learned=kept_of(session, edge_kind(session, card.kind_id), rules)
        if card.role in EDGED
        else None,
        why=why_latest(last),
        seat=seat_of_kind(session, card.kind_id),
        length_mm=length_now_mm(card),
        price_cents=price_paid_cents(session, card.id),
        entries=lines(session, last),
        entries_more=count - len(last),
        unit=rules.system,
        currency=rules.text("crib.currency"),
        hold=hold_of_pieces(session, [card.id]).get(card.id),
        site=session.at.name_of(card.site_id) if session.at else "",
        way=way_of(session, card) if card.place_sort == "way" else None,
    )


def _held(hold: HoldCard | None) -> dict[str, Any] | None:
    if hold is None:
        return None
    names = ("job", "state", "spare", "holder", "out_on", "due_back")
    return {name: getattr(hold, name) for name in names} | {"words": hold.words}
