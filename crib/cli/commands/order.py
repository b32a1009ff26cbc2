"""``crib order``: lines of what to buy made into orders; open orders shown and cancelled."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened
from crib.cli.screens.order_screen import draw
from crib.cli.wording import confirmed
from crib.desk.buying.chosen_lines import OrderRequest
from crib.desk.buying.order_files import write_order_file
from crib.desk.buying.order_words import read_order_words, read_share
from crib.desk.buying.place_orders import (
    Orders,
    cancel_order,
    make_orders,
    show_orders,
)
from crib.units import read_money_cents

if TYPE_CHECKING:
    from crib.stock.engine.session import Session


def command(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[LINE... | NUMBER]",
            show_default=False,
            help="Lines of `crib buy` by name; or an order's number.",
        ),
    ] = None,
    every: Annotated[
        bool, typer.Option("--all", help="Every line of `crib buy` in the budget.")
    ] = False,
    budget: Annotated[str, typer.Option("--budget", metavar="N", help="As for crib buy.")] = "",
    supplier: Annotated[str, typer.Option("--from", metavar="NAME", help="Whom to ask.")] = "",
    needed_by: Annotated[
        str, typer.Option("--needed-by", metavar="YYYY-MM-DD", help="When it is needed.")
    ] = "",
    arrive_by: Annotated[
        str, typer.Option("--arrive-by", metavar="YYYY-MM-DD", help="As for crib buy.")
    ] = "",
    shares: Annotated[
        list[str] | None,
        typer.Option("--share", metavar="SITE=N", help="How many of the line a site gets."),
    ] = None,
    file: Annotated[
        Path | None,
        typer.Option("--draw", metavar="FILE", help="Write it: .pdf, .csv or .xlsx."),
    ] = None,
    more: Annotated[
        bool, typer.Option("--more", help="Order more of what is on order already.")
    ] = False,
    cancel: Annotated[bool, typer.Option("--cancel", help="Expect no more of it.")] = False,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="Why it is cancelled.")] = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Order lines of crib buy; without a word show the open orders.

    Example: crib order K12 K31 --needed-by 2027-03-01 --draw order.pdf
    """
    number, lines, names = read_order_words(words or [])
    budget_cents = read_money_cents(budget) if budget else None
    yes = confirmed(more=more)
    split = tuple(read_share(one) for one in shares or ())
    request = OrderRequest(names, every, budget_cents, supplier, needed_by, arrive_by, yes, split)
    with opened(crib) as session:
        orders = _done(session, request, number, lines, cancel=cancel, why=why, by=by)
        written = write_order_file(session, orders, file) if file else ()
    answer(orders, lambda screen, result: draw(screen, result, written), as_json)


def _done(
    session: Session,
    request: OrderRequest,
    number: str,
    lines: tuple[int, ...],
    *,
    cancel: bool,
    why: str,
    by: str,
) -> Orders:
    if cancel:
        return cancel_order(session, number, why, by=by, lines=lines)
    if number or not (request.names or request.everything):
        return show_orders(session, number)
    return make_orders(session, request, by=by)
