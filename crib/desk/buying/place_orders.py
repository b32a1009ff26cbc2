"""Lines of what to buy made into orders, one to each supplier; open orders shown and cancelled."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

from crib.acts import Said, act, saying
from crib.desk.buying.buy import BuyLine
from crib.desk.buying.chosen_lines import OrderRequest, lines_to_order
from crib.desk.buying.late_orders import late_orders
from crib.desk.buying.site_shares import Share, for_sites, shares_of, whole_company
from crib.desk.common.acting import read_day, require_reason, stamp_for, today_of
from crib.desk.common.kinds import kind_of_spec
from crib.errors import BadValue, Missing, Refused, UnknownName
from crib.features.common.order_gaps import order_gaps
from crib.stock.book.ledger import Stamp
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.buying import lead_times_seen, orders_state
from crib.stock.queries.demand import open_orders
from crib.stock.queries.kinds import kind_named
from crib.stock.writers.purchases import (
    NewLine,
    PurchaseCard,
    PurchaseLine,
    add_purchase,
    cancel_lines,
    purchase_called,
    purchases,
)

LONGEST_TEXT = 1000
LONGEST_NAME = 80


@dataclass(frozen=True, slots=True)
class PlacedOrder:
    """One order as it stands. ``sites`` are the names of a company's several sites."""

    card: PurchaseCard
    currency: str
    days_open: int
    days_late: int
    sites: Mapping[int, str] = field(default_factory=dict)

    @property
    def late(self) -> bool:
        """Whether it should be here by now."""
        return self.days_late > 0

    def site_of(self, line: PurchaseLine) -> str:
        """Where a line is delivered; nothing where there is but one site."""
        return self.sites.get(line.site_id or 0, "")

    def _site_json(self, line: PurchaseLine) -> dict[str, Any]:
        return {"site": self.site_of(line) or None} if self.sites else {}

    @property
    def gaps(self) -> tuple[tuple[int, str], ...]:
        """What the supplier would phone about, line by line."""
        return tuple((line.line, gap) for line in self.card.lines for gap in gaps_of(line))

    @property
    def total_cents(self) -> int | None:
        """The sum of its lines; None while a price is not known."""
        prices = [line.price_cents for line in self.card.lines]
        if None in prices:
            return None
        return sum((line.price_cents or 0) * line.quantity for line in self.card.lines)

    def as_json(self) -> dict[str, Any]:
        """The order for programs."""
        return {
            "number": self.card.number,
            "supplier": self.card.supplier,
            "made_on": self.card.made_on,
            "needed_by": self.card.needed_by or None,
            "state": self.card.state,
            "by": self.card.person,
            "days_open": self.days_open,
            "late": self.late,
            "days_late": self.days_late,
            "currency": self.currency,
            "total_cents": self.total_cents,
            "lines": [line_json(line) | self._site_json(line) for line in self.card.lines],
        }


@dataclass(frozen=True, slots=True)
class Orders:
    """Some orders, and what to know of them."""

    orders: tuple[PlacedOrder, ...]
    notes: tuple[Said, ...] = ()


def gaps_of(line: PurchaseLine) -> tuple[str, ...]:
    """What the supplier would phone about of a line; a line without figures says nothing of it."""
    return order_gaps(line.spec) if line.spec else ()


def line_json(one: PurchaseLine) -> dict[str, Any]:
    """One line of an order for programs."""
    return {
        "line": one.line,
        "kind": one.kind,
        "text": one.text,
        "quantity": one.quantity,
        "received": one.received,
        "to_come": one.to_come,
        "price_cents": one.price_cents,
        "needed_by": one.needed_by or None,
        "job": one.job or None,
        "gaps": list(gaps_of(one)),
        "specification": one.spec.as_json() if one.spec else None,
    }


@dataclass(frozen=True, slots=True)
class ReadyOrders:
    """Lines that were worked out to be ordered; it holds while what is on order is as ``seen``."""

    request: OrderRequest
    lines: tuple[BuyLine, ...]
    shares: tuple[Share, ...]
    seen: tuple[int, ...]


def ready_orders(
    session: Session, request: OrderRequest, *, now: datetime | None = None
) -> ReadyOrders:
    """Work out what is to be bought of the lines named. Reads only, and may take seconds.

    Raises:
        UnknownName: for a name that is no line's.
        AskBack: for a line of which there is nothing to buy because it is on order.
        Missing: when nothing was said to be ordered, or a line has no supplier.
        Refused: for half of what is only of use together, or a quotation that is still to be had.
        BadValue: for shares of the sites that are not the line's quantity.
    """
    request = replace(
        request,
        supplier=_tidy(request.supplier, "the supplier's name"),
        needed_by=_needed_by(request.needed_by, today_of(now)),
    )
    seen = orders_state(session)
    with whole_company(session) if request.shares else nullcontext():
        lines = lines_to_order(session, request, now)
    shares = shares_of(session, request.shares, lines)
    return ReadyOrders(request, tuple(lines), tuple(shares), seen)


def place_orders(
    session: Session, ready: ReadyOrders, *, by: str = "", now: datetime | None = None
) -> Orders | None:
    """Write the purchases that were worked out; None when what is on order is not as it was.

    Raises:
        Missing: for a line that has no supplier.
    """
    with session.writing():
        if orders_state(session) != ready.seen:
            return None
        return _placed(session, ready.request, ready.lines, ready.shares, by, now)


def make_orders(
    session: Session, request: OrderRequest, *, by: str = "", now: datetime | None = None
) -> Orders:
    """Order lines of what is to be bought: one purchase to each supplier, with complete lines.

    A tool that is no kind yet becomes one, so that what comes can be counted against it. What to
    buy is worked out while others go on writing, and again when they ordered or received something
    meanwhile, at last with nobody else writing.

    Raises:
        UnknownName, AskBack, Missing, Refused, BadValue: as ``ready_orders``.
    """
    for last in (False, False, True):
        with session.writing() if last else nullcontext():
            ready = ready_orders(session, request, now=now)
            placed = place_orders(session, ready, by=by, now=now)
        if placed is not None:
            return placed
    raise AssertionError  # pragma: no cover - nobody else writes the last time


def _placed(
    session: Session,
    request: OrderRequest,
    lines: Sequence[BuyLine],
    shares: Sequence[Share],
    by: str,
    now: datetime | None,
) -> Orders:
    """Write the purchases of some lines, one to each supplier."""
    stamp = stamp_for(session, by, now=now)
    needed_by = request.needed_by
    by_supplier: dict[str, list[BuyLine]] = {}
    for line in lines:
        by_supplier.setdefault(_supplier(line, request.supplier), []).append(line)
    numbers = [
        add_purchase(
            session,
            stamp,
            name,
            needed_by,
            [
                split
                for line in some
                for new in _new_lines(session, line, needed_by)
                for split in for_sites(session, new, shares)
            ],
        )
        for name, some in by_supplier.items()
    ]
    return Orders(
        tuple(_ordered(session, [purchase_called(session, one) for one in numbers], stamp))
    )


def show_orders(session: Session, number: str = "", *, now: datetime | None = None) -> Orders:
    """One order by its number, or all open ones.

    Raises:
        UnknownName: when no order has that number.
    """
    stamp = stamp_for(session, "", now=now)
    cards = [purchase_called(session, number)] if number.strip() else purchases(session)
    return Orders(tuple(_ordered(session, cards, stamp)))


def cancel_order(
    session: Session,
    number: str,
    why: str,
    *,
    by: str = "",
    lines: Sequence[int] = (),
    now: datetime | None = None,
) -> Orders:
    """Expect nothing more of an order, or of some of its lines. What has come stays.

    Raises:
        UnknownName: for a number or line that is not there.
        BadValue: without a reason.
        Refused: when nothing of it is to come.
    """
    if not number.strip():
        message = "no order given to cancel"
        example = act("order.cancel", order="2026-0007", why=None)
        raise Missing(message, way_out=saying("such as: ", example))
    reason = require_reason(why, f"cancel order {number}")
    with session.writing():
        stamp = stamp_for(session, by, now=now)
        card = purchase_called(session, number)
        chosen = [line_of(card, line) for line in lines] or [one for one in card.lines if one.open]
        if not any(one.open for one in chosen):
            message = f"nothing of order {card.number} is to come"
            way_out = saying(act("order", order=card.number), " shows what came")
            raise Refused(message, way_out=way_out)
        cancel_lines(session, card, chosen, f"{stamp.shift_on} cancelled: {reason}")
    return show_orders(session, card.number, now=now)


def line_of(card: PurchaseCard, line: int) -> PurchaseLine:
    """A line of an order by its number.

    Raises:
        UnknownName: when it has no such line.
    """
    for one in card.lines:
        if one.line == line:
            return one
    message = f"order {card.number} has no line {line}"
    raise UnknownName(message, way_out=f"it has lines 1 to {len(card.lines)}")


def _supplier(line: BuyLine, told: str) -> str:
    name = told or line.supplier.strip()
    if not name:
        message = f"line {line.name}, {line.what}, names no supplier"
        raise Missing(message, way_out=saying("say whom to order from: ", act("say.supplier")))
    return name


def _new_lines(session: Session, line: BuyLine, needed_by: str) -> list[NewLine]:
    """A line as it is ordered; a package as one line for each kind, with its share of the price."""
    day, job, cents = line.spec.needed_by or needed_by, line.spec.job, line.unit_price_cents
    if not line.contents:
        kind_id = _kind_id(session, line.kind) or kind_of_spec(session, line.spec)
        text = _fitting(line.text, line)
        return [NewLine(text, line.quantity, kind_id, cents, day, job, line.spec)]
    return [
        NewLine(
            _fitting(f"{count} x {one.kind}, of your {line.what}", line),
            count,
            _kind_id(session, one.kind),
            cents,
            needed_by,
            "",
        )
        for one in line.contents
        for count, cents in one.prices
    ]


def _kind_id(session: Session, name: str | None) -> int | None:
    return None if name is None else kind_named(session, name)


def _fitting(text: str, line: BuyLine) -> str:
    if len(text) > LONGEST_TEXT:
        message = f"line {line.name} has {len(text)} letters, at most {LONGEST_TEXT}"
        raise BadValue(message, way_out="shorten the note of its kind")
    return text


def _needed_by(text: str, today: date) -> str:
    day = read_day(text, "the day it is needed by")
    if day is None:
        return ""
    if day < today:
        message = f"needed by {day}, which is before today, {today}"
        raise BadValue(message, way_out="give a day to come")
    return day.isoformat()


def _ordered(
    session: Session, cards: Sequence[PurchaseCard], stamp: Stamp
) -> Iterator[PlacedOrder]:
    today, rules = date.fromisoformat(stamp.shift_on), shop_rules(session)
    days_late: dict[str, int] = {}
    for one in late_orders(open_orders(session), lead_times_seen(session), rules, today):
        days_late[one.number] = max(one.days_late, days_late.get(one.number, 0))
    for card in cards:
        days, late = (today - date.fromisoformat(card.made_on)).days, days_late.get(card.number, 0)
        sites = session.at.names if session.at is not None and session.at.several else {}
        yield PlacedOrder(card, rules.text("crib.currency"), days, late, sites)


def _tidy(name: str, what: str) -> str:
    tidy = " ".join(name.split())
    if len(tidy) > LONGEST_NAME or not tidy.isprintable():
        message = f"{what} must be at most {LONGEST_NAME} letters on one line"
        raise BadValue(message)
    return tidy
