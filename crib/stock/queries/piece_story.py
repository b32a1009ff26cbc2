"""What one piece did, shift by shift: the strokes on each of its edges, added up in the database.

Only what stands under the piece in the ledger's index is read.
"""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.engine.session import Session


@dataclass(frozen=True, slots=True)
class WorkedShift:
    """The strokes of one shift date on one edge; ``edge`` counts grinds and turns before it."""

    shift_on: str
    edge: int
    strokes: int
    weighted_milli: int


def worked_shifts(session: Session, piece_id: int) -> list[WorkedShift]:
    """What each edge of a piece did on each shift date, in order; what was taken back is out."""
    rows = session.rows(
        "SELECT told.shift_on, told.edge, sum(told.quantity) AS strokes,"
        " sum(told.weighted_milli) AS weighted_milli"
        " FROM (SELECT entry.shift_on, entry.action, entry.quantity, entry.weighted_milli,"
        " count(*) FILTER (WHERE entry.action IN ('grind', 'turn'))"
        " OVER (ORDER BY entry.shift_on, entry.id ROWS UNBOUNDED PRECEDING) AS edge"
        " FROM entry LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.piece_id = ? AND counter.id IS NULL"
        " AND entry.action IN ('strokes', 'add', 'grind', 'turn')) AS told"
        " WHERE told.action IN ('strokes', 'add')"
        " GROUP BY told.edge, told.shift_on ORDER BY told.edge, told.shift_on",
        (piece_id,),
    )
    return [WorkedShift(**dict(row)) for row in rows]


def most_worn(session: Session, kind_id: int, most: int) -> list[tuple[str, float]]:
    """The tags and weighted strokes of a kind's pieces in use, the most worn first."""
    rows = session.rows(
        "SELECT tag, wear_milli FROM piece WHERE kind_id = ?"
        " AND condition IN ('sound', 'inspect', 'locked')"
        " ORDER BY wear_milli DESC, tag LIMIT ?",
        (kind_id, most),
    )
    return [(row[0], row[1] / 1000) for row in rows]


def count_usable(session: Session, kind_id: int) -> int:
    """How many pieces of a kind are in use."""
    return int(
        session.value(
            "SELECT count(*) FROM piece WHERE kind_id = ?"
            " AND condition IN ('sound', 'inspect', 'locked')",
            (kind_id,),
        )
    )


def is_added(session: Session, piece_id: int) -> bool:
    """Whether an entry brought the piece in and still holds."""
    found = session.value(
        "SELECT 1 FROM entry LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE counter.id IS NULL AND entry.action = 'add' AND entry.piece_id = ?",
        (piece_id,),
    )
    return found is not None
