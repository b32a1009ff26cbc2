"""Orders and deliveries on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from crib.cli.door import say, table
from crib.cli.wording import worded
from crib.units import format_money

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.buying.place_orders import Orders, PlacedOrder


def draw(screen: Console, orders: Orders, written: Sequence[str] = ()) -> None:
    """Each order with its lines, and where it was written."""
    if not orders.orders:
        screen.print("no open orders")
    for order in orders.orders:
        _draw_order(screen, order)
    for name in written:
        screen.print(f"written to {name}", soft_wrap=True)
    for note in orders.notes:
        say(screen, f"note: {worded(note)}")


def _draw_order(screen: Console, order: PlacedOrder) -> None:
    card = order.card
    head = f"order {card.number} to {card.supplier}, {card.made_on} by {card.person}: {card.state}"
    late = f", {order.days_late} day{'s' * (order.days_late != 1)} late: call them"
    say(screen, head + (late if order.late else ""))
    rows = table("line", "qty", "came", "what", f"each {order.currency}", right=("line", "qty"))
    rows.columns[2].justify = rows.columns[4].justify = "right"
    for one in card.lines:
        each = "quote" if one.price_cents is None else f"{one.price_cents / 100:,.2f}"
        came = str(one.received) + ("" if one.open or one.received else " off")
        where = f" for {order.site_of(one)}" if order.site_of(one) else ""
        rows.add_row(str(one.line), str(one.quantity), came, (one.kind or one.text) + where, each)
    screen.print(rows)
    if order.total_cents is not None:
        screen.print(f"sum {format_money(order.total_cents, order.currency)}")
    for line, gap in order.gaps:
        say(screen, f"line {line}, settle before sending: {gap}")
    if card.note:
        say(screen, card.note)
    if card.state == "open":
        screen.print(f"when it comes: crib receive {card.number} --to DRAWER")
    screen.print()
