"""Wants for which no tool was on record, asked again as the crib is today."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from crib.acts import Said, act, saying
from crib.desk.answer.find import Found, find_each
from crib.desk.answer.lookup import Lookup
from crib.desk.answer.wants import missing_text, read_missing
from crib.features.common.case import Circumstances
from crib.stock.queries.demand import WantRow

MOST_ASKED = 40
"""Wants that are asked again for one answer."""


def ask_again(lookup: Lookup, wants: Sequence[WantRow]) -> tuple[list[WantRow], list[Said]]:
    """Wants with what they lack today, and what is to be said of those that need no tool.

    What was served by nothing when it was asked may be served by now, or by a tool that could be
    ordered by now; where neither is so, it says what is against it.
    """
    bare = [want for want in wants if read_missing(want.missing) == []]
    first = bare[:MOST_ASKED]
    answers = find_each(lookup, [(want.ask, _circumstances(want)) for want in first])
    told = {id(want): answer for want, answer in zip(first, answers, strict=True)}
    kept, notes = [], list[Said]()
    for want in wants:
        answer = told.get(id(want))
        if not isinstance(answer, Found):
            kept.append(want)
        elif answer.order and not answer.picks:
            kept.append(replace(want, missing=missing_text(answer.order)))
        else:
            notes.append(_note(want, answer))
    return kept, notes


def _circumstances(want: WantRow) -> Circumstances:
    return Circumstances(quantity=want.quantity, job=want.job)


def _note(want: WantRow, answer: Found) -> Said:
    job = f" of job {want.job}" if want.job else ""
    strike = act("wants.strike", wants=(str(want.id),), why=None)
    if answer.picks:
        tags = " and ".join(tool.tag for tool in answer.picks[0].tools) or "the station itself"
        text = f"want {want.ask!r}{job}: the crib serves it by now with {tags}; "
        return saying(text, strike)
    against = answer.why_no_order or "no tool is known that would serve it"
    return saying(f"want {want.ask!r}{job}: nothing to buy: {against}; ", strike)
