"""What is on the shelf: pieces that pass some filters, counted, in the order of the shelf."""

from __future__ import annotations

from dataclasses import dataclass, field

from crib.stock.engine.in_lists import marks
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, pieces_by_ids

GONE = ("lost", "retired")
"""Conditions that are not on the shelf; they are listed only when asked for."""


@dataclass(frozen=True, slots=True)
class Filters:
    """What a piece must be to be listed; empty means anything."""

    roles: tuple[str, ...] = ()
    shapes: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    width_mm: float | None = None
    long_mm: float | None = None
    seat: str = ""
    kind: str = ""
    place_id: int | None = None


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


def count_by_role(session: Session, filters: Filters, tolerance_mm: float) -> list[tuple[str, int]]:
    """How many pieces pass the filters, role by role."""
    where = _where(filters, tolerance_mm, session.site)
    rows = session.rows(
        "SELECT kind.role, count(*) FROM kind JOIN piece ON piece.kind_id = kind.id"
        f" WHERE {where.sql} GROUP BY kind.role ORDER BY kind.role",
        where.values,
    )
    return [(row[0], row[1]) for row in rows]


def on_the_shelf(
    session: Session, filters: Filters, tolerance_mm: float, most: int | None
) -> list[PieceCard]:
    """Cards in shelf order. The ids come first, by an index that is already in that order."""
    where = _where(filters, tolerance_mm, session.site)
    # Read kinds first, so that LIMIT can stop early, unless a few pieces are picked out anyway.
    narrow = filters.place_id is not None or filters.width_mm is not None
    join = "JOIN" if narrow else session.engine.hint.then_join
    limit = "" if most is None else f"LIMIT {most}"
    rows = session.rows(
        f"SELECT piece.id FROM kind {join} piece ON piece.kind_id = kind.id WHERE {where.sql}"
        f" ORDER BY kind.role, kind.shape, kind.width_mm, piece.tag {limit}",
        where.values,
    )
    ids = [int(row[0]) for row in rows]
    cards = pieces_by_ids(session, ids)
    return [cards[one] for one in ids]


def _where(filters: Filters, tolerance_mm: float, site_id: int | None) -> _Condition:
    where = _Condition()
    verb = "IN" if filters.conditions else "NOT IN"
    chosen = filters.conditions or GONE
    where.add(f"piece.condition {verb} {marks(chosen)}", *chosen)
    for column, words in (("role", filters.roles), ("shape", filters.shapes)):
        if words:
            where.add(f"kind.{column} IN {marks(words)}", *words)
    if filters.seat:
        where.add(
            "kind.seat_id IN (SELECT id FROM seat WHERE lower(name) = lower(?))", filters.seat
        )
    if filters.kind:
        where.add("lower(kind.name) LIKE lower(?) ESCAPE '\\'", f"%{_literal(filters.kind)}%")
    if filters.place_id is not None:
        where.add("piece.place_id = ?", filters.place_id)
    elif site_id is not None:
        elsewhere = "SELECT id FROM place WHERE site_id <> ? OR sort = 'way'"
        where.add(f"coalesce(piece.place_id, 0) NOT IN ({elsewhere})", site_id)
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


def _literal(text: str) -> str:
    """Text that LIKE takes letter by letter."""
    return text.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
