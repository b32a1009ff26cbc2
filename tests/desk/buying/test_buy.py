"""What to buy for the shelf's sake: each reason, how they join, what is taken off, the budget."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from crib.acts import Fact, Saying, fact
from crib.cli.wording import worded
from crib.desk.answer.find import find
from crib.errors import BadValue, UnknownName
from crib.features.common.case import Circumstances
from crib.features.common.tool_spec import ToolSpec
from crib.stock.book import ledger
from crib.stock.book.settings import set_rule
from crib.stock.engine.session import Session
from crib.stock.queries.order_specs import spec_text
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import OrderLineRecord
from tests.desk.buying_shop import LATER, go, log, only, plan, punch, seat
from tests.desk.rows import nothing_changes
from tests.shop import add_kind, add_piece, insert, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def test_a_shop_that_misses_nothing_buys_nothing(shop: Session) -> None:
    with nothing_changes(shop):
        found = plan(shop)
    assert (found.lines, found.spent_cents, found.notes) == ((), 0, ())


def test_a_piece_past_its_last_grind_is_replaced(shop: Session) -> None:
    kind = punch(shop, "15/16", regrind_mm=0.0, price_cents=6150, supplier="North Street Tool")
    add_piece(shop, "P-0500", kind, wear=3499)
    assert plan(shop).lines == ()
    log(shop, "P-0500", 1, 1)
    line = only(plan(shop))
    first = line.reasons[0]
    assert (first.code, first["tags"]) == ("buy.past-grind", ("P-0500",))
    assert (line.price_cents, line.supplier) == (6150, "North Street Tool")


def test_a_piece_below_its_least_length_is_past_its_last_grind(shop: Session) -> None:
    kind = punch(shop, "15/16", length_mm=70.0, least_length_mm=67.0)
    add_piece(shop, "P-0500", kind, length_mm=66.9)
    assert only(plan(shop)).reasons[0]["tags"] == ("P-0500",)


@pytest.mark.parametrize("condition", ["broken", "lost", "retired"])
@pytest.mark.parametrize(("days_ago", "lines"), [(90, 1), (91, 0)])
def test_what_is_gone_is_replaced_when_it_went_of_late(
    shop: Session, condition: str, days_ago: int, lines: int
) -> None:
    go(shop, "P-0140", condition, days_ago)
    found = plan(shop)
    assert len(found.lines) == lines
    if lines:
        first = found.lines[0].reasons[0]
        assert (first.code, first["tags"]) == ("buy.gone", (("P-0140", condition),))


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
    first = line.reasons[0]
    assert first.code == "buy.single"
    assert first["uses_per_week"] == pytest.approx(1.0, abs=0.05)
    # 1 - exp(-5,200 / 25,000) = 0.1878; 150.00 and ten days of 14.25 holes at 1.40: 349.45;
    # a second breakage within the ten days, 1 - exp(-0.0057), is not covered.
    assert line.value_cents_per_year == 6525
    assert [worded(figure) for figure in line.figures] == [
        "19 % chance a year of a breakage x (USD 150.00 lost + 142 strokes x USD 1.40 more by"
        " drill) x 99 % covered by it",
    ]


def test_what_is_gone_counts_its_use_and_what_stands_in_for_it(shop: Session) -> None:
    """The only punch takes either die: the lost one is a spare, and idle it is let go."""
    go(shop, "D-0202", "lost")
    found = plan(shop)
    assert found.lines == ()
    (note,) = map(str, found.notes)
    assert "buy.let-go" in note
    assert "D-0202" in note
    log(shop, "D-0202", 100, *range(60, 365, 30))
    line = only(plan(shop))
    assert line.reasons[0]["stand_in"] == piece_by_tag(shop, "D-0201").kind_name
    # 1 - exp(-1,100 / 25,000) = 4.3 % x 150.00, of which a second within ten days is not covered.
    assert line.value_cents_per_year == 645


def test_a_lone_die_for_which_another_can_stand_in_risks_less(shop: Session) -> None:
    log(shop, "D-0201", 100, *range(1, 365, 7))
    line = only(plan(shop))
    other = piece_by_tag(shop, "D-0202").kind_name
    assert line.reasons[0]["stand_in"] == other
    (figure,) = line.figures
    assert (figure["missed"], round(figure["down_cents"])) == (0, 15_000)
    assert (round(figure["chance"], 2), round(figure["covered"], 2)) == (0.19, 0.99)


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
    first = line.reasons[0]
    assert (first.code, first["there"]) == ("buy.few-dies", 1)
    assert (first["punches"], first["each"]) == (3, 2)


def test_of_two_dies_the_busier_is_bought_and_of_two_alike_the_smaller(shop: Session) -> None:
    kind = piece_by_tag(shop, "P-0137").kind_id
    for tag in ("P-0138", "P-0139", "P-0141", "P-0142"):
        add_piece(shop, tag, kind)
    log(shop, "P-0137", 100, *range(1, 365, 5))
    assert _raised_for_its_punches(shop) == [piece_by_tag(shop, "D-0201").kind_name]
    log(shop, "D-0202", 50, *range(1, 365, 5))
    assert _raised_for_its_punches(shop) == [piece_by_tag(shop, "D-0202").kind_name]


def _raised_for_its_punches(shop: Session) -> list[str | None]:
    return [
        line.kind
        for line in plan(shop).lines
        if "buy.few-dies" in {reason.code for reason in line.reasons}
    ]


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
    assert "buy.reorder" in [reason.code for reason in only(found).reasons]


ORDERED_ON = (LATER - timedelta(days=3)).date().isoformat()


def test_open_orders_are_taken_off_and_said(shop: Session) -> None:
    kind = punch(shop, "15/16", least_count=3, name="round punch 15/16 in, seat A")
    insert(
        shop,
        OrderLineRecord,
        kind_id=kind,
        text="2 punches",
        quantity=4,
        received=2,
        ordered_on=ORDERED_ON,
    )
    found = plan(shop)
    assert only(found).quantity == 1
    assert only(found).reasons[-1] == fact("buy.on-order", count=2, since=ORDERED_ON)
    assert [(one.kind, one.quantity) for one in found.on_order] == [
        ("round punch 15/16 in, seat A", 2)
    ]


@pytest.mark.parametrize(
    ("ordered", "needed", "days_late", "given_up"),
    [
        (9, None, 0, False),  # 10 days to deliver are usual.
        (11, None, 1, False),
        (40, None, 30, False),
        (41, None, 31, True),
        (9, 1, 1, False),
        (11, -5, 1, False),
        (41, 20, 31, False),  # Needed only 20 days ago.
        (60, 31, 50, True),
    ],
)
def test_a_late_order_is_chased_and_at_last_not_waited_for(
    shop: Session, ordered: int, needed: int | None, days_late: int, given_up: bool
) -> None:
    kind = punch(shop, "15/16", name="the punch", price_cents=4000)
    add_piece(shop, "P-0500", kind)
    log(shop, "P-0500", 100, *range(1, 365, 7))
    day = "" if needed is None else (LATER - timedelta(days=needed)).date().isoformat()
    on = (LATER - timedelta(days=ordered)).date().isoformat()
    columns = {"text": "1 punch", "supplier": "North", "ordered_on": on, "needed_by": day}
    insert(shop, OrderLineRecord, kind_id=kind, quantity=1, **columns)
    found = plan(shop)
    chased = [(one.order.supplier, one.days_late, one.given_up) for one in found.late]
    assert chased == ([("North", days_late, given_up)] if days_late else [])
    assert len(found.lines) == given_up
    assert len(found.on_order) == (not given_up)
    if given_up:
        told = fact("buy.given-up", number="", count=1, days_late=days_late)
        assert told in found.lines[0].reasons


ORDERED = ToolSpec("punch", shape="round", width_mm=15 / 16 * 25.4, seat_name="A")


@pytest.mark.parametrize(
    ("spec", "covers"),
    [
        (ORDERED, True),
        (replace(ORDERED, long_mm=15 / 16 * 25.4, length_mm=70.0, job="J-1"), True),
        (replace(ORDERED, seat_name="AB"), False),
        (replace(ORDERED, width_mm=31 / 16 * 25.4), False),
        (replace(ORDERED, shape="obround", long_mm=50.8), False),
        (replace(ORDERED, role="die", width_mm=31 / 32 * 25.4), False),
        (None, False),
    ],
)
def test_an_order_that_names_no_kind_counts_when_it_specifies_the_tool(
    shop: Session, spec: ToolSpec | None, covers: bool
) -> None:
    punch(shop, "15/16", least_count=1)
    text = "1 punch, round 15/16 in, seat A"
    insert(shop, OrderLineRecord, text=text, quantity=1, specification=spec_text(spec))
    found = plan(shop)
    assert len(found.lines) == (0 if covers else 1)
    assert any("buy.covered" in str(note) for note in found.notes) is covers


def test_a_specification_that_cannot_be_read_counts_for_nothing(shop: Session) -> None:
    punch(shop, "15/16", least_count=1)
    insert(shop, OrderLineRecord, text="1 punch", quantity=1, specification='{"role": ')
    assert len(plan(shop).lines) == 1


def test_the_shops_least_count_is_kept_with_a_word_when_it_is_too_much(shop: Session) -> None:
    kind = punch(shop, "15/16", least_count=10)
    add_piece(shop, "P-0500", kind)
    log(shop, "P-0500", 100, 1, 100)
    line = only(plan(shop))
    assert line.quantity == 9
    assert line.reasons[-2] == fact("buy.least-over-use", months=12, most=2)
    assert line.reasons[-1].code == "buy.thin"


def test_nobody_buys_beyond_the_horizon(shop: Session) -> None:
    kind = punch(shop, "15/16", regrind_mm=0.0, interval_strokes=1000, lead_days=300)
    add_piece(shop, "P-0500", kind)
    log(shop, "P-0500", 70, *range(1, 365, 5))
    # 300 days of 14 strokes a day wear 4.2 pieces; 3.4 more keep the service; a year wears 5.2.
    assert only(plan(shop)).quantity == 7
    set_rule(shop, ledger.new_stamp(1), "buy.horizon_months", "3", "cash is short")
    line = only(plan(shop))
    assert line.quantity == 3
    assert line.reasons[-1] == fact("buy.held-back", count=5, months=3, most=3)


def test_reasons_of_one_kind_join_on_one_line(shop: Session) -> None:
    shop.connection.execute("UPDATE kind SET least_count = 2 WHERE id = 1")
    log(shop, "P-0137", 100, *range(1, 365, 5))
    line = only(plan(shop))
    assert line.quantity == 1
    assert [reason.code for reason in line.reasons] == ["buy.least-count", "buy.single"]


def test_the_budget_buys_what_is_worth_most_and_lists_the_rest(shop: Session) -> None:
    for number, price in enumerate((7000, 5000, 5000)):
        kind = punch(shop, f"1-{2 * number + 1}/16", least_count=2, price_cents=price)
        add_piece(shop, f"P-060{number}", kind)
        log(shop, f"P-060{number}", 200 + 100 * (number == 0), *range(1, 30))
    found = plan(shop, 10_000)
    assert [(one.price_cents, one.within_budget) for one in found.lines] == [
        (5000, True),
        (5000, True),
        (7000, False),
    ]
    assert (found.budget_cents, found.spent_cents) == (10_000, 10_000)
    assert len({one.name for one in found.lines}) == 3


def test_a_shop_rule_changes_what_a_hole_is_worth(shop: Session) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=60), now=LATER)
    set_rule(shop, ledger.new_stamp(1), "buy.rate_per_hour_cents", "12000", "dearer")
    # Once, so over the 5 years that a tool serves at most.
    assert sum(one.value_cents_per_year for one in plan(shop).lines) == 60 * (250 + 15) / 5


def test_a_shaped_tool_without_its_key_angle_is_not_ready_to_send(shop: Session) -> None:
    add_kind(shop, role="die", width="1", shape="square", seat_id=seat(shop), least_count=1)
    assert only(plan(shop)).gaps == ("the key angle to the throat",)


def test_why_tells_the_figures_of_a_kind_that_is_not_bought(shop: Session) -> None:
    log(shop, "P-0137", 100, 1, 2)
    found = plan(shop, why="PUNCH 13/16")
    assert found.lines == ()
    stock, use, *_others = [note.parts[0] for note in found.notes if isinstance(note, Saying)]
    assert isinstance(stock, Fact)
    assert isinstance(use, Fact)
    assert stock["kind"].startswith("round punch 13/16")
    assert found.on_order == ()
    assert (stock["usable"], stock["spent"]) == (1, 0)
    assert (use["strokes"], use["days"]) == (200, 365)


def test_why_of_nothing_is_refused(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no kind is called 'spoon'"):
        plan(shop, why="spoon")


def test_a_budget_below_nothing_is_refused(shop: Session) -> None:
    with pytest.raises(BadValue, match="budget=-1 cents must be >= 0"):
        plan(shop, -1)


def test_a_smaller_die_never_stands_in_for_a_bigger_one(shop: Session) -> None:
    die = add_kind(shop, role="die", width="29/32", seat_id=seat(shop), name="die for 7/8")
    add_piece(shop, "D-0999", die)
    log(shop, "D-0999", 100, *range(1, 365, 7))
    line = next(one for one in plan(shop).lines if one.kind == "die for 7/8")
    assert line.reasons[0]["stand_in"] == ""
