"""What lies ahead of a kind: seasons, planned jobs, lead times, reorder points, order sizes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from crib.cli.wording import worded
from crib.desk.buying.kind_figures import Figures, Shop
from crib.desk.buying.reading import read_shop
from crib.desk.buying.stock_levels import levels_of, order_quantity
from crib.stock.book import ledger
from crib.stock.engine.session import Session
from crib.stock.queries.demand import OfferRow
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import (
    JobLineRecord,
    JobRecord,
    OfferRecord,
    OrderLineRecord,
    PlannedRunRecord,
    PurchaseRecord,
    ReceiptRecord,
)
from tests.desk.buying_shop import LATER, go, log, only, plan, punch
from tests.shop import add_kind, add_piece, insert, small_shop

TODAY = LATER.astimezone().date()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def of(session: Session, tag: str) -> tuple[Figures, Shop]:
    read = read_shop(session, TODAY)
    return read.figures[piece_by_tag(session, tag).kind_id], read


def delivered(session: Session, supplier: str, *days: int) -> None:
    """Deliveries of a supplier, each so many days after its order."""
    kind_id = punch(session, "2", name=f"of {supplier}")
    for number, lead in enumerate(days):
        key = insert(
            session,
            PurchaseRecord,
            number=f"{supplier}-{number}",
            supplier=supplier,
            made_on="2026-01-05",
            state="closed",
            person_id=1,
            made_at="2026-01-05T06:00:00.000Z",
        )
        line = {"kind_id": kind_id, "text": "1 punch", "quantity": 1, "received": 1, "open": False}
        line_id = insert(session, OrderLineRecord, purchase_id=key, **line)
        came: dict[str, Any] = {"quantity": 1, "received_on": "2026-02-01", "lead_days": lead}
        stamp = {"person_id": 1, "made_at": "2026-02-01T06:00:00.000Z"}
        insert(session, ReceiptRecord, order_line_id=line_id, **came, **stamp)


def test_the_lead_time_seen_stands_before_the_quoted_one(shop: Session) -> None:
    kind_id = piece_by_tag(shop, "P-0137").kind_id
    insert(shop, OfferRecord, kind_id=kind_id, supplier="North", price_cents=4000, lead_days=4)
    one, _read = of(shop, "P-0137")
    assert (one.lead.days, one.lead.deliveries) == (4, 0)
    delivered(shop, "North", 8, 9, 19)
    one, _read = of(shop, "P-0137")
    assert (one.lead.days, one.lead.mean_days, one.lead.deliveries) == (9, 12.0, 3)
    assert one.lead.sd_days == pytest.approx(6.083, abs=5e-4)
    log(shop, "P-0137", 100, *range(1, 365, 7))
    assert only(plan(shop)).lead_days == 9


def test_a_supplier_who_is_sometimes_late_asks_for_more_safety(shop: Session) -> None:
    kind = punch(shop, "15/16", regrind_mm=0.0, interval_strokes=1000, supplier="North")
    add_piece(shop, "P-0500", kind)
    log(shop, "P-0500", 300, *range(1, 365, 7))
    delivered(shop, "North", 20, 20)
    steady = levels_of(*of(shop, "P-0500"))
    assert steady is not None
    # 52 x 300 strokes in 365 days / 1,000 in a life x 20 days = 0.855; the safety of counts.
    wear = 52 * 300 / 365 / 1000 * 20
    assert steady.wear == pytest.approx(wear)
    breaks = 52 * 300 / 365 / 25_000 * 20
    assert steady.safety == pytest.approx(1.6449 * (wear + breaks) ** 0.5, abs=1e-3)
    delivered(shop, "North 2", 1)
    shop.connection.execute("UPDATE receipt SET lead_days = lead_days + 20 * (id % 2)")
    late = levels_of(*of(shop, "P-0500"))
    assert late is not None
    assert late.safety > steady.safety


def test_a_kind_that_does_not_run_keeps_no_safety(shop: Session) -> None:
    log(shop, "P-0137", 100, 1)
    levels = levels_of(*of(shop, "P-0137"))
    assert levels is not None
    assert levels.safety == 0.0
    assert order_quantity(*of(shop, "P-0137"), ()) is None


def test_the_order_quantity_follows_the_price_break_that_costs_least(shop: Session) -> None:
    kind = punch(shop, "15/16", regrind_mm=0.0, interval_strokes=1000)
    add_piece(shop, "P-0500", kind)
    log(shop, "P-0500", 300, *range(1, 365, 7))
    one, read = of(shop, "P-0500")
    # 15.9 a year, 25.00 an order, 20 % of 40.00 a year: root of 2 x 25 x 15.9 / 8 = 9.97.
    single = OfferRow("North", 1, 1, 4000, 5)
    assert order_quantity(one, read, [single]) == 10
    assert order_quantity(one, read, [single, OfferRow("North", 1, 20, 3000, 5)]) == 20
    assert order_quantity(one, read, [single, OfferRow("North", 1, 200, 3900, 5)]) == 10
    assert order_quantity(one, read, [OfferRow("North", 6, 1, 4000, 5)]) is None


def two_years(session: Session, tag: str, busy_month: int) -> None:
    """100 strokes on the first and fifteenth of each month for two years, in one month 300."""
    piece = piece_by_tag(session, tag)
    for back in range(25, 0, -1):
        number = TODAY.year * 12 + TODAY.month - 1 - back
        for day in (1, 15):
            on = date(number // 12, number % 12 + 1, day)
            count = 300 if on.month == busy_month else 100
            stamp = ledger.new_stamp(1, shift_on=on, now=LATER)
            entry = ledger.NewEntry("strokes", piece.id, quantity=count)
            ledger.write(session, stamp, [replace(entry, weighted_milli=count * 1000)])


def test_a_season_counts_once_two_years_are_there(shop: Session) -> None:
    two_years(shop, "P-0137", TODAY.month)
    # The pieces came in before; a test's crib is made today.
    shop.connection.execute("UPDATE entry SET shift_on = '2020-01-02' WHERE action = 'add'")
    shop.connection.execute("UPDATE entry SET made_at = shift_on || 'T06:00:00.000Z'")
    log(shop, "P-0137", 1, *range(1, 60))
    one, _read = of(shop, "P-0137")
    assert one.running
    # Ten days may reach into the next month, which is an ordinary one.
    assert 1.4 < one.season <= 2.0


def test_less_than_two_years_have_no_season(shop: Session) -> None:
    log(shop, "P-0137", 100, *range(1, 365, 7))
    one, _read = of(shop, "P-0137")
    assert one.season == 1.0


def test_the_open_jobs_strokes_stand_beside_the_pace(shop: Session) -> None:
    piece = piece_by_tag(shop, "P-0137")
    shop.connection.execute("UPDATE kind SET regrind_mm = 0 WHERE id = ?", (piece.kind_id,))
    log(shop, "P-0137", 5, 1, 2)
    job_id = insert(shop, JobRecord, name="25-1", due_on=str(TODAY + timedelta(days=6)))
    station = shop.value("SELECT min(id) FROM station")
    row = {"job_id": job_id, "sequence": 1, "station_id": station, "piece_id": piece.id}
    row |= {"phrase": "hole 13/16 thru 3/8", "quantity": 9000, "strokes": 9000, "person_id": 1}
    row |= {"weighted_milli": 9_000_000, "made_at": "2026-01-05T06:00:00.000Z"}
    insert(shop, PlannedRunRecord, **row)
    one, _read = of(shop, "P-0137")
    assert (one.planned, one.out_on) == (9000.0, str(TODAY + timedelta(days=6)))
    line = only(plan(shop))
    found = {reason.code: reason for reason in line.reasons}
    assert found["buy.reorder"]["planned_lives"] == pytest.approx(1.8)
    assert found["buy.runs-out"]["out_on"] == one.out_on
    assert found["buy.runs-out"]["is_late"]


def test_a_feature_of_an_open_job_without_a_plan_is_wanted(shop: Session) -> None:
    job_id = insert(shop, JobRecord, name="25-2", due_on=str(TODAY + timedelta(days=20)))
    insert(shop, JobLineRecord, job_id=job_id, phrase="hole 1-1/16 thru 3/8 A36", quantity=80)
    insert(shop, JobLineRecord, job_id=job_id, phrase="hole 13/16 thru 3/8 A36", quantity=80)
    insert(shop, JobLineRecord, job_id=job_id, phrase="no such thing", quantity=80)
    first, second = plan(shop).lines
    wanted = first.reasons[0]
    assert (wanted.code, wanted["planned"]) == ("buy.wanted", True)
    assert wanted["ask"] == "hole 1-1/16 thru 3/8 A36"
    assert (wanted["quantity"], wanted["job"]) == (80, "25-2")
    assert first.value_cents_per_year + second.value_cents_per_year == 80 * 140 / 5
    assert f"needed by {TODAY + timedelta(days=20)}" in first.text
    assert shop.value("SELECT count(*) FROM want") == 0


def test_why_shows_every_figure_behind_a_kind(shop: Session) -> None:
    kind_id = piece_by_tag(shop, "P-0137").kind_id
    insert(shop, OfferRecord, kind_id=kind_id, supplier="North", price_cents=4000, lead_days=4)
    log(shop, "P-0137", 100, *range(1, 365, 7))
    notes = " | ".join(map(worded, plan(shop, why="punch 13/16").notes))
    for text in (
        "used 1.0 times a week; delivery 4 days",
        "reorder point 1.00 = 0.00 worn in 4 days + 0.00 planned + 1.00 safety",
        "ordering 1 at a time costs least",
        "weighted strokes in a life, expected to serve 5 years",
        "each stroke saves USD 1.40 against drill",
        "North: USD 40.00 each, 4 days",
    ):
        assert text in notes


def test_a_blade_that_is_gone_is_worth_what_the_cheapest_other_cut_costs_more(
    shop: Session,
) -> None:
    kind = add_kind(shop, role="blade", width="12", edges=4, least_count=1, length_mm=304.8)
    add_piece(shop, "B-0001", kind)
    log(shop, "B-0001", 2, *range(1, 20, 2))
    go(shop, "B-0001", "broken")
    line = only(plan(shop))
    # 20 cuts cost least cut thermally, 2 min and 0.30 each; sheared 0.5 min.
    assert line.value_cents_per_year == 20 * (200 + 30 - 50)
    first = line.figures[0]
    assert (first.code, first["way"]) == ("buy.work-of-first", "thermal")
    assert (first["strokes"], first["saving_cents"]) == (20, 180)
