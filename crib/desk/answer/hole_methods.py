"""How the holes of jobs are made, by which code: for whoever inspects them later."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from crib.features.common.hole_method import HoleMethod
from crib.stock.book.ledger import new_stamp
from crib.stock.book.people import person_id
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.writers.hole_methods import MethodLine, keep_method, kept_methods
from crib.units import System

MOST = 200


@dataclass(frozen=True, slots=True)
class Methods:
    """The holes on record, of one job or of all."""

    job: str
    lines: tuple[MethodLine, ...]
    system: System = "in"


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
        keep_method(session, stamp, job, phrase, method)


def list_methods(session: Session, job: str = "") -> Methods:
    """The holes on record, of one job or the latest of all. Reads only."""
    lines = tuple(kept_methods(session, job, MOST))
    return Methods(job, lines, shop_rules(session).system)
