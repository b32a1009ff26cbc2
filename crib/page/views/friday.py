"""Friday: what to buy and why, within a budget; the lines that are to be ordered are ticked."""

from __future__ import annotations

from math import ceil
from typing import Any
from urllib.parse import urlencode

from crib.desk.buying.budget_curve import curve_svg
from crib.desk.buying.buy import BuyPlan
from crib.errors import UnknownName
from crib.page.frame.amiss import about
from crib.page.frame.reply import Drawing, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.views.friday_plan import (
    BUDGET,
    by_supplier,
    money_of,
    names_of,
    plan_of,
    total_cents,
)
from crib.units import read_count

LINES_A_PAGE = 12


def friday(asked: PageRequest) -> Reply:
    """What to buy, some lines a page: supplier by supplier, then what is outside the budget."""
    plan = plan_of(asked)
    inside = by_supplier(line for line in plan.lines if line.within_budget)
    outside = [line for line in plan.lines if not line.within_budget]
    every = [line for some in inside.values() for line in some] + outside
    pages = max(1, ceil(len(every) / LINES_A_PAGE))
    page = min(_page(asked), pages)
    here = every[(page - 1) * LINES_A_PAGE : page * LINES_A_PAGE]
    ticked = _ticked(asked, plan)
    names = {line.name for line in here}
    values: dict[str, Any] = {
        "plan": plan,
        "totals": {name: total_cents(some) for name, some in inside.items()},
        "suppliers": by_supplier(line for line in here if line.within_budget),
        "outside": [line for line in here if not line.within_budget],
        "ticked": ticked,
        "elsewhere": [name for name in ticked if name not in names],
        "page": page,
        "pages": pages,
        "money": money_of(asked, plan),
        "budget": f"?{urlencode({'budget': asked['budget']})}" if asked["budget"] else "",
    }
    return Shown("friday", values, plan)


def line(asked: PageRequest) -> Reply:
    """One line: every reason, what it is worth, and what the supplier gets."""
    plan = plan_of(asked)
    found = next((one for one in plan.lines if one.name == asked["name"]), None)
    if found is None:
        message = f"there is no line {asked['name'][:20]!r} to buy"
        raise UnknownName(message, way_out="it may be on order by now")
    return Shown("friday_line", {"line": found, "money": money_of(asked, plan)}, found)


def curve(asked: PageRequest) -> Reply:
    """What other budgets would bring, as the shell draws it."""
    return Drawing(curve_svg(asked.session, plan_of(asked, curve=True)))


def _ticked(asked: PageRequest, plan: BuyPlan) -> tuple[str, ...]:
    """The lines that are ticked: at first what the budget buys where it is known from whom."""
    if "line" in asked.every:
        return names_of(asked)
    return tuple(line.name for line in plan.lines if line.within_budget and line.supplier)


def _page(asked: PageRequest) -> int:
    if not asked["page"] or (asked.amiss and "page" in asked.amiss.beside):
        return 1
    with about("page"):
        return max(1, read_count(asked["page"]))


_PAGE = (BUDGET, FormField("line", many=True), FormField("page", "whole"))
VIEWS = (
    View("/friday", friday, takes=_PAGE, slow=True, form=friday),
    View("/friday/line", line, takes=(FormField("name", needed=True), BUDGET), slow=True),
    View("/friday/curve", curve, takes=(BUDGET,), slow=True),
)
