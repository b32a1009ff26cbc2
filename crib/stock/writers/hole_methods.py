"""How the holes of jobs are made by their codes: the latest word for each job, ask and code."""

from __future__ import annotations

from dataclasses import dataclass

from crib.features.common.hole_method import HoleMethod
from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session


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


def keep_method(session: Session, stamp: Stamp, job: str, phrase: str, method: HoleMethod) -> None:
    """Keep how a hole of a job is made; an earlier word for it gives way.

    Stands inside ``session.writing()``.
    """
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


def kept_methods(session: Session, job: str, most: int) -> list[MethodLine]:
    """The latest holes on record, of one job or of all."""
    where = "WHERE lower(hole_method.job) = lower(?)" if job else ""
    rows = session.rows(
        "SELECT hole_method.job, ask, code, ruling, chosen, text, person.name AS who, last_at"
        f" FROM hole_method JOIN person ON person.id = hole_method.person_id {where}"
        " ORDER BY hole_method.id DESC LIMIT ?",
        (job, most) if job else (most,),
    )
    return [MethodLine(**dict(row)) for row in rows]
