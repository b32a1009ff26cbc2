"""Remember an ask that the crib could not serve: once for each ask and job."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime

from crib.desk.answer.order_lines import OrderLine
from crib.stock.book.ledger import new_stamp
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.stock.writers.wants import count_want


def remember_want(
    session: Session,
    phrase: str,
    *,
    job: str,
    quantity: int,
    missing: Sequence[OrderLine],
    by: str,
    now: datetime | None = None,
) -> int:
    """Record a missed ask, or count it again. Returns how often it was asked.

    Asked five times for one job it is one want: its quantity is the largest that was asked.
    """
    stamp = new_stamp(person_id(session, by), now=now)
    text = json.dumps([line.as_json() for line in missing], ensure_ascii=False)
    with session.writing():
        asked = count_want(session, stamp, phrase, job, quantity, text)
    return asked
