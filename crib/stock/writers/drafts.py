"""Strokes that were typed and are not counted yet: kept at every answer, gone when counted."""

from __future__ import annotations

from dataclasses import dataclass

from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session


@dataclass(frozen=True, slots=True)
class KeptDraft:
    """A draft as it is kept: JSON that only its maker reads."""

    id: int
    content: str
    changed_at: str


def drafts_of(session: Session, person_id: int) -> list[KeptDraft]:
    """The drafts of a person, the one that was changed last first."""
    rows = session.rows(
        "SELECT id, content, changed_at FROM stroke_draft WHERE person_id = ?"
        " ORDER BY changed_at DESC, id DESC",
        (person_id,),
    )
    return [KeptDraft(**dict(row)) for row in rows]


def keep_draft(session: Session, stamp: Stamp, draft_id: int | None, content: str) -> int:
    """Keep a draft, in the place of what it was before; returns its number.

    One that was taken away meanwhile is kept anew, so that nothing typed is lost.
    """
    changed = "UPDATE stroke_draft SET content = ?, changed_at = ? WHERE id = ?"
    with session.writing():
        if draft_id is not None and session.run_counted(
            changed, (content, stamp.made_at, draft_id)
        ):
            return draft_id
        values = {"person_id": stamp.person_id, "content": content}
        return session.insert(
            "stroke_draft", {**values, "made_at": stamp.made_at, "changed_at": stamp.made_at}
        )


def drop_draft(session: Session, draft_id: int) -> bool:
    """Take a draft away; False when it is gone already."""
    with session.writing():
        return session.run_counted("DELETE FROM stroke_draft WHERE id = ?", (draft_id,)) > 0
