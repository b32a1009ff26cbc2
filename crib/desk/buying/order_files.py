"""Orders written for their suppliers, one file to each."""

from __future__ import annotations

from pathlib import Path

from crib.acts import act, saying
from crib.desk.buying.place_orders import Orders, PlacedOrder, gaps_of
from crib.errors import BadInput
from crib.files.paper.order_paper import PaperOrder, PaperOrderLine, write_order
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session


def write_order_file(session: Session, orders: Orders, path: Path) -> tuple[str, ...]:
    """Write orders; several go to files with their numbers in the name. Returns the names.

    Raises:
        BadInput: when there is no order, or for an ending that is not known.
        Refused: when a file is there already.
    """
    if not orders.orders:
        message = "there is no order to write"
        raise BadInput(message, way_out=saying(act("order.lines", lines=None), " makes one"))
    shop = shop_rules(session).text("crib.name")
    several = len(orders.orders) > 1
    written = []
    for order in orders.orders:
        name = f"{path.stem}-{order.card.number}{path.suffix}" if several else path.name
        write_order(_paper(order, shop), path.with_name(name))
        written.append(str(path.with_name(name)))
    return tuple(written)


def _paper(order: PlacedOrder, shop: str) -> PaperOrder:
    card = order.card
    lines = tuple(
        PaperOrderLine(
            line.line,
            line.quantity,
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
        shop,
        card.supplier,
        card.made_on,
        card.needed_by,
        card.person,
        order.currency,
        lines,
    )
