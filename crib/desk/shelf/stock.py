"""What is on the shelf, and where: rows that pass some filters, counted, a screenful at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import cast

from crib.desk.common.piece_standing import size_now_mm, standing
from crib.desk.shelf.shelf_words import Filters
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, select_cards
from crib.trade.shop.shop_rules import Rules
from crib.units import System

SCREENFUL = 40
GONE = ("lost", "retired")
"""Conditions that are not on the shelf; they are listed only when asked for."""

_MOST_AT_ONCE = 500


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


@dataclass(slots=True)
class _Condition:
    """A WHERE clause as it grows."""

    parts: list[str] = field(default_factory=list)
    values: list[object] = field(default_factory=list)

    def add(self, sql: str, *values: object) -> None:
        self.parts.append(sql)
        self.values.extend(values)

    @property
    def sql(self) -> str:
        return " AND ".join(self.parts)


def list_stock(session: Session, filters: Filters, *, every: bool = False) -> Shelf:
    """The pieces that pass the filters, by role, shape and size; a screenful, or every one."""
    rules = shop_rules(session)
    where = _where(filters, rules.number("size.tolerance_mm"))
    counts = _counts(session, where)
    total = sum(one.count for one in counts)
    cards = _cards(session, filters, where, None if every else SCREENFUL)
    return Shelf(
        tuple(_row(one, rules) for one in cards),
        counts,
        total,
        total - len(cards),
        cast(System, rules.text("crib.unit")),
    )


def _where(filters: Filters, tolerance_mm: float) -> _Condition:
    where = _Condition()
    conditions = filters.conditions
    verb = "IN" if conditions else "NOT IN"
    chosen = conditions or GONE
    where.add(f"piece.condition {verb} ({_marks(chosen)})", *chosen)
    for column, words in (("role", filters.roles), ("shape", filters.shapes)):
        if words:
            where.add(f"kind.{column} IN ({_marks(words)})", *words)
    if filters.seat:
        where.add(
            "kind.seat_id IN (SELECT id FROM seat WHERE name = ? COLLATE NOCASE)", filters.seat
        )
    if filters.kind:
        where.add("kind.name LIKE ? ESCAPE '\\'", f"%{_literal(filters.kind)}%")
    if filters.place_id is not None:
        where.add("piece.place_id = ?", filters.place_id)
    for column, size_mm in (("width", filters.width_mm), ("long", filters.long_mm)):
        if size_mm is not None:
            _size(where, column, size_mm, tolerance_mm)
    return where


def _size(where: _Condition, column: str, size_mm: float, tolerance_mm: float) -> None:
    """Measured sizes come by their own index, nominal ones by their kinds: no scan of pieces."""
    low_mm, high_mm = size_mm - tolerance_mm, size_mm + tolerance_mm
    where.add(
        f"piece.id IN (SELECT id FROM piece WHERE measured_{column}_mm BETWEEN ? AND ?"
        f" UNION ALL SELECT other.id FROM kind AS sized JOIN piece AS other"
        f" ON other.kind_id = sized.id WHERE sized.{column}_mm BETWEEN ? AND ?"
        f" AND other.measured_{column}_mm IS NULL)",
        *(low_mm, high_mm, low_mm, high_mm),
    )


def _counts(session: Session, where: _Condition) -> tuple[RoleCount, ...]:
    rows = session.rows(
        "SELECT kind.role, count(*) FROM kind JOIN piece ON piece.kind_id = kind.id"
        f" WHERE {where.sql} GROUP BY kind.role ORDER BY kind.role",
        where.values,
    )
    return tuple(RoleCount(row[0], row[1]) for row in rows)


def _cards(
    session: Session, filters: Filters, where: _Condition, most: int | None
) -> list[PieceCard]:
    """Cards in shelf order. The ids come first, by an index that is already in that order."""
    # CROSS JOIN keeps SQLite from turning the loops round, so that LIMIT can stop early.
    narrow = filters.place_id is not None or filters.width_mm is not None
    join = "JOIN" if narrow else "CROSS JOIN"
    limit = "" if most is None else f"LIMIT {most}"
    ids = [
        int(row[0])
        for row in session.rows(
            f"SELECT piece.id FROM kind {join} piece ON piece.kind_id = kind.id"
            f" WHERE {where.sql}"
            f" ORDER BY kind.role, kind.shape, kind.width_mm, piece.tag {limit}",
            where.values,
        )
    ]
    found: dict[int, PieceCard] = {}
    for start in range(0, len(ids), _MOST_AT_ONCE):
        some = ids[start : start + _MOST_AT_ONCE]
        cards = select_cards(session, f"piece.id IN ({_marks(some)})", some)
        found |= {one.id: one for one in cards}
    return [found[one] for one in ids]


def _row(card: PieceCard, rules: Rules) -> ShelfRow:
    width_mm, long_mm = size_now_mm(card)
    stands = standing(card, rules)
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


def _marks(values: Sequence[object]) -> str:
    return ", ".join("?" * len(values))


def _literal(text: str) -> str:
    """Text that LIKE takes letter by letter."""
    return text.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
