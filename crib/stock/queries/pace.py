"""At what pace the pieces are worn: their newest strokes, read through the index of each piece."""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.engine.session import Session

MOST_ENTRIES = 500
"""Entries read of one piece; one with more since the day asked about is judged by its newest."""


@dataclass(frozen=True, slots=True)
class WornLately:
    """What one piece did since a day. ``whole`` says that every entry since then was read."""

    piece_id: int
    kind_id: int
    weighted: float
    first_on: str
    last_on: str
    whole: bool


def worn_lately(session: Session, since: str) -> list[WornLately]:
    """The pieces with strokes of a shift since a day, by tag; walks pieces, never the ledger."""
    pieces = session.rows(
        "SELECT id, kind_id FROM piece WHERE latest_on >= ? AND strokes_total > 0 ORDER BY tag",
        (since,),
    )
    found = []
    for piece in pieces:
        row = session.row(
            "SELECT count(*) AS lines, sum(weighted_milli) AS milli, min(shift_on) AS first_on,"
            " max(shift_on) AS last_on FROM (SELECT entry.weighted_milli, entry.shift_on FROM entry"
            " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
            " WHERE entry.piece_id = ? AND entry.made_at >= ? AND entry.action = 'strokes'"
            " AND entry.shift_on >= ? AND counter.id IS NULL"
            f" ORDER BY entry.made_at DESC LIMIT {MOST_ENTRIES}) AS newest",
            (piece["id"], since, since),
        )
        if row is not None and row["lines"]:
            weighted, whole = row["milli"] / 1000, row["lines"] < MOST_ENTRIES
            days = (row["first_on"], row["last_on"])
            found.append(WornLately(piece["id"], piece["kind_id"], weighted, *days, whole))
    return found
