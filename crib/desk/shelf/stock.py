"""What is on the shelf, and where: rows that pass some filters, counted, a screenful at a time."""

from __future__ import annotations

from dataclasses import dataclass

from crib.desk.common.piece_wear import piece_wear, size_now_mm
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.shelf import Filters, count_by_role, on_the_shelf
from crib.trade.shop.shop_rules import Rules
from crib.units import System

SCREENFUL = 40


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One piece on the shelf. Sizes are the ones that count, measured before nominal."""

    tag: str
    role: str
    shape: str
    kind: str
    width_mm: float | None
    long_mm: float | None
    measured: bool
    seat: str | None
    place: str | None
    condition: str
    edge: str
    used: float | None
    wear: float


@dataclass(frozen=True, slots=True)
class RoleCount:
    """How many pieces of one role pass the filters."""

    role: str
    count: int


@dataclass(frozen=True, slots=True)
class Shelf:
    """What passes the filters; ``more`` rows are counted and not listed."""

    pieces: tuple[ShelfRow, ...]
    counts: tuple[RoleCount, ...]
    total: int
    more: int
    unit: System


def list_stock(session: Session, filters: Filters, *, every: bool = False) -> Shelf:
    """The pieces that pass the filters, by role, shape and size; a screenful, or every one."""
    rules = shop_rules(session)
    tolerance_mm = rules.number("size.tolerance_mm")
    counts = count_by_role(session, filters, tolerance_mm)
    total = sum(count for _role, count in counts)
    cards = on_the_shelf(session, filters, tolerance_mm, None if every else SCREENFUL)
    return Shelf(
        tuple(_row(card, rules) for card in cards),
        tuple(RoleCount(role, count) for role, count in counts),
        total,
        total - len(cards),
        rules.system,
    )


def _row(card: PieceCard, rules: Rules) -> ShelfRow:
    width_mm, long_mm = size_now_mm(card)
    stands = piece_wear(card, rules)
    return ShelfRow(
        tag=card.tag,
        role=card.role,
        shape=card.shape,
        kind=card.kind_name,
        width_mm=width_mm,
        long_mm=long_mm,
        measured=card.measured_width_mm is not None or card.measured_long_mm is not None,
        seat=card.seat,
        place=card.place,
        condition=card.condition,
        edge=stands.state,
        used=stands.used if stands.state else None,
        wear=card.wear,
    )
