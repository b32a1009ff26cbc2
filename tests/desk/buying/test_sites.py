"""Buying in a company of three sites: what each can spare, whose wants, one order for two sites.

Worked by hand first. North and South are two days apart, East is one day from either; new tools
take ten days.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import Saying, fact
from crib.desk.answer.find import find
from crib.desk.book.check import check_crib
from crib.desk.buying.buy import BuyPlan
from crib.desk.buying.chosen_lines import OrderRequest
from crib.desk.buying.order_words import CameOfLine, read_share
from crib.desk.buying.place_orders import Orders, make_orders, show_orders
from crib.desk.buying.receive import Delivery, receive
from crib.errors import BadInput, BadValue, Refused, UnknownName
from crib.features.common.case import Circumstances
from crib.stock.book.sites import add_site, set_days, site_called, stand_at
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.all_tables import OfferRecord
from tests.company import small_company
from tests.desk.buying_shop import LATER, log, only, plan
from tests.shop import add_kind, add_piece, insert, small_shop

pytestmark = pytest.mark.both_engines
NORTH, SOUTH, EAST = 1, 2, 3


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Session]:
    session = small_company(tmp_path / "company.crib")
    yield session
    session.close()


def at(session: Session, site: int | None) -> BuyPlan:
    stand_at(session, site)
    return plan(session)


def said(found: BuyPlan) -> list[object]:
    return [part for note in found.notes if isinstance(note, Saying) for part in note.parts]


def more_punches(session: Session, *tags: str) -> None:
    """More of North's only 13/16 punch, at South."""
    kind = piece_by_tag(session, "P-0137").kind_id
    for tag in tags:
        add_piece(session, tag, kind, place="S1")


def test_a_spare_of_another_site_is_sent_and_not_bought(company: Session) -> None:
    """North's punch runs weekly: single there; of two at South one can be spared, in 2 days."""
    log(company, "P-0137", 100, *range(1, 365, 7))
    assert only(at(company, NORTH)).reasons[0].code == "buy.single"
    more_punches(company, "P-0601")  # Which South keeps.
    assert only(at(company, NORTH)).quantity == 1
    more_punches(company, "P-0602")
    found = at(company, NORTH)
    assert found.lines == ()
    name = piece_by_tag(company, "P-0137").kind_name
    assert fact("buy.elsewhere", what=name, site="South", count=1, days=2) in said(found)
    assert at(company, None).lines == ()


@pytest.mark.parametrize(("days", "lines"), [(9, 0), (10, 1)])
def test_it_is_bought_where_that_is_no_slower(company: Session, days: int, lines: int) -> None:
    log(company, "P-0137", 100, *range(1, 365, 7))
    more_punches(company, "P-0601", "P-0602")
    with company.writing():
        set_days(company, site_called(company, "North"), site_called(company, "South"), days)
    assert len(at(company, NORTH).lines) == lines


def test_the_first_site_takes_the_wants_and_orders_that_are_there(tmp_path: Path) -> None:
    session = small_shop(tmp_path / "shop.crib")
    facts = Circumstances(quantity=100, job="old")
    find(session, "hole 1-1/16 thru 3/8 A36", facts, now=LATER)
    lines = len(plan(session).lines)
    with session.writing():
        add_site(session, "North", "")
        add_site(session, "South", "")
    assert [len(at(session, site).lines) for site in (NORTH, SOUTH)] == [lines, 0]
    assert [at(session, site).site for site in (NORTH, None)] == ["North", ""]
    session.close()


def test_each_site_sees_its_own_wants_and_the_company_all(company: Session) -> None:
    for site, job, count in ((NORTH, "n", 100), (SOUTH, "s", 60)):
        stand_at(company, site)
        facts = Circumstances(quantity=count, job=job)
        find(company, "hole 1-1/16 thru 3/8 A36", facts, now=LATER)
    jobs = {
        site: {reason["job"] for line in at(company, site).lines for reason in line.reasons[:1]}
        for site in (NORTH, SOUTH, EAST)
    }
    assert jobs == {NORTH: {"n"}, SOUTH: {"s"}, EAST: set()}
    every = at(company, None).lines
    # 100 x 1.40 and 60 x 1.40, two jobs of three: (1/5 + 1) / 2 of it a year.
    assert sum(line.value_cents_per_year for line in every) == 22_400 * 0.6


def three_nuts(session: Session) -> str:
    """A nut of which the company keeps three and has none: 40.00 each, 35.00 from three on."""
    kind = add_kind(session, role="nut", width="2", least_count=3, name="nut")
    for least, cents in ((1, 4000), (3, 3500)):
        columns = {"supplier": "North Tool", "from_quantity": least, "price_cents": cents}
        insert(session, OfferRecord, kind_id=kind, **columns)
    return only(at(session, None)).name


def ordered(session: Session, *shares: tuple[str, int]) -> Orders:
    name = three_nuts(session)
    stand_at(session, NORTH)
    return make_orders(session, OrderRequest((name,), shares=shares), now=LATER)


def test_one_order_is_for_two_sites_at_the_price_of_all_and_received_at_each(
    company: Session,
) -> None:
    (order,) = ordered(company, ("North", 1), ("south", 2)).orders
    lines = [(order.site_of(one), one.quantity, one.price_cents) for one in order.card.lines]
    assert lines == [("North", 1, 3500), ("South", 2, 3500)]
    assert order.card.lines[1].text.endswith(", deliver to South")
    assert [len(at(company, site).on_order) for site in (NORTH, SOUTH, EAST)] == [1, 1, 0]
    stand_at(company, SOUTH)
    number = order.card.number
    with pytest.raises(Refused, match="line 1 is delivered to North, not to South"):
        receive(company, Delivery(number, (CameOfLine(1, 1),), place="S1"), now=LATER)
    came = receive(company, Delivery(number, place="S1"), now=LATER)
    assert [(line.line, line.count) for line in came.lines] == [(2, 2)]
    assert (came.place, came.state) == ("S1", "open")
    assert [len(at(company, site).on_order) for site in (NORTH, SOUTH)] == [1, 0]
    stand_at(company, NORTH)
    assert receive(company, Delivery(number, place="A1"), now=LATER).state == "closed"
    assert show_orders(company, number, now=LATER).orders[0].as_json()["lines"][1]["site"] == (
        "South"
    )
    assert at(company, None).lines == ()
    assert check_crib(company, now=LATER).sound


def test_what_nobody_shares_out_is_for_the_site_that_orders(company: Session) -> None:
    (order,) = ordered(company).orders
    assert [(order.site_of(one), one.quantity) for one in order.card.lines] == [("North", 3)]


@pytest.mark.parametrize(
    ("shares", "error", "match"),
    [
        ((("North", 1),), BadValue, "has 3, 1 are shared out"),
        ((("North", 1), ("North", 2)), BadValue, "has 3, 3 are shared out"),
        ((("West", 3),), UnknownName, "no site called"),
    ],
)
def test_shares_that_do_not_fit_order_nothing(
    company: Session,
    shares: tuple[tuple[str, int], ...],
    error: type[Exception],
    match: str,
) -> None:
    with pytest.raises(error, match=match):
        ordered(company, *shares)
    assert show_orders(company, now=LATER).orders == ()


def test_a_shop_of_one_site_has_nobody_to_share_with(tmp_path: Path) -> None:
    session = small_shop(tmp_path / "shop.crib")
    add_kind(session, role="nut", width="2", least_count=1, name="nut", price_cents=100)
    request = OrderRequest(everything=True, supplier="North Tool", shares=(("North", 1),))
    with pytest.raises(Refused, match="no several sites"):
        make_orders(session, request, now=LATER)
    session.close()


@pytest.mark.parametrize("text", ["North", "=2", "North=many"])
def test_a_share_is_a_site_and_a_count(text: str) -> None:
    with pytest.raises(BadInput):
        read_share(text)
