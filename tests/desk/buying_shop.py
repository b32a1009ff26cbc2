"""Short ways to fill a crib for the tests of buying."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime, timedelta
from typing import Any

from crib.desk.buying.buy import BuyLine, BuyPlan, plan_buying
from crib.stock.book import ledger
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import OfferRecord, WantRecord
from tests.shop import add_kind, insert

LATER = datetime.now(UTC) + timedelta(days=400)
"""The plan's day: the crib, which was made today, has looked on for a year by then."""


def seat(session: Session, name: str = "A") -> int:
    return int(session.value("SELECT id FROM seat WHERE name = ?", (name,)))


def punch(session: Session, width: str, **columns: Any) -> int:
    """A kind of round punch in seat A."""
    return add_kind(session, role="punch", width=width, seat_id=seat(session), **columns)


def log(session: Session, tag: str, count: int, *days_ago: int) -> None:
    """Strokes of a piece, in one shift on each of some days before the plan's."""
    piece = piece_by_tag(session, tag)
    for days in days_ago:
        stamp = ledger.new_stamp(1, shift_on=(LATER - timedelta(days=days)).date(), now=LATER)
        entry = ledger.NewEntry("strokes", piece.id, quantity=count, weighted_milli=count * 1000)
        ledger.write(session, stamp, [entry])


def go(session: Session, tag: str, condition: str, days_ago: int = 1) -> None:
    """A piece breaks, gets lost or is retired."""
    when = LATER - timedelta(days=days_ago)
    entry = ledger.NewEntry("break", piece_by_tag(session, tag).id, condition=condition)
    ledger.write(session, ledger.new_stamp(1, now=when), [entry])


class RollBack(Exception):
    """Undoes what a block wrote."""


@contextmanager
def undone(session: Session) -> Iterator[None]:
    """What is written in the block is taken back at its end."""
    with suppress(RollBack), session.writing():
        yield
        raise RollBack


def want(session: Session, missing: Any, ask: str, job: str = "24-1", **columns: Any) -> None:
    """An open want with what was missing."""
    text = missing if isinstance(missing, str) else json.dumps(missing)
    at = columns.pop("at", LATER).isoformat()
    values = {"quantity": 60, "first_at": at, "last_at": at, "missing": text} | columns
    insert(session, WantRecord, ask=ask, job=job, person_id=1, **values)


def pair(session: Session, width: str, die: str, quantity: int, price: int) -> None:
    """A want that lacks punch and die, both with a price."""
    rows = []
    for role, size in (("punch", width), ("die", die)):
        kind_id = add_kind(
            session, role=role, width=size, seat_id=seat(session), name=f"{role} {size}"
        )
        insert(
            session, OfferRecord, kind_id=kind_id, supplier="North", price_cents=price, lead_days=4
        )
        width_mm = session.value("SELECT width_mm FROM kind WHERE id = ?", (kind_id,))
        row = {"role": role, "shape": "round", "width_mm": width_mm, "seat": "A"}
        rows.append({**row, "kind": f"{role} {size}"})
    want(session, rows, f"hole {width} thru 3/8 A36", f"J {width}", quantity=quantity)


def plan(session: Session, budget_cents: int | None = None, **options: Any) -> BuyPlan:
    return plan_buying(session, budget_cents, now=LATER, **options)


def only(found: BuyPlan) -> BuyLine:
    assert len(found.lines) == 1, [one.what for one in found.lines]
    return found.lines[0]
