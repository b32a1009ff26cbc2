"""What getting a kit ready writes beside holds: other pieces for runs, places of who takes it."""

from __future__ import annotations

from crib.errors import BadValue
from crib.stock.book.names import same_name
from crib.stock.book.people import person_names
from crib.stock.engine.engine import Row
from crib.stock.engine.session import Session
from crib.stock.queries.places import PlaceCard

_LONGEST_NAME = 80


def repoint_runs(session: Session, job_id: int, piece_id: int, other_id: int) -> int:
    """Let a job's runs take another copy of the same kind; returns how many runs that changed.

    What the first copy did already still counts for them, because strokes go to runs by kind.
    """
    runs = session.run_counted(
        "UPDATE planned_run SET piece_id = ? WHERE job_id = ? AND piece_id = ?",
        (other_id, job_id, piece_id),
    )
    runs += session.run_counted(
        "UPDATE planned_run SET with_piece_id = ? WHERE job_id = ? AND with_piece_id = ?",
        (other_id, job_id, piece_id),
    )
    return runs + session.run_counted(
        "UPDATE planned_run_piece SET piece_id = ? WHERE job_id = ? AND piece_id = ?",
        (other_id, job_id, piece_id),
    )


def badge_name(session: Session, name: str) -> str | None:
    """The badge name as it is written, however it is typed in full; None when nobody has it."""
    return next((one for one in person_names(session) if same_name(one, name)), None)


def make_place(session: Session, name: str, sort: str) -> PlaceCard:
    """A new place that is not a drawer, at the end of the walk.

    Raises:
        BadValue: for a name that cannot stand on a label.
    """
    tidy = " ".join(name.split())
    if not (tidy.isprintable() and 0 < len(tidy) <= _LONGEST_NAME):
        message = f"place name {name[:40]!r} must be 1 to {_LONGEST_NAME} letters on one line"
        raise BadValue(message)
    values = {"name": tidy, "sort": sort, "walk_order": last_walk_order(session) + 1}
    values |= session.rooted
    return PlaceCard(session.insert("place", values), tidy, sort, None, *session.rooted.values())


def last_walk_order(session: Session) -> int:
    """Where the walk through all places ends."""
    return int(session.value("SELECT coalesce(max(walk_order), 0) FROM place"))


def last_move(session: Session, piece_id: int, subject: str) -> Row | None:
    """The last standing move of a piece that is about this: its number and place."""
    return session.row(
        "SELECT entry.id, entry.place_id FROM entry"
        " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.piece_id = ? AND entry.action = 'move' AND entry.subject = ?"
        " AND counter.id IS NULL ORDER BY entry.shift_on DESC, entry.id DESC LIMIT 1",
        (piece_id, subject),
    )
