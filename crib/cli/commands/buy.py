"""``crib buy``: what to buy next, and why."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened
from crib.cli.screens.buy_screen import drawing
from crib.cli.wording import worded
from crib.desk.buying.buy import plan_buying
from crib.desk.buying.lines_csv import write_order_sheet
from crib.desk.common.acting import read_day
from crib.units import read_money_cents

if TYPE_CHECKING:
    from crib.desk.buying.buy import BuyPlan
    from crib.stock.engine.session import Session


def command(
    budget: Annotated[
        str, typer.Option("--budget", metavar="N", help="Money there is, such as 500.")
    ] = "",
    by: Annotated[
        str,
        typer.Option("--arrive-by", metavar="YYYY-MM-DD", help="Only what is here by that day."),
    ] = "",
    why: Annotated[
        str, typer.Option("--only", metavar="KIND", help="Only this kind, with its figures.")
    ] = "",
    curve: Annotated[bool, typer.Option("--curve", help="What other budgets would bring.")] = False,
    draw_to: Annotated[
        Path | None, typer.Option("--draw", metavar="FILE", help="Draw that, as .svg or .pdf.")
    ] = None,
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
    day, drawn = read_day(by, "--arrive-by"), draw_to is not None
    with opened(crib) as session:
        plan = plan_buying(
            session, budget_cents, by=day, why=why, around=True, curve=curve or drawn
        )
        written = _written(session, plan, draw_to, sheet)
    answer(plan, drawing(every, written, bool(why.strip())), as_json)


def _written(
    session: Session, plan: BuyPlan, draw_to: Path | None, sheet: Path | None
) -> list[str]:
    """Write the files that were asked for; returns what is to be said of them."""
    said = []
    if draw_to is not None:
        from crib.desk.buying.budget_curve import write_curve

        write_curve(session, plan, draw_to)
        said.append(f"drawn in {draw_to}")
    if sheet is not None:
        write_order_sheet(plan, sheet, worded)
        said.append(f"order lines written to {sheet}")
    return said
