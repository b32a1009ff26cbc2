"""The newest strokes of many pieces, so many of each at most, read through the ledger's index."""

from __future__ import annotations

from crib.stock.engine.session import Session


def first_shift(session: Session) -> str:
    """The day of the first entry; empty in a new crib."""
    found = session.value("SELECT shift_on FROM entry WHERE id = (SELECT min(id) FROM entry)")
    return str(found or "")


def newest_strokes(since: str, most: int) -> str:
    """A query, to stand behind ``IN``, for the newest standing stroke entries of a ``piece``.

    ``since`` is the mark or column that says from which shift on; no older ones are read.
    """
    return (
        "SELECT newest.id FROM entry AS newest"
        " LEFT JOIN entry AS counter ON counter.reverses_id = newest.id"
        f" WHERE newest.piece_id = piece.id AND newest.made_at >= {since}"
        f" AND newest.action = 'strokes' AND newest.shift_on >= {since} AND counter.id IS NULL"
        f" ORDER BY newest.made_at DESC, newest.id DESC LIMIT {most}"
    )
