"""Wants: asks that the crib could not serve, one for each ask and job."""

from __future__ import annotations

from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session


def count_want(
    session: Session, stamp: Stamp, phrase: str, job: str, quantity: int, missing: str
) -> int:
    """Write a missed ask, or count it again; returns how often it was asked.

    Its quantity is the largest that was asked. Stands inside ``session.writing()``.
    """
    session.upsert(
        "want",
        {"ask": phrase, "job": job, "quantity": quantity, "missing": missing}
        | {"person_id": stamp.person_id, "first_at": stamp.made_at, "last_at": stamp.made_at},
        ("ask", "job"),
        "times_asked = want.times_asked + 1, quantity ="
        " CASE WHEN excluded.quantity > want.quantity THEN excluded.quantity"
        " ELSE want.quantity END, last_at = excluded.last_at, missing = excluded.missing,"
        " status = 'open'",
    )
    return int(
        session.value("SELECT times_asked FROM want WHERE ask = ? AND job = ?", (phrase, job))
    )


def asks_missed(session: Session) -> frozenset[tuple[str, str]]:
    """Every ask that was ever missed, with its job, under the words that the program writes."""
    return frozenset((row[0], row[1]) for row in session.rows("SELECT ask, job FROM want"))
