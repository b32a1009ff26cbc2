"""At what pace the pieces are worn: their newest strokes, read through the index of each piece."""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.engine.session import Session
from crib.stock.queries.newest_strokes import newest_strokes

MOST_ENTRIES = 500
"""Entries read of one piece; one with more since the day asked about is judged by its newest."""

_PLANNED = (
    "lower(entry.job) IN (SELECT lower(job.name) FROM job WHERE EXISTS"
    " (SELECT 1 FROM planned_run WHERE planned_run.job_id = job.id))"
)


@dataclass(frozen=True, slots=True)
class WornLately:
    """What one piece did since a day, and how much of it for jobs that were planned.

    ``whole`` says that every entry since then was read.
    """

    piece_id: int
    kind_id: int
    weighted: float
    planned: float
    first_on: str
    last_on: str
    whole: bool


def worn_lately(session: Session, since: str) -> list[WornLately]:
    """The pieces with strokes of a shift since a day, by tag; walks pieces, never the ledger."""
    hint = session.engine.hint
    rows = session.rows(
        "SELECT piece.id, piece.kind_id, count(*) AS lines, sum(entry.weighted_milli) AS milli,"
        f" coalesce(sum(entry.weighted_milli) FILTER (WHERE {_PLANNED}), 0) AS planned,"
        " min(entry.shift_on) AS first_on, max(entry.shift_on) AS last_on FROM piece"
        f" {hint.join_each('entry', newest_strokes(':since', MOST_ENTRIES))}"
        " WHERE piece.latest_on >= :since AND piece.strokes_total > 0"
        " GROUP BY piece.id, piece.kind_id, piece.tag ORDER BY piece.tag",
        {"since": since},
    )
    return [
        WornLately(
            *(row["id"], row["kind_id"], row["milli"] / 1000, row["planned"] / 1000),
            *(row["first_on"], row["last_on"]),
            whole=row["lines"] < MOST_ENTRIES,
        )
        for row in rows
    ]
