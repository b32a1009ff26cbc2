"""What to buy: each reason, how reasons join, what is taken off, and pairs that stay together."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from crib.desk.buy import BuyLine, BuyPlan, plan_buying
from crib.desk.find import find
from crib.errors import BadValue, UnknownName
from crib.features.ask import Circumstances
from crib.stock import ledger
from crib.stock.pieces import piece_by_tag
from crib.stock.session import Session
from crib.stock.settings import set_rule
from crib.stock.tables import Job, Offer, OrderLine, Want
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, add_piece, insert, small_shop

LATER = datetime.now(UTC) + timedelta(days=400)
"""The plan's day: the crib, which was made today, has looked on for a year by then."""

A_PUNCH = {"role": "punch", "quantity": 1, "shape": "round", "width_mm": 30.1625}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


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


def want(session: Session, missing: Any, ask: str, job: str = "24-1", **columns: Any) -> None:
    """An open want with what was missing."""
    text = missing if isinstance(missing, str) else json.dumps(missing)
    at = columns.pop("at", LATER).isoformat()
    values = {"quantity": 60, "first_at": at, "last_at": at, "missing": text} | columns
    insert(session, Want, ask=ask, job=job, person_id=1, **values)


def plan(session: Session, budget_cents: int | None = None, **options: Any) -> BuyPlan:
    return plan_buying(session, budget_cents, now=LATER, **options)


def only(found: BuyPlan) -> BuyLine:
    assert len(found.lines) == 1, [one.what for one in found.lines]
    return found.lines[0]


def test_a_shop_that_misses_nothing_buys_nothing(shop: Session) -> None:
    with nothing_changes(shop):
        found = plan(shop)
    assert (found.lines, found.spent_cents, found.notes) == ((), 0, ())


def test_a_missed_hole_buys_punch_and_die_together(shop: Session) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=120, job="24-1"), now=LATER)
    first, second = plan(shop).lines
    assert (first.role, second.role) == ("punch", "die")
    assert (first.bought_with, second.bought_with) == ((2,), (1,))
    assert (first.kind, first.price_cents, first.within_budget) == (None, None, False)
    assert first.value_cents_per_year + second.value_cents_per_year == 120 * 125
    assert first.reasons == (
        "wanted: hole 1-1/16 thru 3/8 A36, 120 off, job 24-1",
        "bought together with line 2, or not at all",
    )
    assert second.text.startswith(
        "1 die, round 1-3/32 in opening (total clearance 1/32 in over a 1-1/16 in punch), seat A:"
    )
    assert second.text.endswith(
        "unkeyed, to punch 3/8 in A36, for Ironworker 1 / punch and Ironworker 2 / punch,"
        " our job 24-1"
    )
    assert (first.gaps, second.gaps) == ((), ())


def test_asking_five_times_for_one_job_is_one_miss(shop: Session) -> None:
    for _time in range(5):
        find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=120, job="24-1"), now=LATER)
    found = plan(shop)
    assert sum(one.value_cents_per_year for one in found.lines) == 120 * 125
    assert found.lines[0].reasons[0].endswith("job 24-1, asked 5 times")


def test_wants_of_one_tool_join_on_one_line_for_the_thickest_plate(shop: Session) -> None:
    missing = [{**A_PUNCH, "long_mm": None, "seat": "A", "kind": None, "text": ""}]
    near = [{**missing[0], "width_mm": 30.1625 + 0.05}]
    insert(shop, Job, name="24-2", due_on=(LATER + timedelta(days=9)).date().isoformat())
    add_piece(shop, "D-0900", add_kind(shop, role="die", width="1-7/32", seat_id=seat(shop)))
    want(shop, missing, "hole 1-3/16 thru 3/8 A36")
    want(shop, near, "hole 1-3/16 thru 1/2 A36", "24-2")
    line = only(plan(shop))
    assert (line.quantity, line.role) == (1, "punch")
    assert "to punch 1/2 in A36" in line.text
    assert "our jobs 24-1, 24-2" in line.text
    assert f"needed by {(LATER + timedelta(days=9)).date()}" in line.text


def test_a_size_wanted_in_three_jobs_ranks_before_one_worth_more(shop: Session) -> None:
    add_piece(shop, "D-0900", add_kind(shop, role="die", width="1-7/32", seat_id=seat(shop)))
    add_piece(shop, "D-0901", add_kind(shop, role="die", width="1-3/32", seat_id=seat(shop)))
    often = punch(shop, "1-3/16", price_cents=9000, name="often")
    once = punch(shop, "1-1/16", price_cents=9000, name="once")
    assert often != once
    row = {**A_PUNCH, "long_mm": None, "seat": "A", "text": ""}
    for job in ("24-1", "24-2", "24-3"):
        want(shop, [{**row, "kind": "often"}], "hole 1-3/16 thru 3/8 A36", job, quantity=10)
    rare = {**row, "kind": "once", "width_mm": 26.9875}
    want(shop, [rare], "hole 1-1/16 thru 3/8 A36", quantity=900)
    found = plan(shop)
    assert [one.kind for one in found.lines] == ["often", "once"]
    assert found.lines[0].reasons[0] == "wanted in 3 jobs within 12 months"
    assert [one.value_cents_per_year for one in found.lines] == [30 * 125, 900 * 125]


def test_a_want_older_than_a_year_is_said_and_worth_nothing(shop: Session) -> None:
    add_piece(shop, "D-0900", add_kind(shop, role="die", width="1-7/32", seat_id=seat(shop)))
    row = {**A_PUNCH, "long_mm": None, "seat": "A", "kind": None, "text": ""}
    old = LATER - timedelta(days=366)
    want(shop, [row], "hole 1-3/16 thru 3/8 A36", at=old)
    line = only(plan(shop))
    assert line.value_cents_per_year == 0
    assert "over a year ago" in line.reasons[0]


def test_a_want_that_is_served_by_now_buys_nothing(shop: Session) -> None:
    row = {**A_PUNCH, "width_mm": 20.6375, "long_mm": None, "seat": "A", "kind": None, "text": ""}
    want(shop, [row], "hole 13/16 thru 3/8 A36")
    found = plan(shop)
    assert found.lines == ()
    assert found.notes[0].endswith("what it needs is in the crib or on order by now")


def test_a_punch_comes_with_its_die_when_the_die_broke_since(shop: Session) -> None:
    found = find(shop, "hole 27/32 thru 3/8 A36", Circumstances(job="24-1"), now=LATER)
    assert [one.role for one in found.order] == ["punch"]
    assert [one.role for one in plan(shop).lines] == ["punch"]
    go(shop, "D-0202", "broken")
    first, second = plan(shop).lines
    assert (first.role, second.role) == ("punch", "die")
    assert second.kind == piece_by_tag(shop, "D-0202").kind_name
    assert second.bought_with == (1,)


def test_a_pair_of_which_one_price_is_unknown_fits_no_budget(shop: Session) -> None:
    find(shop, "hole 27/32 thru 3/8 A36", Circumstances(job="24-1"), now=LATER)
    go(shop, "D-0202", "broken")
    kind = piece_by_tag(shop, "D-0202").kind_id
    insert(shop, Offer, kind_id=kind, supplier="North Street Tool", price_cents=4000)
    found = plan(shop, 1_000_000)
    assert [(one.price_cents, one.within_budget) for one in found.lines] == [
        (None, False),
        (4000, False),
    ]
    assert (found.spent_cents, found.notes) == (
        0,
        ("1 line has no known price: ask; not in the sum",),
    )


@pytest.mark.parametrize(
    ("missing", "says"),
    [
        ("", "what was missing is not on record"),
        ("a punch", "what was missing is not on record"),
        ('[{"role": "punch", "width_mm": NaN}]', "what was missing is not on record"),
        ('[{"role": "spoon", "width_mm": 20}]', "what was missing is not on record"),
        ("[]", "no tool was found that would serve it"),
        (
            [{**A_PUNCH, "role": "die", "width_mm": 20.6375, "seat": "A", "kind": None}],
            "the die on record is not bigger than the hole's punch",
        ),
    ],
)
def test_a_want_that_names_no_tool_is_a_note(shop: Session, missing: Any, says: str) -> None:
    want(shop, missing, "hole 13/16 thru 3/8 A36")
    found = plan(shop)
    assert found.lines == ()
    (note,) = found.notes
    assert says in note


def test_a_piece_past_its_last_grind_is_replaced(shop: Session) -> None:
    kind = punch(shop, "15/16", regrind_mm=0.0, price_cents=6150, supplier="North Street Tool")
    add_piece(shop, "P-0500", kind, wear=3499)
    assert plan(shop).lines == ()
    log(shop, "P-0500", 1, 1)
    line = only(plan(shop))
    assert line.reasons[0] == "P-0500 past the last grind, no sound one left"
    assert (line.price_cents, line.supplier) == (6150, "North Street Tool")


def test_a_piece_below_its_least_length_is_past_its_last_grind(shop: Session) -> None:
    kind = punch(shop, "15/16", length_mm=70.0, least_length_mm=67.0)
    add_piece(shop, "P-0500", kind, length_mm=66.9)
    assert "P-0500 past the last grind" in only(plan(shop)).reasons[0]


@pytest.mark.parametrize("condition", ["broken", "lost", "retired"])
@pytest.mark.parametrize(("days_ago", "lines"), [(90, 1), (91, 0)])
def test_what_is_gone_is_replaced_when_it_went_of_late(
    shop: Session, condition: str, days_ago: int, lines: int
) -> None:
    go(shop, "P-0140", condition, days_ago)
    found = plan(shop)
    assert len(found.lines) == lines
    if lines:
        assert found.lines[0].reasons[0].startswith(f"P-0140 {condition} within 90 days")


def test_what_is_gone_is_not_replaced_when_a_sound_one_is_there(shop: Session) -> None:
    add_piece(shop, "P-0141", piece_by_tag(shop, "P-0140").kind_id)
    go(shop, "P-0140", "broken")
    assert plan(shop).lines == ()


@pytest.mark.parametrize(("least", "quantity"), [(0, 0), (1, 0), (2, 1), (4, 3)])
def test_a_least_count_is_filled_up(shop: Session, least: int, quantity: int) -> None:
    add_piece(shop, "N-0001", add_kind(shop, role="nut", width="1", least_count=least))
    assert sum(one.quantity for one in plan(shop).lines) == quantity


def test_a_lone_piece_that_runs_every_week_wants_a_spare(shop: Session) -> None:
    log(shop, "P-0137", 100, *range(1, 365, 7))
    line = only(plan(shop))
    assert (line.role, line.quantity) == ("punch", 1)
    assert line.reasons[0].startswith(
        "single point of failure: one sound piece, used 1.0 times a week;"
    )
    # 1 - exp(-5,200 / 25,000) = 0.1878; 150.00 and ten days of 14.25 holes at 1.25: 328.08.
    assert line.value_cents_per_year == 6161
    assert line.figures == (
        "19% chance a year that it breaks x (USD 150.00 lost + 142 holes drilled x USD 1.25)",
    )


def test_a_lone_piece_that_runs_less_than_weekly_wants_none(shop: Session) -> None:
    log(shop, "P-0137", 100, *range(1, 365, 8))
    assert plan(shop).lines == ()


def test_strokes_that_were_taken_back_do_not_count(shop: Session) -> None:
    log(shop, "P-0137", 100, *range(1, 365, 7))
    ids = [row[0] for row in shop.rows("SELECT id FROM entry WHERE action = 'strokes'")]
    ledger.reverse(shop, ledger.new_stamp(1, now=LATER), ids[:10], "typed twice")
    assert plan(shop).lines == ()


def test_strokes_of_more_than_a_year_ago_do_not_count(shop: Session) -> None:
    log(shop, "P-0137", 100, *range(366, 399))
    assert plan(shop).lines == ()


def test_one_die_is_kept_for_every_two_punches_of_a_running_size(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-0137").kind_id
    go(shop, "D-0202", "retired", 200)
    for tag in ("P-0138", "P-0139"):
        add_piece(shop, tag, kind)
    log(shop, "P-0137", 100, *range(1, 365, 5))
    line = only(plan(shop))
    assert line.role == "die"
    assert line.reasons[0].startswith("1 sound or on order for 3 punches")
    assert line.reasons[0].endswith("one die for every 2")


def test_stock_at_its_reorder_point_is_ordered_up(shop: Session) -> None:
    kind = punch(shop, "15/16", regrind_mm=0.0, interval_strokes=1000, lead_days=100)
    for tag in ("P-0500", "P-0501", "P-0502"):
        add_piece(shop, tag, kind)
    log(shop, "P-0500", 200, *range(1, 4))
    assert plan(shop).lines == ()
    for tag in ("P-0501", "P-0502"):
        log(shop, tag, 60, *range(1, 40, 4))
    log(shop, "P-0500", 90, *range(4, 365, 7))
    found = plan(shop)
    assert "at the reorder point" in " ".join(only(found).reasons)


def test_open_orders_are_taken_off_and_said(shop: Session) -> None:
    kind = punch(shop, "15/16", least_count=3, name="round punch 15/16 in, seat A")
    insert(
        shop,
        OrderLine,
        kind_id=kind,
        text="2 punches",
        quantity=4,
        received=2,
        ordered_on="2026-03-02",
    )
    found = plan(shop)
    assert only(found).quantity == 1
    assert only(found).reasons[-1] == "2 on order since 2026-03-02, taken off"
    assert [(one.kind, one.quantity) for one in found.on_order] == [
        ("round punch 15/16 in, seat A", 2)
    ]


@pytest.mark.parametrize(
    ("text", "covers"),
    [
        ("1 punch, round 15/16 in, seat A: head 1-1/2 in", True),
        ("1 round punch 15/16 in, flat face, seat A", True),
        ("1 punch, round 15/16 in, seat AB", False),
        ("1 punch, round 1-15/16 in, seat A", False),
        ("1 punch, obround 15/16 x 2 in, seat A", False),
        ("1 die, round 31/32 in opening (over a 15/16 in punch), seat A", False),
    ],
)
def test_an_order_that_names_no_kind_counts_when_it_spells_the_tool(
    shop: Session, text: str, covers: bool
) -> None:
    punch(shop, "15/16", least_count=1)
    insert(shop, OrderLine, text=text, quantity=1)
    found = plan(shop)
    assert len(found.lines) == (0 if covers else 1)
    assert any("nothing more to buy" in note for note in found.notes) is covers


def test_nobody_buys_beyond_the_horizon(shop: Session) -> None:
    kind = punch(shop, "15/16", least_count=10)
    add_piece(shop, "P-0500", kind)
    log(shop, "P-0500", 100, 1, 100)
    line = only(plan(shop))
    assert line.quantity == 1
    assert line.reasons[-1].startswith("held back 8: 2 with a spare is 12 months' use")


def test_reasons_of_one_kind_join_on_one_line(shop: Session) -> None:
    shop.connection.execute("UPDATE kind SET least_count = 2 WHERE id = 1")
    log(shop, "P-0137", 100, *range(1, 365, 5))
    line = only(plan(shop))
    assert line.quantity == 1
    assert [one.split(":")[0] for one in line.reasons] == [
        "1 sound, the shop keeps at least 2",
        "single point of failure",
    ]


def test_the_budget_buys_what_is_worth_most_and_lists_the_rest(shop: Session) -> None:
    for number, price in enumerate((6000, 5000, 5000)):
        kind = punch(shop, f"1-{2 * number + 1}/16", least_count=2, price_cents=price)
        add_piece(shop, f"P-060{number}", kind)
        log(shop, f"P-060{number}", 100 + 50 * (number == 0), *range(1, 30))
    found = plan(shop, 10_000)
    assert [(one.price_cents, one.within_budget) for one in found.lines] == [
        (5000, True),
        (5000, True),
        (6000, False),
    ]
    assert (found.budget_cents, found.spent_cents) == (10_000, 10_000)
    assert [one.rank for one in found.lines] == [1, 2, 3]


def test_a_shop_rule_changes_what_a_hole_is_worth(shop: Session) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=60), now=LATER)
    set_rule(shop, ledger.new_stamp(1), "buy.rate_per_hour_cents", "12000", "dearer")
    assert sum(one.value_cents_per_year for one in plan(shop).lines) == 60 * 250


def test_a_shaped_tool_without_its_key_angle_is_not_ready_to_send(shop: Session) -> None:
    add_kind(shop, role="die", width="1", shape="square", seat_id=seat(shop), least_count=1)
    assert only(plan(shop)).gaps == ("the key angle to the throat",)


def test_why_tells_the_figures_of_a_kind_that_is_not_bought(shop: Session) -> None:
    log(shop, "P-0137", 100, 1, 2)
    found = plan(shop, why="PUNCH 13/16")
    assert found.lines == ()
    assert found.notes[0].startswith("round punch 13/16")
    assert "1 sound, 0 past the last grind" in found.notes[0]
    assert "200 strokes in 365 days" in found.notes[1]


def test_why_of_nothing_is_refused(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no kind is called 'spoon'"):
        plan(shop, why="spoon")


def test_a_budget_below_nothing_is_refused(shop: Session) -> None:
    with pytest.raises(BadValue, match="budget=-1 cents must be >= 0"):
        plan(shop, -1)
