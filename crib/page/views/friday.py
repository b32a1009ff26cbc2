"""Friday: what to buy and why, within a budget; the lines that are ticked are ordered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from crib.desk.buying.budget_curve import curve_svg
from crib.desk.buying.buy import BuyLine, BuyPlan, plan_buying
from crib.desk.buying.chosen_lines import OrderRequest
from crib.desk.buying.place_orders import make_orders
from crib.errors import UnknownName
from crib.page.frame.amiss import about
from crib.page.frame.reply import Done, Drawing, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.frame.speaking import Money
from crib.stock.book.settings import shop_rules
from crib.units import read_money_cents

MOST_LINES = 16


def friday(asked: PageRequest) -> Reply:
    """What to buy, supplier by supplier, and what is next outside the budget."""
    plan = _plan(asked)
    inside = [line for line in plan.lines if line.within_budget]
    outside = [line for line in plan.lines if not line.within_budget]
    most = len(outside) if asked["all"] else max(0, MOST_LINES - len(inside))
    values: dict[str, Any] = {
        "plan": plan,
        "suppliers": _by_supplier(inside),
        "outside": outside[:most],
        "hidden": len(outside[most:]),
        "money": Money(asked.texts, plan.currency, shop_rules(asked.session).system),
        "budget": f"?{urlencode({'budget': asked['budget']})}" if asked["budget"] else "",
    }
    return Shown("friday", values, plan)


def line(asked: PageRequest) -> Reply:
    """One line: every reason, what it is worth, and what the supplier gets."""
    plan = _plan(asked)
    found = next((one for one in plan.lines if one.name == asked["name"]), None)
    if found is None:
        message = f"there is no line {asked['name'][:20]!r} to buy"
        raise UnknownName(message, way_out="it may be on order by now")
    money = Money(asked.texts, plan.currency, shop_rules(asked.session).system)
    return Shown("friday_line", {"line": found, "money": money}, found)


def curve(asked: PageRequest) -> Reply:
    """What other budgets would bring, as the shell draws it."""
    return Drawing(curve_svg(asked.session, _plan(asked, curve=True)))


def order(asked: PageRequest) -> Reply:
    """Order the lines that were ticked, from each supplier its own."""
    request = OrderRequest(
        names=asked.every.get("line", ()),
        budget_cents=_budget(asked),
        supplier=asked["supplier"],
        needed_by=asked["needed_by"],
        confirmed=asked.confirmed,
    )
    with about("line"):
        done = make_orders(asked.session, request, by=asked.by, now=asked.now)
    numbers = ", ".join(f"{one.card.number} ({one.card.supplier})" for one in done.orders)
    return Done("/friday/orders", "friday.told.ordered", {"numbers": numbers}, done)


def _plan(asked: PageRequest, *, curve: bool = False) -> BuyPlan:
    budget = _budget(asked)
    return plan_buying(asked.session, budget, around=not curve, curve=curve, now=asked.now)


def _budget(asked: PageRequest) -> int | None:
    text = asked["budget"]
    if asked.amiss and _BUDGET.name in asked.amiss.beside:
        return None
    if text and shop_rules(asked.session).system == "mm":
        text = text.replace(",", ".")
    with about("budget"):
        return read_money_cents(text) if text else None


def _by_supplier(lines: Sequence[BuyLine]) -> Mapping[str, list[BuyLine]]:
    found: dict[str, list[BuyLine]] = {}
    for one in lines:
        found.setdefault(one.supplier, []).append(one)
    return found


_BUDGET, _ALL = FormField("budget"), FormField("all", "flag")
_ORDER = (
    FormField("line", needed=True, many=True),
    _BUDGET,
    FormField("supplier"),
    FormField("needed_by"),
)
VIEWS = (
    View("/friday", friday, takes=(_BUDGET, _ALL), slow=True, form=friday),
    View("/friday/line", line, takes=(FormField("name", needed=True), _BUDGET), slow=True),
    View("/friday/curve", curve, takes=(_BUDGET,), slow=True),
    View(
        "/friday/order",
        order,
        "POST",
        _ORDER,
        slow=True,
        writes=True,
        needs_person=True,
        form=friday,
    ),
)
