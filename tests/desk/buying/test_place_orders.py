"""Lines of what to buy made into orders, shown and cancelled."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from crib.desk.answer.find import find
from crib.desk.buying.place_orders import OrderRequest, cancel_order, make_orders, show_orders
from crib.desk.buying.receive import Delivery, receive
from crib.errors import BadValue, Missing, Refused, UnknownName
from crib.features.common.case import Circumstances
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import BundleLineRecord, BundleRecord
from tests.desk.buying_shop import LATER, plan
from tests.shop import add_kind, add_piece, insert, small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """Kinds of which the shop keeps more than it has, two with a supplier and one without."""
    session = small_shop(tmp_path / "shop.crib")
    seat_id = session.value("SELECT id FROM seat WHERE name = 'A'")
    for name, width, supplier in (("one", "1/2", "North"), ("two", "5/8", "South"), ("3", "1", "")):
        kind_id = add_kind(
            session,
            role="punch",
            width=width,
            seat_id=seat_id,
            name=f"punch {name}",
            price_cents=4000,
            supplier=supplier,
            least_count=2,
            length_mm=70.0,
        )
        add_piece(session, f"P-{name.upper()}", kind_id)
    yield session
    session.close()


def rank_of(session: Session, kind: str) -> int:
    return next(one.rank for one in plan(session).lines if one.kind == kind)


def test_each_supplier_gets_an_order_of_its_own(shop: Session) -> None:
    ranks = (rank_of(shop, "punch one"), rank_of(shop, "punch two"))
    made = make_orders(shop, OrderRequest(ranks), by="nights", now=LATER)
    assert [(one.card.supplier, one.card.person) for one in made.orders] == [
        ("North", "nights"),
        ("South", "nights"),
    ]
    year = LATER.astimezone().year
    assert [one.card.number for one in made.orders] == [f"{year}-0001", f"{year}-0002"]
    assert [one.total_cents for one in made.orders] == [4000, 4000]


def test_what_is_ordered_is_not_to_be_bought_again(shop: Session) -> None:
    make_orders(shop, OrderRequest((rank_of(shop, "punch one"),)), now=LATER)
    found = plan(shop)
    assert "punch one" not in [one.kind for one in found.lines]
    assert [one.kind for one in found.on_order] == ["punch one"]


def test_cancelling_makes_it_wanted_again(shop: Session) -> None:
    made = make_orders(shop, OrderRequest((rank_of(shop, "punch one"),)), now=LATER)
    number = made.orders[0].card.number
    (left,) = cancel_order(shop, number, "too dear", now=LATER).orders
    assert left.card.state == "cancelled"
    assert "too dear" in left.card.note
    assert rank_of(shop, "punch one")
    with pytest.raises(Refused, match=r"nothing of order .* is to come"):
        cancel_order(shop, number, "again", now=LATER)


def test_a_line_without_a_supplier_asks_for_one(shop: Session) -> None:
    rank = rank_of(shop, "punch 3")
    with pytest.raises(Missing, match="names no supplier"):
        make_orders(shop, OrderRequest((rank,)), now=LATER)
    made = make_orders(shop, OrderRequest((rank,), supplier=" East  Tool "), now=LATER)
    assert made.orders[0].card.supplier == "East Tool"


def test_nothing_stays_of_an_order_that_fails(shop: Session) -> None:
    ranks = (rank_of(shop, "punch one"), rank_of(shop, "punch 3"))
    with pytest.raises(Missing, match="names no supplier"):
        make_orders(shop, OrderRequest(ranks), now=LATER)
    assert show_orders(shop).orders == ()


def test_all_takes_what_is_within_the_budget(shop: Session) -> None:
    request = OrderRequest(everything=True, budget_cents=4000, supplier="North")
    made = make_orders(shop, request, now=LATER)
    assert sum(len(one.card.lines) for one in made.orders) == 1


@pytest.mark.parametrize(
    ("request_", "error", "match"),
    [
        (OrderRequest(), Missing, "nothing said"),
        (OrderRequest((99,)), UnknownName, "no line 99"),
        (OrderRequest(everything=True, budget_cents=1), Refused, "within the budget"),
        (OrderRequest((1,), needed_by="2020-01-01"), BadValue, "before today"),
        (OrderRequest((1,), needed_by="soon"), BadValue, "not a day"),
        (OrderRequest((1,), supplier="x" * 81), BadValue, "at most 80"),
    ],
)
def test_what_makes_no_sense_is_refused(
    shop: Session, request_: OrderRequest, error: type[Exception], match: str
) -> None:
    with pytest.raises(error, match=match):
        make_orders(shop, request_, now=LATER)


def test_a_tool_that_is_no_kind_yet_becomes_one(shop: Session) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=120, job="24-1"), now=LATER)
    before = shop.value("SELECT count(*) FROM kind")
    ranks = tuple(one.rank for one in plan(shop).lines if one.kind is None)
    made = make_orders(shop, OrderRequest(ranks, supplier="North"), now=LATER)
    lines = made.orders[0].card.lines
    assert [(one.role, one.job) for one in lines] == [("punch", "24-1"), ("die", "24-1")]
    assert shop.value("SELECT count(*) FROM kind") == before + 2
    assert not [one for one in plan(shop).lines if one.role == "die"]


def test_half_a_pair_is_refused(shop: Session) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=120, job="24-1"), now=LATER)
    first = next(one for one in plan(shop).lines if one.bought_with)
    with pytest.raises(Refused, match="is of use only with line"):
        make_orders(shop, OrderRequest((first.rank,), supplier="North"), now=LATER)
    both = (first.rank, *first.only_with[0])
    assert make_orders(shop, OrderRequest(both, supplier="North"), now=LATER).orders


def test_an_order_is_late_when_its_day_is_over(shop: Session) -> None:
    needed_by = (LATER + timedelta(days=5)).date().isoformat()
    request = OrderRequest((rank_of(shop, "punch one"),), needed_by=needed_by)
    made = make_orders(shop, request, now=LATER)
    assert not made.orders[0].late
    (after,) = show_orders(shop, now=LATER + timedelta(days=7)).orders
    assert after.late
    assert after.days_open == 7


def test_an_unknown_number_names_the_known_ones(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no order has the number"):
        show_orders(shop, "2020-9999")


def packaged(session: Session) -> None:
    """A pair that is wanted, sold as a package with two punches of a kind nobody wants."""
    ask = Circumstances(quantity=400, job="24-1")
    find(session, "hole 1-1/16 thru 3/8 A36", ask, now=LATER)
    seat_id = session.value("SELECT id FROM seat WHERE name = 'A'")
    bundle = insert(session, BundleRecord, supplier="North", name="big holes", price_cents=10_001)
    sorts = (("punch", "1-1/16", 1), ("die", "1-3/32", 1), ("punch", "2", 2))
    for role, width, quantity in sorts:
        name = f"{role} {width}"
        kind_id = add_kind(session, role=role, width=width, seat_id=seat_id, name=name)
        insert(session, BundleLineRecord, bundle_id=bundle, kind_id=kind_id, quantity=quantity)


def test_a_package_is_ordered_by_its_kinds_and_received_as_pieces(shop: Session) -> None:
    packaged(shop)
    (line,) = (one for one in plan(shop).lines if one.role == "package")
    assert [(one.kind, one.quantity, one.useful) for one in line.contents] == [
        ("punch 1-1/16", 1, 1),
        ("die 1-3/32", 1, 1),
        ("punch 2", 2, 0),
    ]
    (made,) = make_orders(shop, OrderRequest((line.rank,)), now=LATER).orders
    assert (made.card.supplier, made.total_cents) == ("North", 10_001)
    assert [(one.kind, one.quantity, one.price_cents) for one in made.card.lines] == [
        ("punch 1-1/16", 1, 2500),
        ("die 1-3/32", 1, 2500),
        ("punch 2", 1, 2501),
        ("punch 2", 1, 2500),
    ]
    assert made.card.lines[0].text == "1 x punch 1-1/16, of your package big holes"
    again = plan(shop)
    assert "24-1" not in [one.spec.job for one in again.lines]
    came = receive(shop, Delivery(made.card.number), now=LATER)
    assert [(one.what, one.count) for one in came.lines] == [
        ("punch 1-1/16", 1),
        ("die 1-3/32", 1),
        ("punch 2", 1),
        ("punch 2", 1),
    ]
    assert find(shop, "hole 1-1/16 thru 3/8 A36", record=False, now=LATER).serves


def test_a_kind_of_a_package_without_a_price_of_its_own_gets_a_usual_share(shop: Session) -> None:
    packaged(shop)
    shop.connection.execute("UPDATE kind SET price_cents = 6000 WHERE name LIKE '% 1-%'")
    (line,) = (one for one in plan(shop).lines if one.role == "package")
    assert [one.prices for one in line.contents] == [
        ((1, 2500),),
        ((1, 2500),),
        ((1, 2501), (1, 2500)),
    ]


def test_the_lines_are_those_of_the_day_to_arrive_by(shop: Session) -> None:
    sql = "UPDATE kind SET lead_days = ? WHERE name = ?"
    shop.connection.execute(sql, (30, "punch one"))
    shop.connection.execute(sql, (3, "punch two"))
    day = (LATER + timedelta(days=9)).date()
    by_day = plan(shop, by=day)
    assert [one.kind for one in by_day.lines if one.within_budget] == ["punch two"]
    request = OrderRequest(everything=True, arrive_by=day.isoformat())
    (made,) = make_orders(shop, request, now=LATER).orders
    assert [one.kind for one in made.card.lines] == ["punch two"]
