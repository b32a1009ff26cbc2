"""The lines that were ticked on Friday, supplier by supplier, and the orders made of them."""

from __future__ import annotations

from typing import Any

from crib.desk.buying.chosen_lines import OrderRequest
from crib.desk.buying.place_orders import ReadyOrders, place_orders, ready_orders
from crib.errors import Missing, Refused
from crib.page.frame.amiss import about
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.views.friday import friday
from crib.page.views.friday_plan import (
    BUDGET,
    budget_cents_of,
    by_supplier,
    money_of,
    names_of,
    plan_of,
    total_cents,
)

MOST_TOLD = 40
"""Lines that are told with what they are; of more only the names."""


def chosen(asked: PageRequest) -> Reply:
    """What is ordered from whom, and what it costs, before it is."""
    names = names_of(asked)
    if not names:
        message = "no line is ticked"
        with about("line"):
            raise Missing(message, way_out="tick what is to be ordered")
    plan = plan_of(asked)
    lines = [line for line in plan.lines if line.name in names]
    suppliers = by_supplier(lines)
    values: dict[str, Any] = {
        "names": names,
        "gone": [name for name in names if name not in {line.name for line in lines}],
        "suppliers": suppliers,
        "totals": {name: total_cents(some) for name, some in suppliers.items()},
        "is_brief": len(lines) > MOST_TOLD,
        "money": money_of(asked, plan),
    }
    return Shown("friday_order", values, {"lines": lines})


def worked_out(asked: PageRequest) -> ReadyOrders:
    """What the ticked lines are to be ordered as; it may take seconds to know."""
    with about("line"):
        request = OrderRequest(
            names=names_of(asked),
            budget_cents=budget_cents_of(asked),
            supplier=asked["supplier"],
            needed_by=asked["needed_by"],
            confirmed=asked.confirmed,
        )
        return ready_orders(asked.session, request, now=asked.now)


def order(asked: PageRequest) -> Reply:
    """Order the lines that were ticked, from each supplier its own."""
    with about("line"):
        done = place_orders(asked.session, asked.ready, by=asked.by, now=asked.now)
        if done is None:
            message = "something was ordered, struck out or received meanwhile"
            raise Refused(message, way_out="nothing was ordered now: look again, then order")
    numbers = ", ".join(f"{one.card.number} ({one.card.supplier})" for one in done.orders)
    return Done("/friday/orders", "friday.told.ordered", {"numbers": numbers}, done)


_LINES = FormField("line", needed=True, many=True)
_ORDER = (_LINES, BUDGET, FormField("supplier"), FormField("needed_by"))
VIEWS = (
    View(
        "/friday/order", chosen, takes=(_LINES, BUDGET), slow=True, needs_person=True, form=friday
    ),
    View(
        "/friday/order",
        order,
        "POST",
        _ORDER,
        slow=True,
        writes=True,
        needs_person=True,
        form=chosen,
        before=worked_out,
    ),
)
