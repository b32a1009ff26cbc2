"""How the holes of jobs are made, by which code: for whoever inspects them later."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from crib.features.common.hole_method import HoleMethod
from crib.stock.book.ledger import new_stamp
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session

MOST = 200


@dataclass(frozen=True, slots=True)
class MethodLine:
    """One hole of one job: what its code rules, and how it is made."""

    job: str
    ask: str
    code: str
    ruling: str
    chosen: str
    text: str
    who: str
    last_at: str


@dataclass(frozen=True, slots=True)
class Methods:
    """The holes on record, of one job or of all."""

    job: str
    lines: tuple[MethodLine, ...]


def record_method(
    session: Session,
    phrase: str,
    method: HoleMethod,
    *,
    job: str,
    by: str,
    now: datetime | None = None,
) -> None:
    """Record how a job's hole is made; asked again, the latest word stands."""
    stamp = new_stamp(person_id(session, by), now=now)
    with session.writing():
        session.run(
            "INSERT INTO hole_method (job, ask, code, ruling, chosen, text, person_id, first_at,"
            " last_at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (job, ask, code) DO UPDATE"
            " SET ruling = excluded.ruling, chosen = excluded.chosen, text = excluded.text,"
            " person_id = excluded.person_id, last_at = excluded.last_at",
            (
                job,
                phrase,
                method.code,
                method.ruling,
                method.chosen,
                method.text[:400],
                stamp.person_id,
                stamp.made_at,
                stamp.made_at,
            ),
        )


def list_methods(session: Session, job: str = "") -> Methods:
    """The holes on record, of one job or the latest of all. Reads only."""
    where = "WHERE hole_method.job = ? COLLATE NOCASE" if job else ""
    rows = session.rows(
        "SELECT hole_method.job, ask, code, ruling, chosen, text, person.name AS who, last_at"
        f" FROM hole_method JOIN person ON person.id = hole_method.person_id {where}"
        f" ORDER BY hole_method.id DESC LIMIT {MOST}",
        (job,) if job else (),
    )
    return Methods(job, tuple(MethodLine(**dict(row)) for row in rows))
