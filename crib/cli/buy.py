"""``crib buy``: what to buy next, and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, table
from crib.desk.buy import BuyLine, BuyPlan, plan_buying
from crib.desk.buy_sheet import when, write_order_sheet
from crib.units import format_money, read_money_cents

if TYPE_CHECKING:
    from collections.abc import Callable

    from rich.console import Console

SCREENFUL = 20
_HEADS = {"now": "", "next": "next, outside the budget", "ask price": "price unknown: ask"}
_SHORT_WHY = 2


def command(
    budget: Annotated[
        str, typer.Option("--budget", metavar="N", help="Money there is, such as 500.")
    ] = "",
    why: Annotated[
        str, typer.Option("--why", metavar="KIND", help="Only this kind, with its figures.")
    ] = "",
    every: Annotated[bool, typer.Option("--all", help="Every line, not a screenful.")] = False,
    sheet: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE", help="Write the order lines as CSV too.")
    ] = None,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """What to buy next, and why.

    Example: crib buy --budget 500
    """
    budget_cents = read_money_cents(budget) if budget else None
    with opened(crib) as session:
        plan = plan_buying(session, budget_cents, why=why)
    if sheet is not None:
        write_order_sheet(plan, sheet)
    most = len(plan.lines) if every else SCREENFUL
    answer(plan, _drawing(most, str(sheet or "")), as_json)


def _drawing(most: int, sheet: str) -> Callable[[Console, BuyPlan], None]:
    def draw(screen: Console, plan: BuyPlan) -> None:
        _draw(screen, plan, most)
        if sheet:
            screen.print(f"order lines written to {sheet}", soft_wrap=True)

    return draw


def _draw(screen: Console, plan: BuyPlan, most: int) -> None:
    """The table, then each order line in full with its reasons, then what is on order."""
    shown = plan.lines[:most]
    if not plan.lines:
        screen.print("nothing to buy")
    for word, head in _HEADS.items():
        _draw_table(screen, [one for one in shown if when(one) == word], head, plan.currency)
    if plan.lines:
        screen.print(_sum(plan))
    if len(plan.lines) > most:
        screen.print(f"{len(plan.lines) - most} more lines: --all")
    if shown:
        screen.print("\nto send")
    for line in shown:
        _draw_line(screen, line, plan.currency)
    for order in plan.on_order:
        since = f" since {order.ordered_on}" if order.ordered_on else ""
        what = f"{order.quantity} x {order.kind}" if order.kind else order.text
        _say(screen, f"on order{since}: {what}", "")
    for note in plan.notes:
        _say(screen, f"note: {note}", "")


def _draw_table(screen: Console, lines: Sequence[BuyLine], head: str, currency: str) -> None:
    if not lines:
        return
    rows = table("#", "qty", "what", f"price {currency}", "why", right=("#", "qty"), title=head)
    rows.columns[3].justify = "right"
    for column, width in ((0, 3), (1, 3), (2, 28), (3, 9)):
        rows.columns[column].width = width
    for line in lines:
        rows.add_row(
            str(line.rank),
            str(line.quantity),
            line.what,
            "?" if line.price_cents is None else f"{line.price_cents / 100:,.2f}",
            _short(line),
        )
    screen.print(rows)


def _short(line: BuyLine) -> str:
    """The reasons in a few words each."""
    words = [reason.split(":")[0].split(";")[0] for reason in line.reasons]
    return "; ".join(list(dict.fromkeys(words))[:_SHORT_WHY])


def _sum(plan: BuyPlan) -> str:
    spent = format_money(plan.spent_cents, plan.currency)
    worth = f"worth {format_money(plan.value_cents_per_year, plan.currency)} a year"
    if plan.budget_cents is None:
        return f"all with a price: {spent}, {worth}"
    budget = format_money(plan.budget_cents, plan.currency)
    return f"within the budget of {budget}: {spent}, {worth}"


def _draw_line(screen: Console, line: BuyLine, currency: str) -> None:
    _say(screen, line.text, f"{line.rank:>3}  ")
    for text in _under(line, currency):
        _say(screen, text, "     - ")


def _under(line: BuyLine, currency: str) -> Iterator[str]:
    yield from line.reasons
    worth = format_money(line.value_cents_per_year, currency)
    yield f"worth {worth} a year" + (f": {'; '.join(line.figures)}" if line.figures else "")
    yield _price(line, currency)
    if line.gaps:
        yield f"say before sending: {'; '.join(line.gaps)}"


def _price(line: BuyLine, currency: str) -> str:
    if line.price_cents is None or line.unit_price_cents is None:
        return "price unknown: ask"
    each = format_money(line.unit_price_cents, currency)
    total = format_money(line.price_cents, currency)
    parts = [f"{line.quantity} x {each} = {total}"]
    parts += [f"{line.lead_days} days"] if line.lead_days is not None else []
    parts += [line.supplier] if line.supplier else []
    return ", ".join(parts)


def _say(screen: Console, text: str, lead: str) -> None:
    """A text wrapped beside its lead."""
    width = max(screen.width - len(lead), 20)
    for number, part in enumerate(wrap(text, width, break_on_hyphens=False)):
        screen.print(f"{lead if number == 0 else ' ' * len(lead)}{part}")
