"""What was asked for and missed: one line a tool, pairs together, what it is worth."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from crib.acts import act, acts_in, fact, saying
from crib.desk.answer.find import find
from crib.features.common.case import Circumstances
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import JobRecord, KindRecord, OfferRecord
from crib.stock.writers import kinds
from tests.desk.buying_shop import LATER, go, only, plan, punch, seat, want
from tests.desk.every_work import ASKS, bare_shop
from tests.shop import add_kind, add_piece, insert, small_shop

A_PUNCH = {"role": "punch", "quantity": 1, "shape": "round", "width_mm": 30.1625}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_a_missed_hole_buys_punch_and_die_together(shop: Session) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=120, job="24-1"), now=LATER)
    first, second = plan(shop).lines
    assert (first.role, second.role) == ("punch", "die")
    assert (first.bought_with, second.bought_with) == ((second.name,), (first.name,))
    assert (first.only_with, second.only_with) == (((second.name,),), ((first.name,),))
    assert (first.kind, first.price_cents, first.within_budget) == (None, None, False)
    assert first.value_cents_per_year + second.value_cents_per_year == 120 * 140 / 5
    wanted, only_with = first.reasons
    assert (wanted.code, wanted["ask"]) == ("buy.wanted", "hole 1-1/16 thru 3/8 A36")
    assert (wanted["quantity"], wanted["job"], wanted["planned"]) == (120, "24-1", False)
    assert only_with == fact("buy.only-with", lines=((second.name,),))
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
    assert sum(one.value_cents_per_year for one in found.lines) == 120 * 140 / 5
    wanted = found.lines[0].reasons[0]
    assert (wanted["job"], wanted["times_asked"]) == ("24-1", 5)


def test_wants_of_one_tool_join_on_one_line_for_the_thickest_plate(shop: Session) -> None:
    missing = [{**A_PUNCH, "long_mm": None, "seat": "A", "kind": None, "text": ""}]
    near = [{**missing[0], "width_mm": 30.1625 + 0.05}]
    insert(shop, JobRecord, name="24-2", due_on=(LATER + timedelta(days=9)).date().isoformat())
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
    assert found.lines[0].reasons[0] == fact("buy.wanted-often", jobs=3)
    assert [one.value_cents_per_year for one in found.lines] == [30 * 140, 900 * 140 / 5]


def test_a_want_older_than_a_year_is_said_and_worth_nothing(shop: Session) -> None:
    add_piece(shop, "D-0900", add_kind(shop, role="die", width="1-7/32", seat_id=seat(shop)))
    row = {**A_PUNCH, "long_mm": None, "seat": "A", "kind": None, "text": ""}
    old = LATER - timedelta(days=366)
    want(shop, [row], "hole 1-3/16 thru 3/8 A36", at=old)
    line = only(plan(shop))
    assert line.value_cents_per_year == 0
    assert line.reasons[0]["last_asked"] == str(old.date())


def test_a_want_that_is_served_by_now_buys_nothing(shop: Session) -> None:
    row = {**A_PUNCH, "width_mm": 20.6375, "long_mm": None, "seat": "A", "kind": None, "text": ""}
    want(shop, [row], "hole 13/16 thru 3/8 A36")
    found = plan(shop)
    assert found.lines == ()
    assert str(found.notes[0]).partition("; ")[0].endswith("is in the crib or on order by now")


def test_a_punch_comes_with_its_die_when_the_die_broke_since(shop: Session) -> None:
    found = find(shop, "hole 27/32 thru 3/8 A36", Circumstances(job="24-1"), now=LATER)
    assert [one.spec.role for one in found.order] == ["punch"]
    assert [one.role for one in plan(shop).lines] == ["punch"]
    go(shop, "D-0202", "broken")
    first, second = plan(shop).lines
    assert (first.role, second.role) == ("punch", "die")
    assert second.kind == piece_by_tag(shop, "D-0202").kind_name
    assert second.bought_with == (first.name,)


def test_a_pair_of_which_one_price_is_unknown_fits_no_budget(shop: Session) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(job="24-1"), now=LATER)
    die = add_kind(shop, role="die", width="1-3/32", seat_id=seat(shop), name="die")
    insert(shop, OfferRecord, kind_id=die, supplier="North Street Tool", price_cents=4000)
    for budget in (None, 1_000_000):
        found = plan(shop, budget)
        assert [(one.price_cents, one.within_budget) for one in found.lines] == [
            (None, False),
            (4000, False),
        ]
        assert found.spent_cents == 0
        assert found.notes == (saying(fact("buy.unpriced", count=1)),)


@pytest.mark.parametrize(
    ("missing", "says"),
    [
        ("", "what was missing is not on record"),
        ("a punch", "what was missing is not on record"),
        ('[{"role": "punch", "width_mm": NaN}]', "what was missing is not on record"),
        ('[{"role": "spoon", "width_mm": 20}]', "what was missing is not on record"),
        ('[{"role": "punch", "kind": "often"}]', "what was missing is not on record"),
        ("[]", "the crib serves it by now with P-0137 and D-0201"),
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
    assert says in str(note)


@pytest.mark.parametrize("sort", ASKS)
def test_what_is_served_by_now_is_never_said_to_have_no_tool(sort: str, tmp_path: Path) -> None:
    """Missed on a shelf where nothing was known of it, then bought: find and buy say the same."""
    with closing(bare_shop(tmp_path / "shop.crib")) as session:
        lacks = find(session, ASKS[sort], record=False).order
        want(session, "[]", ASKS[sort])
        bought = {line.role for line in plan(session).lines}
        assert bought == {line.spec.role for line in lacks}
        for number, line in enumerate(lacks):
            with session.writing():
                kind_id = kinds.add_kind(session, f"kind {number}", line.spec)
            add_piece(session, f"X-{number}", kind_id, place="A1")
        assert find(session, ASKS[sort], record=False).serves
        found = plan(session)
        assert found.lines == ()
        assert [text for text in map(str, found.notes) if "serves it by now with X-0" in text] != []


def test_what_nothing_serves_says_what_is_against_it(shop: Session) -> None:
    want(shop, "[]", "hole 5/16 thru 3/8 A36")
    (note,) = map(str, plan(shop).notes)
    assert "nothing to buy: narrowest size is 0.83 of the thickness" in note
    assert acts_in(plan(shop).notes[0]) == (act("wants.strike", wants=("1",), why=None),)


def test_a_blade_is_wanted_by_its_kind_without_a_size(shop: Session) -> None:
    kind = {"name": "flat blade", "edges": 4, "length_mm": 304.8, "price_cents": 21_000}
    insert(shop, KindRecord, role="blade", **kind)
    want(shop, [{"role": "blade", "kind": "flat blade"}], "cut flat 4 x 3/8")
    line = only(plan(shop))
    assert (line.kind, line.price_cents) == ("flat blade", 21_000)
    assert line.text == (
        "1 blade, length 12 in, for 3/8 in A36, our job 24-1, as our 'flat blade', 4 edges"
    )
    assert line.gaps == ("which seat it fits",)


def two_wants_of_one_punch(shop: Session, **prices: int) -> None:
    """A punch that two wants lack, each with a die that the other's plate refuses."""
    names = {"punch": "1-3/16", "thin": "1-7/32", "thick": "1-11/32"}
    for name, width in names.items():
        role = "punch" if name == "punch" else "die"
        place, price = seat(shop), prices[name]
        add_kind(shop, role=role, width=width, seat_id=place, name=name, price_cents=price)
    row = {**A_PUNCH, "long_mm": None, "seat": "A", "text": "", "kind": "punch"}
    thin = {**row, "role": "die", "width_mm": 30.95625, "kind": "thin"}
    thick = {**row, "role": "die", "width_mm": 34.13125, "kind": "thick"}
    want(shop, [row, thin], "hole 1-3/16 thru 3/8 A36", quantity=100)
    want(shop, [row, thick], "hole 1-3/16 thru 1 A36", quantity=40)


def test_a_budget_takes_the_pair_that_it_pays_and_leaves_the_other_die(shop: Session) -> None:
    two_wants_of_one_punch(shop, punch=5000, thin=4000, thick=4000)
    found = plan(shop, 9000)
    assert [(one.kind, one.within_budget) for one in found.lines] == [
        ("punch", True),
        ("thin", True),
        ("thick", False),
    ]
    assert [one.value_cents_per_year for one in found.lines] == [1400, 1400, 1120]
    assert (found.spent_cents, found.value_cents_per_year) == (9000, 2800)
    ways = tuple((line.name,) for line in found.lines[1:3])
    assert found.lines[0].reasons[-1] == fact("buy.only-with", lines=ways)
    assert found.lines[0].only_with == ways
    assert found.lines[2].reasons[-1] == fact("buy.only-with", lines=((found.lines[0].name,),))


@pytest.mark.parametrize("budget", [0, 3999, 4000, 5000, 8999])
def test_a_budget_never_buys_half_a_pair(shop: Session, budget: int) -> None:
    two_wants_of_one_punch(shop, punch=5000, thin=4000, thick=4000)
    found = plan(shop, budget)
    assert not any(one.within_budget for one in found.lines)
    assert found.spent_cents == 0


def test_a_bigger_budget_never_buys_a_worse_plan(shop: Session) -> None:
    two_wants_of_one_punch(shop, punch=5000, thin=4100, thick=3300)
    for number in range(4):
        punch(shop, f"1-{2 * number + 1}/64", least_count=1, price_cents=1700 + 333 * number)
    found = [plan(shop, budget) for budget in range(0, 25_000, 1250)]
    worth = [one.value_cents_per_year for one in found]
    assert worth == sorted(worth)
    assert all(one.spent_cents <= (one.budget_cents or 0) for one in found)
    assert worth[-1] == 140 * 140 / 5


def two_seats(session: Session, **prices: int) -> None:
    """A hole for which a pair of either seat would do, asked for in seat A."""
    for name, cents in prices.items():
        role, seat_name = name.split("_")
        width = "1-3/16" if role == "punch" else "1-7/32"
        add_kind(
            session,
            role=role,
            width=width,
            seat_id=seat(session, seat_name),
            name=name,
            price_cents=cents,
        )
    row = {**A_PUNCH, "seat": "A", "kind": "punch_A"}
    die = {**row, "role": "die", "width_mm": 30.95625, "kind": "die_A"}
    want(session, [row, die], "hole 1-3/16 thru 3/8 A36", quantity=100)


def test_a_want_is_served_by_the_set_of_tools_that_gains_most(shop: Session) -> None:
    two_seats(shop, punch_A=9000, die_A=9000, punch_B=4000, die_B=4000)
    found = plan(shop, 20_000)
    assert [(one.kind, one.within_budget) for one in found.lines] == [
        ("punch_B", True),
        ("die_B", True),
    ]
    assert found.lines[0].reasons[0]["with_other_tools"]
    assert found.lines[0].bought_with == (found.lines[1].name,)
    assert found.net_cents_per_year == (14_000 - 8000) / 5


def test_the_set_that_was_asked_for_is_kept_when_it_gains_as_much(shop: Session) -> None:
    two_seats(shop, punch_A=4000, die_A=4000, punch_B=4000, die_B=4000)
    assert [one.kind for one in plan(shop).lines] == ["punch_A", "die_A"]


def test_a_punch_of_another_seat_that_is_bought_anyway_serves_both(shop: Session) -> None:
    two_seats(shop, punch_A=4000, die_A=4000, punch_B=4500, die_B=4500)
    row = {**A_PUNCH, "seat": "B", "kind": "punch_B"}
    die = {**row, "role": "die", "width_mm": 30.95625, "kind": "die_B"}
    # Words that cannot be read any more have no other way than the one on record.
    want(shop, [row, die], "hole of the old book", "24-2", quantity=100)
    assert [one.kind for one in plan(shop).lines] == ["punch_B", "die_B"]


def test_what_no_want_is_left_for_is_no_line(shop: Session) -> None:
    two_seats(shop, punch_A=9000, die_A=9000, punch_B=4000, die_B=4000)
    found = plan(shop, 1000)
    assert [(one.kind, one.within_budget) for one in found.lines] == [
        ("punch_A", False),
        ("die_A", False),
    ]
    around = plan(shop, 1000, around=True).around
    assert around is not None
    assert any("seat B" in name for one in around.outside for name in one.others)
