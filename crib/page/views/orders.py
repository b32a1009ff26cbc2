"""The open orders, and what came of them."""

from __future__ import annotations

from crib.desk.buying.order_words import CameOfLine
from crib.desk.buying.place_orders import show_orders
from crib.desk.buying.receive import Delivery, receive
from crib.page.frame.amiss import about
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.frame.speaking import Money
from crib.stock.book.settings import shop_rules
from crib.units import read_count

_CAME = "came-"


def orders(asked: PageRequest) -> Reply:
    """What is on its way, from whom, since when."""
    found = show_orders(asked.session, now=asked.now)
    return Shown("orders", {"orders": found.orders}, found)


def order(asked: PageRequest) -> Reply:
    """One order, with a field for what came of each line."""
    found = show_orders(asked.session, asked["order"], now=asked.now)
    placed = found.orders[0]
    money = Money(asked.texts, placed.currency, shop_rules(asked.session).system)
    values = {"order": placed, "money": money, "here": (None, asked.session.site)}
    return Shown("order", values, found)


def came(asked: PageRequest) -> Reply:
    """Put what came into its drawer; the tags to stamp are told."""
    delivery = Delivery(
        number=asked["order"],
        counts=tuple(_counts(asked)),
        place=asked["drawer"],
        on=asked.pressed_on.isoformat(),
    )
    with about("drawer"):
        done = receive(asked.session, delivery, by=asked.by, now=asked.now)
    tags = ", ".join(tag for line in done.lines for tag in line.tags)
    slots = {"order": done.number, "tags": tags or "–", "place": done.place or "–"}
    return Done(f"/friday/orders/{done.number}", "orders.told.came", slots, done)


def _counts(asked: PageRequest) -> list[CameOfLine]:
    """How many came of each line, where a count was left in its field."""
    made = []
    for name in asked.fields:
        if name.startswith(_CAME) and asked[name]:
            with about(name):
                line, count = read_count(name.removeprefix(_CAME)), read_count(asked[name])
            made += [CameOfLine(line, count)] if count else []
    return made


VIEWS = (
    View("/friday/orders", orders),
    View("/friday/orders/{order}", order),
    View(
        "/friday/orders/{order}/came",
        came,
        "POST",
        (FormField("drawer"),),
        writes=True,
        needs_person=True,
        form=order,
    ),
)
