"""Orders that should be here: since when, and which of them are not counted on any more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from crib.acts import Fact, Said, act, fact, saying
from crib.stock.queries.buying import LeadSeen
from crib.stock.queries.demand import OpenOrder
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class LateOrder:
    """An order line that is to be chased. ``given_up``: what it was to bring counts no more."""

    order: OpenOrder
    due_on: str
    days_late: int
    given_up: bool

    @property
    def number(self) -> str:
        """The number of its order; nothing for a line that was taken over from an old list."""
        return self.order.number

    @property
    def told(self) -> Fact:
        """Who is late, with what and since when."""
        return fact(
            "buy.chase",
            number=self.order.number,
            supplier=self.order.supplier,
            count=self.order.quantity,
            what=self.order.kind or self.order.text,
            due_on=self.due_on,
            days_late=self.days_late,
            given_up=self.given_up,
        )

    @property
    def chase(self) -> Said:
        """That, and how to strike what will not come."""
        if not self.order.number:
            return saying(self.told)
        return saying(self.told, "; ", act("order.cancel", order=self.order.number, why=None))


def late_orders(
    orders: Iterable[OpenOrder], seen: Mapping[str, LeadSeen], rules: Rules, today: date
) -> Iterator[LateOrder]:
    """The order lines past the day they were needed by, or past their supplier's usual days.

    They are given up once the later of the two is longer ago than the shop's rule allows.
    """
    most_days = round(rules.number("buy.late_days"))
    for order in orders:
        days = sorted(_due_days(order, seen, rules))
        if days and days[0] < today:
            late = (today - days[0]).days
            given_up = (today - days[-1]).days > most_days
            yield LateOrder(order, days[0].isoformat(), late, given_up)


def _due_days(order: OpenOrder, seen: Mapping[str, LeadSeen], rules: Rules) -> Iterator[date]:
    if order.needed_by:
        yield date.fromisoformat(order.needed_by)
    if order.ordered_on:
        usual = round(rules.number("buy.lead_days_default"))
        quoted = usual if order.lead_days is None else order.lead_days
        days = seen[order.supplier].days if order.supplier in seen else quoted
        yield date.fromisoformat(order.ordered_on) + timedelta(days=days)
