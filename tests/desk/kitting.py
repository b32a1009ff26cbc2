"""A shop with two jobs that want the same pieces, for the tests of kits."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.writers.holds import active_holds
from tests.desk.planned import plan_job, run
from tests.shop import add_kind, add_piece, made_once, small_shop

FIRST, SECOND = "24-117", "24-118"
DUE = "2099-03-09"


@made_once
def kit_shop(path: Path, /, *copies: str, **columns: Any) -> Session:
    """Two jobs: both want P-0137 over D-0201, the second wants P-0140 over D-0204 as well.

    ``copies`` are the tags of more punches like P-0137, in drawer A3.
    """
    session = small_shop(path)
    for tag in copies:
        kind = piece_by_tag(session, "P-0137").kind_id
        add_piece(session, tag, kind, place="A3", **columns)
    seat_id = session.value("SELECT id FROM seat WHERE name = 'A'")
    add_piece(session, "D-0204", add_kind(session, role="die", width="29/32", seat_id=seat_id))
    both = run(session, "P-0137", 40, die="D-0201")
    plan_job(session, FIRST, both, due_on=DUE)
    other = run(session, "P-0140", 25, die="D-0204", mark="B2", phrase="hole 7/8 thru 3/8 A36")
    plan_job(session, SECOND, both, other, due_on=DUE)
    return session


def held(session: Session) -> dict[str, str]:
    """Every active hold: the tag, and the job or holder with the state."""
    return {one.tag: f"{one.job or one.holder} {one.state}" for one in active_holds(session)}


def places(session: Session) -> dict[str, str]:
    """Where every piece is."""
    rows = session.rows(
        "SELECT piece.tag, place.name FROM piece JOIN place ON place.id = piece.place_id"
    )
    return {row[0]: row[1] for row in rows}


def strokes(session: Session) -> dict[str, int]:
    """Strokes since new of every piece that made any."""
    rows = session.rows("SELECT tag, strokes_total FROM piece WHERE strokes_total > 0")
    return {row[0]: row[1] for row in rows}
