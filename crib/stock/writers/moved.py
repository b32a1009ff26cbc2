"""Marking a crib that moved elsewhere, and taking the mark off."""

from __future__ import annotations

from crib.errors import CribMoved
from crib.stock.engine.engine import StoreError
from crib.stock.engine.moved import (
    MovedNote,
    marking,
    moved_error,
    note_of,
    split_revision,
    unmarking,
)
from crib.stock.engine.owner_postgres import owns_tables
from crib.stock.engine.session import Session
from crib.stock.engine.whole_copy import layout_of


def may_mark(session: Session) -> bool:
    """Whether whoever opened a crib on a server may mark it: who owns its tables."""
    return owns_tables(session.rows)


def moved_note(session: Session) -> MovedNote:
    """Where a crib that moved went."""
    return note_of(session.rows)


def why_moved(session: Session) -> CribMoved | None:
    """Why a crib of any revision is only read, where it moved elsewhere."""
    try:
        found = str(session.value("SELECT version_num FROM alembic_version"))
        has_moved = split_revision(found)[1]
        return moved_error(session.place, str(moved_note(session))) if has_moved else None
    except StoreError:
        return None


def mark_moved(session: Session, note: MovedNote) -> None:
    """Let the crib be only read from now on."""
    for sql in marking(session.place, note, [*layout_of(session)]):
        session.run(sql)


def take_mark_off(session: Session) -> None:
    """Let the crib be written in again."""
    for sql in unmarking(session.place, [*layout_of(session)]):
        session.run(sql)
