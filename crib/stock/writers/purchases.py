"""Purchases and what came of them: reading and writing, each in the caller's transaction."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from crib.acts import act, saying
from crib.errors import UnknownName
from crib.features.common.tool_spec import ToolSpec
from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session
from crib.stock.queries.order_specs import read_spec, spec_text

_YEARS_COUNT = re.compile(r"[0-9]{4}-([0-9]+)")
"""Deliveries of one supplier that are looked at: the latest."""


@dataclass(frozen=True, slots=True)
class PurchaseLine:
    """One line of a purchase: what was ordered, and how many of it have come and stayed.

    ``spec`` is the tool in figures, where the line keeps it; ``site_id`` where it is delivered, in
    a company of several sites.
    """

    id: int
    line: int
    kind_id: int | None
    kind: str | None
    role: str | None
    text: str
    quantity: int
    received: int
    price_cents: int | None
    needed_by: str
    job: str
    open: bool
    spec: ToolSpec | None = None
    site_id: int | None = None

    @property
    def to_come(self) -> int:
        """How many are still to come."""
        return self.quantity - self.received if self.open else 0


@dataclass(frozen=True, slots=True)
class PurchaseCard:
    """One purchase with its lines; they are numbered from 1."""

    id: int
    number: str
    supplier: str
    made_on: str
    needed_by: str
    state: str
    note: str
    person: str
    lines: tuple[PurchaseLine, ...]


@dataclass(frozen=True, slots=True)
class NewLine:
    """A line to be ordered."""

    text: str
    quantity: int
    kind_id: int | None
    price_cents: int | None
    needed_by: str
    job: str
    spec: ToolSpec | None = None
    site_id: int | None = None


@dataclass(frozen=True, slots=True)
class NewReceipt:
    """What came of a line, or went back when the quantity is below nothing."""

    order_line_id: int
    quantity: int
    received_on: str
    lead_days: int | None
    price_cents: int | None
    note: str = ""


def purchases(session: Session, *, only_open: bool = True) -> list[PurchaseCard]:
    """Purchases with their lines, the oldest first."""
    return _cards(session, "WHERE purchase.state = 'open'" if only_open else "", ())


def purchase_called(session: Session, number: str) -> PurchaseCard:
    """The purchase of that number.

    Raises:
        UnknownName: when there is none; names the nearest ones.
    """
    wanted = number.strip()
    found = _cards(session, "WHERE lower(purchase.number) = lower(?)", (wanted,))
    if found:
        return found[0]
    known = [row[0] for row in session.rows("SELECT number FROM purchase ORDER BY id DESC")]
    near = get_close_matches(wanted, known, n=4, cutoff=0.6) or known[:4]
    message = f"no order has the number {wanted[:40]!r}"
    if near:
        raise UnknownName(message, way_out=f"known: {', '.join(near)}")
    raise UnknownName(message, way_out=saying(act("order"), " makes the first one"))


def add_purchase(
    session: Session, stamp: Stamp, supplier: str, needed_by: str, lines: Sequence[NewLine]
) -> str:
    """Write a purchase with its lines; returns its number, the year's next."""
    number = _next_number(session, stamp.shift_on[:4])
    purchase_id = session.insert(
        "purchase",
        {
            "number": number,
            "supplier": supplier,
            "made_on": stamp.shift_on,
            "needed_by": needed_by,
            "person_id": stamp.person_id,
            "made_at": stamp.made_at,
        },
    )
    for line in lines:
        session.insert(
            "order_line",
            {
                "kind_id": line.kind_id,
                "text": line.text,
                "supplier": supplier,
                "quantity": line.quantity,
                "price_cents": line.price_cents,
                "ordered_on": stamp.shift_on,
                "needed_by": line.needed_by,
                "purchase_id": purchase_id,
                "job": line.job[:60],
                "specification": spec_text(line.spec),
                "site_id": line.site_id,
            },
        )
    return number


def set_kind_of_line(session: Session, line_id: int, kind_id: int) -> None:
    """Name the kind of what a line orders, once it is one."""
    session.run("UPDATE order_line SET kind_id = ? WHERE id = ?", (kind_id, line_id))


def cancel_lines(
    session: Session, card: PurchaseCard, lines: Sequence[PurchaseLine], note: str
) -> None:
    """Expect nothing more of some lines; a purchase with no open line is done."""
    said = "; ".join(part for part in (card.note, note) if part)
    session.run("UPDATE purchase SET note = ? WHERE id = ?", (said[-400:], card.id))
    session.run_many(
        "UPDATE order_line SET open = FALSE WHERE id = ?", ((line.id,) for line in lines)
    )
    _settle(session, card.id, "cancelled")


def add_receipt(session: Session, stamp: Stamp, card: PurchaseCard, receipt: NewReceipt) -> None:
    """Write what came of a line, how many there are now, and its price where none was known."""
    session.insert(
        "receipt",
        {
            "order_line_id": receipt.order_line_id,
            "quantity": receipt.quantity,
            "received_on": receipt.received_on,
            "lead_days": receipt.lead_days,
            "price_cents": receipt.price_cents,
            "act": stamp.act,
            "note": receipt.note,
            "person_id": stamp.person_id,
            "made_at": stamp.made_at,
        },
    )
    session.run(
        "UPDATE order_line SET received = received + ?, open = received + ? < quantity,"
        " price_cents = coalesce(price_cents, ?) WHERE id = ?",
        (receipt.quantity, receipt.quantity, receipt.price_cents, receipt.order_line_id),
    )
    _settle(session, card.id, "closed")


def receipt_of_act(session: Session, act: str, kind_id: int) -> tuple[str, int] | None:
    """The purchase and the line that brought a kind in by an act of the ledger."""
    row = session.row(
        "SELECT purchase.number, order_line.id FROM receipt"
        " JOIN order_line ON order_line.id = receipt.order_line_id"
        " JOIN purchase ON purchase.id = order_line.purchase_id"
        " WHERE receipt.act = ? AND order_line.kind_id = ? AND receipt.quantity > 0",
        (act, kind_id),
    )
    return (row[0], row[1]) if row else None


def act_received(session: Session, act: str) -> str | None:
    """The number of the purchase of which an act of the ledger brought something in."""
    found = session.value(
        "SELECT purchase.number FROM receipt"
        " JOIN order_line ON order_line.id = receipt.order_line_id"
        " JOIN purchase ON purchase.id = order_line.purchase_id"
        " WHERE receipt.act = ? AND receipt.quantity > 0",
        (act,),
    )
    return None if found is None else str(found)


def _settle(session: Session, purchase_id: int, done: str) -> None:
    """Open while anything is to come; else closed, or cancelled when nothing ever came."""
    open_lines, came = session.rows(
        "SELECT count(*) FILTER (WHERE open), coalesce(sum(received), 0) FROM order_line"
        " WHERE purchase_id = ?",
        (purchase_id,),
    )[0]
    state = "open" if open_lines else "closed" if came else done
    session.run("UPDATE purchase SET state = ? WHERE id = ?", (state, purchase_id))


def _next_number(session: Session, year: str) -> str:
    rows = session.rows("SELECT number FROM purchase WHERE number LIKE ?", (f"{year}-%",))
    counts = [_YEARS_COUNT.match(row[0]) for row in rows]
    last = max((int(count[1]) for count in counts if count), default=0)
    return f"{year}-{last + 1:04d}"


def _cards(session: Session, where: str, values: Sequence[Any]) -> list[PurchaseCard]:
    rows = session.rows(
        "SELECT purchase.id, purchase.number, purchase.supplier, purchase.made_on,"
        " purchase.needed_by, purchase.state, purchase.note, person.name AS person FROM purchase"
        f" JOIN person ON person.id = purchase.person_id {where} ORDER BY purchase.id",
        values,
    )
    return [PurchaseCard(**dict(row), lines=_lines(session, row["id"])) for row in rows]


def _lines(session: Session, purchase_id: int) -> tuple[PurchaseLine, ...]:
    rows = session.rows(
        "SELECT order_line.id, order_line.kind_id, kind.name AS kind, kind.role, order_line.text,"
        " order_line.quantity, order_line.received, order_line.price_cents, order_line.needed_by,"
        " order_line.job, order_line.open, order_line.specification, order_line.site_id"
        " FROM order_line"
        " LEFT JOIN kind ON kind.id = order_line.kind_id WHERE order_line.purchase_id = ?"
        " ORDER BY order_line.id",
        (purchase_id,),
    )
    return tuple(_line(dict(row), number) for number, row in enumerate(rows, 1))


def _line(row: dict[str, Any], number: int) -> PurchaseLine:
    spec = read_spec(row.pop("specification"))
    return PurchaseLine(**{**row, "open": bool(row["open"]), "line": number, "spec": spec})
