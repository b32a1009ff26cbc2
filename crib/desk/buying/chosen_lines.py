"""Which lines of what to buy are meant by their names, and that they are of use."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crib.acts import Confirmed, act, saying
from crib.desk.buying.buy import BuyLine, BuyPlan, plan_buying
from crib.desk.buying.line_names import is_more_of, means
from crib.desk.common.acting import read_day
from crib.errors import AskBack, Missing, Refused, UnknownName
from crib.stock.engine.session import Session
from crib.stock.queries.demand import OpenOrder, open_orders


@dataclass(frozen=True, slots=True)
class OrderRequest:
    """Which lines to buy: by their names, or with ``everything`` all within the budget.

    ``supplier`` is whom to order from, whoever a line names. ``arrive_by`` is as it
    was for the lines. ``confirmed`` may say yes to more of what is on order. ``shares`` say how
    many of the one line named are for each site, by its name.
    """

    names: tuple[str, ...] = ()
    everything: bool = False
    budget_cents: int | None = None
    supplier: str = ""
    needed_by: str = ""
    arrive_by: str = ""
    confirmed: Confirmed = frozenset()
    shares: tuple[tuple[str, int], ...] = ()


def lines_to_order(
    session: Session, request: OrderRequest, now: datetime | None = None
) -> list[BuyLine]:
    """The lines that a request means, each once. Reads only.

    Raises:
        UnknownName: for a name that is no line's, or may be two lines'.
        AskBack: for a line of which there is nothing to buy because it is on order.
        Missing: when nothing was said to be ordered.
        Refused: when nothing fits the budget, or for half of what is only of use together.
    """
    if not request.names and not request.everything:
        message = "nothing said to be ordered"
        lines_of = saying("give the names of lines of ", act("buy"))
        every = saying(act("say.all"), " for those in the budget")
        raise Missing(message, way_out=saying(lines_of, ", or ", every))
    again = request.names if "on-order" in request.confirmed else ()
    by_day = read_day(request.arrive_by, "the day to arrive by")
    plan = plan_buying(session, request.budget_cents, by=by_day, again=again, now=now)
    if request.everything:
        return _every(plan)
    found = [_line(session, plan, name) for name in request.names]
    lines = list({line.name: line for line in found}.values())
    _must_be_whole(lines)
    return lines


def _every(plan: BuyPlan) -> list[BuyLine]:
    found = [line for line in plan.lines if line.within_budget and line.price_cents is not None]
    if not found:
        message = "no line with a price is within the budget"
        raise Refused(message, way_out=saying(act("buy"), " shows what there is"))
    return found


def _line(session: Session, plan: BuyPlan, said: str) -> BuyLine:
    meant = [line for line in plan.lines if means(said, line.name)]
    if len(meant) == 1:
        return meant[0]
    if meant:
        message = f"{said!r} may be {' or '.join(line.name for line in meant)}"
        raise UnknownName(message, way_out="give more of the name")
    coming = [order for order in open_orders(session) if is_more_of(order, said)]
    if coming:
        raise _on_order(said, coming)
    message = f"there is no line {said!r} to buy"
    raise UnknownName(message, way_out=saying(act("buy"), " names the lines there are"))


def _on_order(said: str, coming: Sequence[OpenOrder]) -> AskBack:
    """What is on order is ordered again only when somebody says so."""
    first = coming[0]
    count = sum(order.quantity for order in coming)
    what = f"{count} x {first.kind or first.text}"
    since = f" since {first.ordered_on}" if first.ordered_on else ""
    message = f"line {said.strip().upper()}: {what} on order{since}"
    whom = f", from {first.supplier}" if first.supplier else ""
    way_out = saying("to order one more all the same: ", act("confirm.on-order"))
    return AskBack(message + whom, confirm="on-order", way_out=way_out)


def _must_be_whole(lines: Sequence[BuyLine]) -> None:
    """Refuse a line that serves nothing without another one that is left out."""
    names = {line.name for line in lines}
    for line in lines:
        if line.only_with and not any(names >= set(way) for way in line.only_with):
            needed = " or ".join(" and ".join(way) for way in line.only_with)
            message = f"line {line.name} is of use only with line {needed}"
            both = act("order.lines", lines=(line.name, *line.only_with[0]))
            raise Refused(message, way_out=saying("order both, such as: ", both))
