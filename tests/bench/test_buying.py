"""What to buy in a crib with ten times the kinds and the wants, against the same in a small one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import (
    EntryRecord,
    KindRecord,
    OfferRecord,
    PieceRecord,
    WantRecord,
)
from crib.stock.writers.table_rows import add_row
from tests.bench.ratios import Ratio, compare, timed
from tests.shop import add_seat, add_station, new_crib

pytestmark = pytest.mark.bench

BUDGET_CENTS = 150_000
SEATS = ("A", "B", "C", "D")
ROUNDS = 3
NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)


@contextmanager
def opened(kinds: int, wants: int) -> Iterator[Session]:
    """A crib of so many kinds, each with a piece and two offers, and wants of pairs."""
    with TemporaryDirectory(prefix="crib-bench-") as folder:
        session = new_crib(Path(folder) / "bench.crib")
        seats = [add_seat(session, name, die_diameter_mm=50.0) for name in SEATS]
        add_station(session, "Ironworker 1", "punch", 490_000.0, seats)
        with session.writing():
            _fill(session, seats, kinds, wants)
        session.close()
        session = open_crib(Path(folder) / "bench.crib")
        try:
            yield session
        finally:
            session.close()


def _fill(session: Session, seats: list[int], kinds: int, wants: int) -> None:
    for number in range(kinds):
        role = ("punch", "die")[number % 2]
        kind = {
            "name": f"kind {number}",
            "role": role,
            "shape": "round",
            "width_mm": _width_mm(number // 2) + 0.8 * (role == "die"),
            "seat_id": seats[_seat(number // 2)],
            "length_mm": 70.0,
            "price_cents": 4000 + number * 37 % 3000,
            "least_count": int(number % 9 == 0),
        }
        kind_id = _add(session, KindRecord, kind)
        for supplier, price in (("north", 4000), ("south", 4300 - number * 13 % 500)):
            row = {"kind_id": kind_id, "supplier": supplier, "price_cents": price, "lead_days": 5}
            _add(session, OfferRecord, row)
        if number // 2 % 2:
            _add_worked(session, kind_id, number)
    for number in range(wants):
        _add(session, WantRecord, _want(number, kinds))


def _add_worked(session: Session, kind_id: int, number: int) -> None:
    """A piece that worked in five shifts of the last weeks."""
    worn = 64_000 if number % 11 == 0 else 100
    row = {"kind_id": kind_id, "tag": f"T-{number:05d}", "wear_milli": worn * 1000}
    row |= {"strokes_total": worn, "latest_on": "2026-05-28"}
    piece_id = _add(session, PieceRecord, row)
    for day in range(20, 29, 2) if number // 4 % 5 == 0 else ():
        entry: dict[str, Any] = {
            "act": f"{number} {day}",
            "action": "strokes",
            "piece_id": piece_id,
        }
        entry |= {"person_id": 1, "made_at": f"2026-05-{day}T06:00:00.000Z"}
        entry |= {"shift_on": f"2026-05-{day}", "quantity": 20 + number % 40}
        _add(session, EntryRecord, entry | {"weighted_milli": entry["quantity"] * 1000})


def _width_mm(pair: int) -> float:
    return 5.0 + pair % 1000 * 0.15


def _seat(pair: int) -> int:
    return pair // 1000 % len(SEATS)


def _want(number: int, kinds: int) -> dict[str, Any]:
    """A want that lacks a pair; every third one wants the punch of the one before, another die."""
    pairs = kinds // 2
    pair = number * 2 % pairs
    punch = pair - 2 if number % 3 == 2 else pair
    sizes = (("punch", _width_mm(punch)), ("die", _width_mm(pair) + 0.8))
    rows = [
        {"role": role, "shape": "round", "width_mm": width, "seat": SEATS[_seat(pair)]}
        for role, width in sizes
    ]
    at = (NOW - timedelta(days=10)).isoformat()
    return {
        "ask": f"hole {_width_mm(punch):.2f} mm thru 4 mm",
        "job": f"J-{number}",
        "quantity": 20 + number * 17 % 90,
        "person_id": 1,
        "first_at": at,
        "last_at": at,
        "missing": json.dumps(rows),
    }


def _add(session: Session, table: type[Any], values: dict[str, Any]) -> int:
    row = table.model_validate(values).model_dump()
    row.pop("id", None)
    return add_row(session, table.__tablename__, row)


def side_by_side(what: str, big: Session, small: Session, budget: int | None) -> Ratio:
    """The plan in both cribs, by turns."""
    from crib.desk.buying.buy import plan_buying

    return compare(
        what,
        lambda: timed(lambda: plan_buying(big, budget, now=NOW)),
        (
            "the same with 1,000 kinds and 50 wants",
            lambda: timed(lambda: plan_buying(small, budget, now=NOW)),
        ),
        limit=15.0,
        rounds=ROUNDS,
    )


@pytest.mark.parametrize("budget", [None, BUDGET_CENTS])
def test_buying_grows_no_faster_than_the_crib(budget: int | None) -> None:
    with opened(10_000, 500) as big, opened(1_000, 50) as small:
        name = "no budget" if budget is None else f"{budget // 100} of budget"
        found = side_by_side(f"buy, 10,000 kinds, 500 wants, {name}", big, small, budget)
    assert found.ratio <= found.limit, found.line
