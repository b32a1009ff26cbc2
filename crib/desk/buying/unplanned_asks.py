"""Features of open jobs that nobody planned or asked for yet, taken as if they had been missed."""

from __future__ import annotations

from datetime import date

from crib.acts import Said, act, saying
from crib.desk.answer.find import find
from crib.desk.answer.wants import missing_text
from crib.errors import CribError
from crib.features.common.case import Circumstances
from crib.stock.engine.session import Session
from crib.stock.queries.buying import JobAsk, unplanned_asks
from crib.stock.queries.demand import WantRow
from crib.stock.writers.wants import was_missed

MOST_ASKED = 40
"""Features that are looked up for one plan; a plan remembers what a job lacks for good."""


def planned_asks(session: Session, today: date) -> tuple[list[WantRow], list[Said]]:
    """What open jobs without a plan would lack, and what is to be said of the rest."""
    asks = unplanned_asks(session, MOST_ASKED + 1)
    found = [want for one in asks[:MOST_ASKED] if (want := _missed(session, one, today))]
    notes: list[Said] = []
    if len(asks) > MOST_ASKED:
        text = "more features of open jobs have no plan: "
        notes.append(saying(text, act("plan"), " says what they lack"))
    return found, notes


def _missed(session: Session, one: JobAsk, today: date) -> WantRow | None:
    """The feature as a want; None when the crib serves it, or it cannot be read or ordered."""
    try:
        found = find(
            session, one.phrase, Circumstances(quantity=one.quantity, job=one.job), record=False
        )
    except CribError:
        return None
    if found.picks or not found.order or was_missed(session, found.phrase, one.job):
        return None
    text, today_on = missing_text(found.order), today.isoformat()
    return WantRow(
        0, found.phrase, one.job, one.quantity, 1, today_on, text, one.due_on, planned=True
    )
