"""Wants as people read them: what was asked, by whom, how often, and what became of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from crib.stock.engine.in_lists import in_lists
from crib.stock.engine.session import Session

_WANTS = """
    SELECT want.id, want.ask, want.job, want.quantity, want.times_asked, person.name AS who,
        want.first_at, want.last_at, want.missing, want.status, want.struck_by, want.struck_at,
        want.struck_why
    FROM want JOIN person ON person.id = want.person_id
"""


@dataclass(frozen=True, slots=True)
class WantCard:
    """One want. ``struck_by`` may have struck it out before it was asked again."""

    id: int
    ask: str
    job: str
    quantity: int
    times_asked: int
    who: str
    first_at: str
    last_at: str
    missing: str
    status: str
    struck_by: str
    struck_at: str
    struck_why: str


def wants_listed(session: Session, *, every: bool) -> list[WantCard]:
    """The open wants, or every one that ever was, the oldest first."""
    return _cards(session, "" if every else "WHERE want.status = 'open'")


def wants_numbered(session: Session, numbers: Iterable[int]) -> dict[int, WantCard]:
    """Wants by their numbers; one that is not there is left out."""
    return {
        card.id: card
        for marks, some in in_lists(numbers)
        for card in _cards(session, f"WHERE want.id IN {marks}", some)
    }


def _cards(session: Session, where: str, values: Sequence[Any] = ()) -> list[WantCard]:
    rows = session.rows(f"{_WANTS} {where} ORDER BY want.id", values)
    return [WantCard(**dict(row)) for row in rows]
