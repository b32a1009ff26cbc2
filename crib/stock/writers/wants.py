"""Wants: asks that the crib could not serve, one for each ask and job; counted, struck, merged."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session
from crib.stock.queries.wanted import WantCard


@dataclass(frozen=True, slots=True)
class WantCount:
    """A want that was counted: its number, how often it was asked, and whether it is open."""

    id: int
    times_asked: int
    is_open: bool


def count_want(
    session: Session,
    stamp: Stamp,
    phrase: str,
    job: str,
    quantity: int,
    missing: str,
    *,
    asked: bool = True,
) -> WantCount:
    """Write a missed ask, or count it again. Stands inside ``session.writing()``.

    Its quantity is the largest that was asked. What was struck out is open again when somebody
    asked for it; not when it is only met again, as a plan does.
    """
    again = "'open'" if asked else "CASE want.status WHEN 'dropped' THEN 'dropped' ELSE 'open' END"
    session.upsert(
        "want",
        {"ask": phrase, "job": job, "quantity": quantity, "missing": missing}
        | session.rooted
        | {"person_id": stamp.person_id, "first_at": stamp.made_at, "last_at": stamp.made_at},
        ("ask", "job"),
        "times_asked = want.times_asked + 1, quantity ="
        " CASE WHEN excluded.quantity > want.quantity THEN excluded.quantity"
        " ELSE want.quantity END, last_at = excluded.last_at, missing = excluded.missing,"
        f" status = {again}",
    )
    row = session.row(
        "SELECT id, times_asked, status FROM want WHERE ask = ? AND job = ?", (phrase, job)
    )
    assert row is not None
    return WantCount(int(row["id"]), int(row["times_asked"]), row["status"] == "open")


def asks_missed(session: Session) -> frozenset[tuple[str, str]]:
    """Every ask that was ever missed, with its job, under the words that the program writes."""
    return frozenset((row[0], row[1]) for row in session.rows("SELECT ask, job FROM want"))


def strike_wants(
    session: Session, want_ids: Iterable[int], who: str, struck_at: str, why: str
) -> None:
    """Strike wants out, with who, when and why."""
    session.run_many(
        "UPDATE want SET status = 'dropped', struck_by = ?, struck_at = ?, struck_why = ?"
        " WHERE id = ?",
        [(who, struck_at, why, one) for one in want_ids],
    )


def open_again(session: Session, want_ids: Iterable[int]) -> None:
    """Open wants that were struck out; who struck them and why stays on record."""
    session.run_many("UPDATE want SET status = 'open' WHERE id = ?", [(one,) for one in want_ids])


def add_counts(session: Session, into: WantCard, others: Sequence[WantCard]) -> None:
    """Count what was asked under other words for a want: the largest quantity, all the times."""
    every = (into, *others)
    session.run(
        "UPDATE want SET quantity = ?, times_asked = ?, first_at = ?, last_at = ? WHERE id = ?",
        (
            max(one.quantity for one in every),
            sum(one.times_asked for one in every),
            min(one.first_at for one in every),
            max(one.last_at for one in every),
            into.id,
        ),
    )
