"""Orders written for their suppliers, one file to each."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from crib.acts import act, saying
from crib.desk.buying.place_orders import Orders, PlacedOrder, gaps_of
from crib.errors import BadInput
from crib.features.common.order_text import bold_text, particulars
from crib.features.common.speech import Speech
from crib.files.paper.order_paper import PaperOrder, PaperOrderLine, write_order
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.buying import supplier_addresses
from crib.stock.writers.purchases import PurchaseLine
from crib.trade.shop.shop_rules import Rules


def write_order_file(session: Session, orders: Orders, path: Path) -> tuple[str, ...]:
    """Write orders; several go to files with their numbers in the name. Returns the names.

    Raises:
        BadInput: when there is no order, or for an ending that is not known.
        Refused: when a file is there already.
    """
    if not orders.orders:
        message = "there is no order to write"
        raise BadInput(message, way_out=saying(act("order.lines", lines=None), " makes one"))
    rules = shop_rules(session)
    addresses = supplier_addresses(session)
    several = len(orders.orders) > 1
    written = []
    for order in orders.orders:
        name = f"{path.stem}-{order.card.number}{path.suffix}" if several else path.name
        write_order(_paper(order, rules, addresses), path.with_name(name))
        written.append(str(path.with_name(name)))
    return tuple(written)


def _paper(order: PlacedOrder, rules: Rules, addresses: Mapping[str, str]) -> PaperOrder:
    card, say = order.card, Speech(rules)
    lines = tuple(
        PaperOrderLine(
            line.line,
            line.quantity,
            *_in_two(line, say),
            line.text,
            line.price_cents,
            line.needed_by,
            line.job,
            gaps_of(line),
        )
        for line in card.lines
    )
    return PaperOrder(
        card.number,
        rules.text("crib.name"),
        rules.text("crib.address"),
        card.supplier,
        addresses.get(card.supplier.casefold(), ""),
        card.made_on,
        card.needed_by,
        card.person,
        order.currency,
        lines,
    )


def _in_two(line: PurchaseLine, say: Speech) -> tuple[str, str]:
    """What it is, and its particulars; a line without figures is told by its text alone."""
    if line.spec is None:
        head, _comma, rest = line.text.partition(", ")
        return head, rest
    return bold_text(line.spec, say), particulars(line.spec, say)
