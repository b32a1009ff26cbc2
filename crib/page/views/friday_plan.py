"""What Friday's pages have in common: the plan within a budget, which of its lines are meant."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from crib.desk.buying.buy import BuyLine, BuyPlan, plan_buying
from crib.page.frame.amiss import about
from crib.page.frame.reply import FormField
from crib.page.frame.request import PageRequest
from crib.page.frame.speaking import Money
from crib.stock.book.settings import shop_rules
from crib.units import read_money_cents

BUDGET = FormField("budget")


def plan_of(asked: PageRequest, *, curve: bool = False) -> BuyPlan:
    """What to buy within the budget that was typed."""
    budget = budget_cents_of(asked)
    return plan_buying(asked.session, budget, around=not curve, curve=curve, now=asked.now)


def budget_cents_of(asked: PageRequest) -> int | None:
    """The budget that was typed; None where there is none, or one that was found wrong before."""
    text = asked["budget"]
    if asked.amiss and BUDGET.name in asked.amiss.beside:
        return None
    if text and shop_rules(asked.session).system == "mm":
        text = text.replace(",", ".")
    with about("budget"):
        return read_money_cents(text) if text else None


def names_of(asked: PageRequest) -> tuple[str, ...]:
    """The names of the ticked lines, each once; a field may hold those of a whole page."""
    said = " ".join(asked.every.get("line", ()))
    return tuple(dict.fromkeys(said.split()))


def money_of(asked: PageRequest, plan: BuyPlan) -> Money:
    """How amounts are written."""
    return Money(asked.texts, plan.currency, shop_rules(asked.session).system)


def by_supplier(lines: Iterable[BuyLine]) -> Mapping[str, list[BuyLine]]:
    """Lines under the name of whom they come from."""
    found: dict[str, list[BuyLine]] = {}
    for one in lines:
        found.setdefault(one.supplier, []).append(one)
    return found


def total_cents(lines: Iterable[BuyLine]) -> int | None:
    """What lines cost together; None while a price is to be asked for."""
    prices = [line.price_cents for line in lines]
    return None if None in prices else sum(cents or 0 for cents in prices)
