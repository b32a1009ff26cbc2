"""How the holes of jobs are made by their codes: the latest word for each job, ask and code."""

from __future__ import annotations

from dataclasses import dataclass

from crib.features.common.hole_method import HoleMethod
from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session

NO_CODE = "none named"
"""What stands in the place of a code for a hole of which a record is kept without one."""


@dataclass(frozen=True, slots=True)
class MethodLine:
    """One hole of one job: what its code rules, how it is made, and with which tools."""

    job: str
    ask: str
    code: str
    ruling: str
    chosen: str
    text: str
    who: str
    last_at: str
    finished_mm: float | None
    punched_mm: float | None
    tools: str


def keep_method(session: Session, stamp: Stamp, job: str, phrase: str, method: HoleMethod) -> None:
    """Keep how a hole of a job is made; an earlier word for it gives way.

    Stands inside ``session.writing()``.
    """
    session.upsert(
        "hole_method",
        {"job": job, "ask": phrase, "code": method.code or NO_CODE, "ruling": method.ruling}
        | {"chosen": method.chosen, "text": method.text[:400], "person_id": stamp.person_id}
        | {"finished_mm": method.finished_mm, "punched_mm": method.punched_mm}
        | {"tools": " ".join(method.tools)[:200]}
        | {"first_at": stamp.made_at, "last_at": stamp.made_at},
        ("job", "ask", "code"),
        "ruling = excluded.ruling, chosen = excluded.chosen, text = excluded.text,"
        " person_id = excluded.person_id, last_at = excluded.last_at,"
        " finished_mm = excluded.finished_mm, punched_mm = excluded.punched_mm,"
        " tools = excluded.tools",
    )


def kept_methods(session: Session, job: str, most: int) -> list[MethodLine]:
    """The latest holes on record, of one job or of all."""
    where = "WHERE lower(hole_method.job) = lower(?)" if job else ""
    rows = session.rows(
        "SELECT hole_method.job, ask, code, ruling, chosen, text, person.name AS who, last_at,"
        " finished_mm, punched_mm, tools"
        f" FROM hole_method JOIN person ON person.id = hole_method.person_id {where}"
        " ORDER BY hole_method.id DESC LIMIT ?",
        (job, most) if job else (most,),
    )
    return [MethodLine(**dict(row)) for row in rows]
