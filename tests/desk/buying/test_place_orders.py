"""Lines of what to buy made into orders, shown and cancelled."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.answer.find import find
from crib.desk.buying.buy import BuyLine
from crib.desk.buying.chosen_lines import OrderRequest, lines_to_order
from crib.desk.buying.place_orders import cancel_order, make_orders, show_orders
from crib.desk.buying.receive import Delivery, receive
from crib.errors import AskBack, BadValue, Missing, Refused, UnknownName
from crib.features.common.case import Circumstances
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import BundleLineRecord, BundleRecord
from tests.desk.buying_shop import LATER, log, plan, undone
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
        log(session, f"P-{name.upper()}", 400, 8, 1)
    yield session
    session.close()


def line_of_kind(session: Session, kind: str) -> str:
    return next(one.name for one in plan(session).lines if one.kind == kind)


def test_each_supplier_gets_an_order_of_its_own(shop: Session) -> None:
    names = (line_of_kind(shop, "punch one"), line_of_kind(shop, "punch two"))
    made = make_orders(shop, OrderRequest(names), by="nights", now=LATER)
    assert [(one.card.supplier, one.card.person) for one in made.orders] == [
        ("North", "nights"),
        ("South", "nights"),
    ]
    year = LATER.astimezone().year
    assert [one.card.number for one in made.orders] == [f"{year}-0001", f"{year}-0002"]
    assert [one.total_cents for one in made.orders] == [4000, 4000]


def test_what_is_ordered_is_not_to_be_bought_again(shop: Session) -> None:
    make_orders(shop, OrderRequest((line_of_kind(shop, "punch one"),)), now=LATER)
    found = plan(shop)
    assert "punch one" not in [one.kind for one in found.lines]
    assert [one.kind for one in found.on_order] == ["punch one"]


def test_cancelling_makes_it_wanted_again(shop: Session) -> None:
    made = make_orders(shop, OrderRequest((line_of_kind(shop, "punch one"),)), now=LATER)
    number = made.orders[0].card.number
    (left,) = cancel_order(shop, number, "too dear", now=LATER).orders
    assert left.card.state == "cancelled"
    assert "too dear" in left.card.note
    assert line_of_kind(shop, "punch one")
    with pytest.raises(Refused, match=r"nothing of order .* is to come"):
        cancel_order(shop, number, "again", now=LATER)


def test_a_line_without_a_supplier_asks_for_one(shop: Session) -> None:
    name = line_of_kind(shop, "punch 3")
    with pytest.raises(Missing, match="names no supplier"):
        make_orders(shop, OrderRequest((name,)), now=LATER)
    made = make_orders(shop, OrderRequest((name,), supplier=" East  Tool "), now=LATER)
    assert made.orders[0].card.supplier == "East Tool"


def test_nothing_stays_of_an_order_that_fails(shop: Session) -> None:
    names = (line_of_kind(shop, "punch one"), line_of_kind(shop, "punch 3"))
    with pytest.raises(Missing, match="names no supplier"):
        make_orders(shop, OrderRequest(names), now=LATER)
    assert show_orders(shop).orders == ()


def test_all_takes_what_is_within_the_budget(shop: Session) -> None:
    request = OrderRequest(everything=True, budget_cents=4000, supplier="North")
    made = make_orders(shop, request, now=LATER)
    assert sum(len(one.card.lines) for one in made.orders) == 1


@pytest.mark.parametrize(
    ("request_", "error", "match"),
    [
        (OrderRequest(), Missing, "nothing said"),
        (OrderRequest(("K999",)), UnknownName, "no line 'K999'"),
        (OrderRequest(everything=True, budget_cents=1), Refused, "within the budget"),
        (OrderRequest(("K1",), needed_by="2020-01-01"), BadValue, "before today"),
        (OrderRequest(("K1",), needed_by="soon"), BadValue, "not a day"),
        (OrderRequest(("K1",), supplier="x" * 81), BadValue, "at most 80"),
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
    names = tuple(one.name for one in plan(shop).lines if one.kind is None)
    made = make_orders(shop, OrderRequest(names, supplier="North"), now=LATER)
    lines = made.orders[0].card.lines
    assert [(one.role, one.job) for one in lines] == [("punch", "24-1"), ("die", "24-1")]
    assert shop.value("SELECT count(*) FROM kind") == before + 2
    assert not [one for one in plan(shop).lines if one.role == "die"]


def test_half_a_pair_is_refused(shop: Session) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=120, job="24-1"), now=LATER)
    first = next(one for one in plan(shop).lines if one.bought_with)
    with pytest.raises(Refused, match="is of use only with line"):
        make_orders(shop, OrderRequest((first.name,), supplier="North"), now=LATER)
    both = (first.name, *first.only_with[0])
    assert make_orders(shop, OrderRequest(both, supplier="North"), now=LATER).orders


def test_an_order_is_late_when_its_day_is_over(shop: Session) -> None:
    needed_by = (LATER + timedelta(days=5)).date().isoformat()
    request = OrderRequest((line_of_kind(shop, "punch one"),), needed_by=needed_by)
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
    (made,) = make_orders(shop, OrderRequest((line.name,)), now=LATER).orders
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


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(budget=st.one_of(st.none(), st.integers(0, 20_000)), ordered=st.integers(0, 3))
def test_a_line_keeps_its_name_whatever_is_ordered_and_whatever_money_there_is(
    shop: Session, budget: int | None, ordered: int
) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=120, job="24-1"), now=LATER)
    names = {(line.role, line.kind, line.what): line.name for line in plan(shop).lines}
    with undone(shop):
        if ordered:
            some = tuple(name for name in names.values() if name.startswith("K"))[:ordered]
            make_orders(shop, OrderRequest(some, supplier="North"), now=LATER)
        for line in plan(shop, budget).lines:
            assert line.name.rstrip("+") == names[line.role, line.kind, line.what]


def test_what_is_on_order_is_ordered_again_only_when_somebody_says_so(shop: Session) -> None:
    find(shop, "hole 1-1/16 thru 3/8 A36", Circumstances(quantity=120, job="24-1"), now=LATER)
    loose = tuple(line.name for line in plan(shop).lines if line.kind is None)
    names = (line_of_kind(shop, "punch one"), *loose)
    make_orders(shop, OrderRequest(names, supplier="North"), now=LATER)
    for name in names:
        with pytest.raises(AskBack, match="on order") as asked:
            make_orders(shop, OrderRequest((name,), supplier="North"), now=LATER)
        assert asked.value.confirm == "on-order"
    again = OrderRequest(names[:1], confirmed=yes_to("on-order"))
    (line,) = make_orders(shop, again, now=LATER).orders[0].card.lines
    assert (line.kind, line.quantity) == ("punch one", 1)


def test_two_buyers_at_once_order_a_line_once(
    shop: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other one orders between our look at the crib and our writing."""
    name = line_of_kind(shop, "punch one")
    looked: list[str] = []

    def look_and_be_overtaken(session: Session, *words: Any) -> list[BuyLine]:
        lines = lines_to_order(session, *words)
        if not looked:
            looked.append(name)
            with closing(open_crib(session.path)) as other:
                make_orders(other, OrderRequest((name,)), by="nights", now=LATER)
        return lines

    monkeypatch.setattr("crib.desk.buying.place_orders.lines_to_order", look_and_be_overtaken)
    with pytest.raises(AskBack, match="1 x punch one on order"):
        make_orders(shop, OrderRequest((name,)), now=LATER)
    assert [one.card.person for one in show_orders(shop, now=LATER).orders] == ["nights"]
