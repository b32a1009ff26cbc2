"""Queries about edges: which pieces worked, and how each of their edges came to its end.

No query walks the ledger. Each takes a fixed number of pieces at most, and reads of the ledger what
stands under these pieces in its index.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from crib.stock.engine.in_lists import marks
from crib.stock.engine.session import Session

MOST_KINDS = 12
"""Kinds of a pool that are looked at: the nearest in size that have pieces."""
MOST_PIECES = 24
"""Pieces of a pool that are looked at: the newest that worked. Neither how long their edges lasted
nor how many they used up picks them; that would bend what they teach."""

_SAME_SIZE = (
    "kind.role = :role AND kind.shape = :shape AND kind.width_mm BETWEEN :low_mm AND :high_mm"
)
_SAME_STEEL = "kind.role = :role AND kind.stress_limit_mpa IS NOT DISTINCT FROM :stress_mpa"
# A blade may have no width: what is not known is not alike.
_NOT_SIZE = f"NOT coalesce({_SAME_SIZE}, FALSE)"
_POOLS = {
    "all kinds": f"{_NOT_SIZE} AND NOT ({_SAME_STEEL})",
    "same role and steel": f"{_SAME_STEEL} AND {_NOT_SIZE}",
    "same shape and size": _SAME_SIZE,
}
POOLS = tuple(_POOLS)
"""What other kinds are taken together to learn from, the least alike first."""


@dataclass(frozen=True, slots=True)
class EdgeKind:
    """What decides to which pools a kind belongs. Lengths mm, stress MPa."""

    id: int
    name: str
    role: str
    shape: str
    width_mm: float | None
    stress_limit_mpa: float | None
    interval_strokes: int | None
    learned_strokes: int | None
    learned_life: str


@dataclass(frozen=True, slots=True)
class WorkedPiece:
    """A piece that made strokes. ``wear_milli`` is what its edge in use has done."""

    id: int
    kind_id: int
    wear_milli: int
    interval_strokes: int | None


@dataclass(frozen=True, slots=True)
class EdgeMark:
    """A grind, turn, look or break, and the weighted strokes of the piece's life up to then."""

    piece_id: int
    id: int
    shift_on: str
    action: str
    found: str | None
    condition: str | None
    total_milli: int


def edge_kind(session: Session, kind_id: int) -> EdgeKind:
    """A kind by its number."""
    row = session.row(
        "SELECT id, name, role, shape, width_mm, stress_limit_mpa, interval_strokes,"
        " learned_strokes, learned_life FROM kind WHERE id = ?",
        (kind_id,),
    )
    return EdgeKind(**dict(row or {}))


def nearest_kinds(
    session: Session, kind: EdgeKind, pool: str, roles: Sequence[str], size_class: float
) -> list[int]:
    """The other kinds of a pool that have pieces, the nearest in size first, a few at most.

    Of the ``roles`` that have an edge; ``size_class``: widths up to so many times apart are alike.
    """
    width_mm = kind.width_mm or 0.0
    names = {f"role_{at}": role for at, role in enumerate(roles)}
    rows = session.rows(
        "SELECT kind.id FROM kind WHERE kind.id <> :id"
        f" AND kind.role IN ({', '.join(f':{name}' for name in names)}) AND {_POOLS[pool]}"
        " AND EXISTS (SELECT 1 FROM piece WHERE piece.kind_id = kind.id)"
        " ORDER BY abs(coalesce(kind.width_mm, 0) - :width_mm), kind.id LIMIT :most",
        {
            **{"id": kind.id, "role": kind.role, "shape": kind.shape},
            **{"low_mm": width_mm / size_class, "high_mm": width_mm * size_class},
            **{"stress_mpa": kind.stress_limit_mpa, "width_mm": width_mm, "most": MOST_KINDS},
            **names,
        },
    )
    return [int(row[0]) for row in rows]


def worked_pieces(session: Session, kind_ids: Sequence[int]) -> list[WorkedPiece]:
    """The newest pieces of some kinds that made strokes, a few at most."""
    if not kind_ids:
        return []
    join = session.engine.hint.then_join
    rows = session.rows(
        "SELECT piece.id, piece.kind_id, piece.wear_milli, kind.interval_strokes"
        f" FROM kind {join} piece ON piece.kind_id = kind.id WHERE kind.id IN {marks(kind_ids)}"
        " AND piece.strokes_total > 0 ORDER BY piece.id DESC LIMIT ?",
        (*kind_ids, MOST_PIECES),
    )
    return [WorkedPiece(**dict(row)) for row in rows]


def edge_marks(session: Session, piece_ids: Sequence[int]) -> list[EdgeMark]:
    """What happened to the edges of some pieces, each in the order of its shifts."""
    if not piece_ids:
        return []
    rows = session.rows(
        "SELECT told.* FROM (SELECT entry.piece_id, entry.id, entry.shift_on, entry.action,"
        " entry.found, entry.condition,"
        " sum(CASE WHEN entry.action IN ('strokes', 'add') THEN entry.weighted_milli ELSE 0 END)"
        " OVER (PARTITION BY entry.piece_id ORDER BY entry.shift_on, entry.id"
        " ROWS UNBOUNDED PRECEDING) AS total_milli"
        " FROM entry LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        f" WHERE entry.piece_id IN {marks(piece_ids)}"
        " AND counter.id IS NULL AND entry.action <> 'reverse')"
        " AS told WHERE told.action IN ('grind', 'turn', 'look', 'break')"
        " ORDER BY told.piece_id, told.shift_on, told.id",
        piece_ids,
    )
    return [EdgeMark(**dict(row)) for row in rows]


def ends_told(session: Session, kind_id: int) -> tuple[int, int]:
    """How many grinds and turns of a kind's edges there were, and of how many somebody told."""
    row = session.row(
        "SELECT count(*), count(entry.found) FROM piece JOIN entry ON entry.piece_id = piece.id"
        " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE piece.kind_id = ? AND entry.action IN ('grind', 'turn') AND counter.id IS NULL",
        (kind_id,),
    )
    return (int(row[0]), int(row[1])) if row else (0, 0)


def kinds_of_pieces(session: Session, piece_ids: Iterable[int]) -> list[int]:
    """The kinds of some pieces, each once."""
    found: dict[int, None] = {}
    for piece_id in piece_ids:
        kind_id = session.value("SELECT kind_id FROM piece WHERE id = ?", (piece_id,))
        if kind_id is not None:
            found[int(kind_id)] = None
    return list(found)


def kinds_with_ends(session: Session) -> list[int]:
    """The kinds of which some edge came to an end or was looked at, taken back or not."""
    # Walks every piece and its entries: for what concerns the whole crib, never for one act.
    rows = session.rows(
        "SELECT kind.id FROM kind WHERE EXISTS (SELECT 1 FROM piece JOIN entry"
        " ON entry.piece_id = piece.id WHERE piece.kind_id = kind.id AND piece.strokes_total > 0"
        " AND (entry.action IN ('grind', 'turn', 'break') OR entry.found = 'sharp'))"
        " ORDER BY kind.id"
    )
    return [int(row[0]) for row in rows]


def learned_kinds(session: Session) -> list[int]:
    """The kinds that have a learned interval."""
    rows = session.rows("SELECT id FROM kind WHERE learned_strokes IS NOT NULL ORDER BY id")
    return [int(row[0]) for row in rows]


def lived_kinds(session: Session) -> list[int]:
    """The kinds that have a learned life."""
    rows = session.rows("SELECT id FROM kind WHERE learned_life <> '' ORDER BY id")
    return [int(row[0]) for row in rows]


def kinds_with_pieces(session: Session, roles: Sequence[str]) -> list[int]:
    """The kinds of some roles that have pieces."""
    rows = session.rows(
        f"SELECT kind.id FROM kind WHERE kind.role IN {marks(roles)}"
        " AND EXISTS (SELECT 1 FROM piece WHERE piece.kind_id = kind.id) ORDER BY kind.id",
        tuple(roles),
    )
    return [int(row[0]) for row in rows]


def keep_learned(session: Session, kind_id: int, strokes: int | None) -> None:
    """Set, or with None take away, the interval that a kind's edges taught."""
    session.run(
        "UPDATE kind SET learned_strokes = ? WHERE id = ? AND learned_strokes IS DISTINCT FROM ?",
        (strokes, kind_id, strokes),
    )


def keep_life(session: Session, kind_id: int, life: str) -> None:
    """Set, or with nothing take away, the life that edges taught of a kind."""
    session.run(
        "UPDATE kind SET learned_life = ? WHERE id = ? AND learned_life <> ?",
        (life, kind_id, life),
    )
