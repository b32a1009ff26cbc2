"""What an order brought: pieces in the crib, the order's count, lead times; what went back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from crib.desk.book.check import check_crib
from crib.desk.book.undo import undo_last
from crib.desk.buying.chosen_lines import OrderRequest
from crib.desk.buying.order_words import CameOfLine, read_delivery_words
from crib.desk.buying.place_orders import make_orders, show_orders
from crib.desk.buying.receive import Delivery, receive, send_back
from crib.desk.edges.look import LookRequest, record_look
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.engine.session import Session
from crib.stock.queries.buying import lead_times_seen
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.buying_shop import LATER, plan
from tests.shop import add_kind, add_piece, small_shop

pytestmark = pytest.mark.both_engines

CAME = LATER + timedelta(days=8)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A shop that has ordered three punches of one kind and a die of another."""
    session = small_shop(tmp_path / "shop.crib")
    seat_id = session.value("SELECT id FROM seat WHERE name = 'A'")
    for role, width, least in (("punch", "1/2", 4), ("die", "17/32", 2)):
        kind_id = add_kind(
            session,
            role=role,
            width=width,
            seat_id=seat_id,
            name=f"half-inch {role}",
            price_cents=4000,
            supplier="North",
            least_count=least,
        )
        add_piece(session, f"{role[0].upper()}-0100", kind_id)
    lines = [one for one in plan(session).lines if (one.kind or "").startswith("half-inch")]
    names = tuple(one.name for one in sorted(lines, key=lambda one: one.role, reverse=True))
    make_orders(session, OrderRequest(names), now=LATER)
    yield session
    session.close()


def number(session: Session) -> str:
    return show_orders(session, now=LATER).orders[0].card.number


def to_come(session: Session) -> list[int]:
    return [one.to_come for one in show_orders(session, number(session)).orders[0].card.lines]


def test_the_whole_order_comes_with_the_next_tags(shop: Session) -> None:
    order = number(shop)
    got = receive(shop, Delivery(order, place="A3"), by="nights", now=CAME)
    assert [(one.count, one.tags, one.to_come) for one in got.lines] == [
        (3, ("P-0141", "P-0142", "P-0143"), 0),
        (1, ("D-0302",), 0),
    ]
    assert (got.lead_days, got.state, got.place) == (8, "closed", "A3")
    card = piece_by_tag(shop, "P-0142")
    assert (card.condition, card.place, card.kind_name) == ("sound", "A3", "half-inch punch")
    bought = shop.row("SELECT bought_on, price_cents FROM piece WHERE tag = 'P-0142'")
    assert tuple(bought or ()) == (CAME.astimezone().date().isoformat(), 4000)
    assert ledger.rebuild(shop) == []


def test_a_part_leaves_the_rest_to_come(shop: Session) -> None:
    order = number(shop)
    got = receive(shop, Delivery(order, (CameOfLine(1, 2),)), now=CAME)
    assert [(one.count, one.to_come) for one in got.lines] == [(2, 1)]
    assert got.state == "open"
    assert "no drawer said" in str(got.notes[0])
    assert to_come(shop) == [1, 1]
    assert receive(shop, Delivery(order), now=CAME).state == "closed"


def test_tags_and_price_can_be_told(shop: Session) -> None:
    tags = ("X-1", "x-2", "X-3")
    receive(shop, Delivery(number(shop), (CameOfLine(1, 3),), tags, "A1", 4450), now=CAME)
    assert shop.value("SELECT price_cents FROM piece WHERE tag = 'X-2'") == 4450
    assert shop.value("SELECT price_cents FROM kind WHERE name = 'half-inch punch'") == 4450


def test_lead_times_are_remembered_by_supplier(shop: Session) -> None:
    assert lead_times_seen(shop) == {}
    receive(shop, Delivery(number(shop), (CameOfLine(1, 1),)), now=CAME)
    receive(shop, Delivery(number(shop), (CameOfLine(1, 1),)), now=CAME + timedelta(days=4))
    receive(shop, Delivery(number(shop), (CameOfLine(1, 1),)), now=CAME + timedelta(days=4))
    assert {name: seen.days for name, seen in lead_times_seen(shop).items()} == {"North": 12}


def test_a_wrong_piece_goes_back_and_is_expected_again(shop: Session) -> None:
    order = number(shop)
    receive(shop, Delivery(order), now=CAME)
    back = send_back(shop, ["P-0141", "P-0143"], "wrong seat", now=CAME)
    assert (back.number, back.supplier, back.to_come) == (order, "North", 2)
    assert to_come(shop) == [2, 0]
    assert piece_by_tag(shop, "P-0141").condition == "retired"
    assert ledger.rebuild(shop) == []
    again = receive(shop, Delivery(order), now=CAME)
    assert again.lines[0].tags == ("P-0144", "P-0145")
    assert show_orders(shop, order).orders[0].card.state == "closed"


def test_what_was_used_does_not_go_back(shop: Session) -> None:
    receive(shop, Delivery(number(shop)), now=CAME)
    record_look(shop, LookRequest("P-0141", sharp=True), now=CAME)
    with pytest.raises(Refused, match="has later entries"):
        send_back(shop, ["P-0141"], "blunt", now=CAME)
    assert to_come_of(shop) == 0


def to_come_of(session: Session) -> int:
    return int(session.value("SELECT sum(quantity - received) FROM order_line"))


def test_undo_points_to_the_order(shop: Session) -> None:
    receive(shop, Delivery(number(shop)), now=CAME)
    with pytest.raises(Refused, match="came with order"):
        undo_last(shop, "not mine", now=CAME)


@pytest.mark.parametrize(
    ("counts", "tags", "place", "error", "match"),
    [
        (((9, 1),), (), "", UnknownName, "no line 9"),
        (((1, 4),), (), "", Refused, "4 came, 3 are to come"),
        (((1, 0),), (), "", Refused, "0 came"),
        (((1, 1), (1, 1)), (), "", BadValue, "twice"),
        (((1, 2),), ("X-1",), "", BadValue, "1 tags for 2 pieces"),
        (((1, 2),), ("X-1", "X-1"), "", Refused, "taken"),
        (((1, 1),), ("P-0137",), "", Refused, "taken"),
        (((1, 1),), (), "nowhere", UnknownName, "no place"),
        (((1, 1),), (), "Ironworker 1 / punch", Refused, "station"),
    ],
)
def test_what_does_not_fit_is_refused_and_nothing_is_written(
    shop: Session,
    counts: tuple[tuple[int, int], ...],
    tags: tuple[str, ...],
    place: str,
    error: type[Exception],
    match: str,
) -> None:
    before = shop.value("SELECT count(*) FROM entry")
    order = number(shop)
    with pytest.raises(error, match=match):
        receive(
            shop, Delivery(order, tuple(CameOfLine(*one) for one in counts), tags, place), now=CAME
        )
    assert shop.value("SELECT count(*) FROM entry") == before
    assert to_come(shop) == [3, 1]


def test_pieces_of_no_order_are_retired_instead(shop: Session) -> None:
    with pytest.raises(Refused, match="came with no order"):
        send_back(shop, ["P-0137"], "wrong", now=CAME)


def test_pieces_of_two_lines_go_back_one_by_one(shop: Session) -> None:
    receive(shop, Delivery(number(shop)), now=CAME)
    with pytest.raises(Refused, match="2 orders or lines"):
        send_back(shop, ["P-0141", "D-0302"], "wrong", now=CAME)


def test_nothing_more_comes_of_a_closed_order(shop: Session) -> None:
    order = number(shop)
    receive(shop, Delivery(order), now=CAME)
    with pytest.raises(Refused, match="nothing of order"):
        receive(shop, Delivery(order), now=CAME)


def test_the_check_compares_each_order_with_its_deliveries(shop: Session) -> None:
    order = number(shop)
    receive(shop, Delivery(order), now=CAME)
    send_back(shop, ["P-0141"], "wrong seat", now=CAME)
    assert check_crib(shop, now=max(CAME, datetime.now(UTC))).sound
    with shop.writing():
        shop.run("UPDATE order_line SET received = received + 1 WHERE received < quantity")
    wrong = [one for one in check_crib(shop, now=max(CAME, datetime.now(UTC))).checks if not one.ok]
    assert [one.name for one in wrong] == ["each order has as many as its deliveries make"]
    assert "its deliveries make 2" in wrong[0].faults[0]


def test_a_price_that_came_fills_the_line_that_had_none(shop: Session) -> None:
    order = number(shop)
    shop.connection.execute("UPDATE order_line SET price_cents = NULL")
    _number, counts = read_delivery_words([order, "1=1@48.50", "2=1@0"])
    receive(shop, Delivery(order, counts, price_cents=9900), now=CAME)
    prices = "SELECT price_cents FROM order_line ORDER BY id"
    assert [row[0] for row in shop.rows(prices)] == [4850, 0]
    receive(shop, Delivery(order, price_cents=5000), now=CAME)
    assert [row[0] for row in shop.rows(prices)] == [4850, 0]
    paid = shop.rows("SELECT price_cents FROM receipt ORDER BY id")
    assert [row[0] for row in paid] == [4850, 0, 5000]


def test_what_came_is_told_as_it_is_stored(shop: Session) -> None:
    got = receive(shop, Delivery(number(shop), place="A3"), now=CAME)
    stored = [piece_by_tag(shop, tag) for line in got.lines for tag in line.tags]
    assert len(stored) == sum(line.count for line in got.lines)
    assert {card.place for card in stored} == {got.place}
