"""Features of open jobs that nobody planned or asked for yet, taken as if they had been missed."""

from __future__ import annotations

from datetime import date

from crib.acts import Said, act, saying
from crib.desk.answer.find import Found, find_each
from crib.desk.answer.lookup import Lookup
from crib.desk.answer.wants import missing_text
from crib.features.common.case import Circumstances
from crib.stock.queries.buying import JobAsk, unplanned_asks
from crib.stock.queries.demand import WantRow
from crib.stock.writers.wants import asks_missed

MOST_ASKED = 40
"""Features that are looked up for one plan; a plan remembers what a job lacks for good."""


def planned_asks(lookup: Lookup, today: date) -> tuple[list[WantRow], list[Said]]:
    """What open jobs without a plan would lack, and what is to be said of the rest."""
    asks = unplanned_asks(lookup.session, MOST_ASKED + 1)
    known = asks_missed(lookup.session)
    answers = find_each(lookup, [_request(ask) for ask in asks[:MOST_ASKED]])
    wants = [
        _want(ask, answer, today)
        for ask, answer in zip(asks, answers, strict=False)
        if isinstance(answer, Found)
        and not answer.picks
        and answer.order
        and (answer.phrase, ask.job) not in known
    ]
    notes: list[Said] = []
    if len(asks) > MOST_ASKED:
        text = "more features of open jobs have no plan: "
        notes.append(saying(text, act("plan"), " says what they lack"))
    return wants, notes


def _request(ask: JobAsk) -> tuple[str, Circumstances]:
    return ask.phrase, Circumstances(quantity=ask.quantity, job=ask.job)


def _want(ask: JobAsk, answer: Found, today: date) -> WantRow:
    """The feature as a want, in the words that the program writes."""
    text, today_on = missing_text(answer.order), today.isoformat()
    return WantRow(
        *(0, answer.phrase, ask.job, ask.quantity, 1, today_on, today_on, text, ask.due_on),
        planned=True,
    )
