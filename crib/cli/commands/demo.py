"""``crib demo``: make a demo crib and take the main job through it."""

from __future__ import annotations

import shlex
from importlib import import_module
from typing import TYPE_CHECKING, Annotated, Any

import typer

from crib.cli.door import CribOption, JsonOption, answer, chosen_place, default_crib, table
from crib.cli.wording import confirmed, spelled, worded
from crib.stock.engine.folders import home_folder

if TYPE_CHECKING:
    from collections.abc import Callable

    from rich.console import Console

    from crib.desk.book.demo import DemoMade
    from crib.desk.buying.buy import BuyPlan

SCREENS = {"find": "screens.find_screen", "log": "screens.log_screen", "due": "commands.due"}
"""Where the answer of a step is drawn: the file of this folder whose ``draw`` does it."""

MOST_TO_BUY = 5

NEXT: dict[str, tuple[tuple[str, str], ...]] = {
    "in": (
        ("find bolt 3/4 thru 1/2", "the hole that a bolt wants"),
        ("find hole 5/16 thru 3/8 A36", "a hole that must not be punched"),
        ("stock punch round", "what is on the shelf, and where"),
        ("show P-0137", "everything about one piece"),
        ("history P-0137 --most 20", "who did what, and when"),
        ("new --crib shop.crib", "a crib of your own"),
    ),
    "mm": (
        ("find bolt M20 thru 12", "the hole that a bolt wants"),
        ("find hole 8 thru 10 S355", "a hole that must not be punched"),
        ("stock punch round", "what is on the shelf, and where"),
        ("show P-0116", "everything about one piece"),
        ("history P-0116 --most 20", "who did what, and when"),
        ("new --unit mm --crib shop.crib", "a crib of your own"),
    ),
}
"""What to type next in a crib of each unit, and what for."""


def command(
    metric: Annotated[bool, typer.Option("--metric", help="The metric demo shop.")] = False,
    again: Annotated[
        bool,
        typer.Option(
            "--overwrite", help="Make it anew where a demo crib is, and what was logged in it goes."
        ),
    ] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Make a demo crib and take the main job through it.

    Example: crib demo
    """
    from crib.desk.book.demo import show_demo

    path = chosen_place(crib) if crib else home_folder() / "demo.crib"
    # The demo crib in its own place is there to be played with: typed again, it is made anew,
    # unless something was logged in it.
    yes = confirmed(overwrite=again)
    made = show_demo(path, metric=metric, again=again or not crib, confirmed=yes)
    answer(made, draw, as_json)


def draw(screen: Console, made: DemoMade) -> None:
    """What was made, the main job step by step, and what to type next."""
    screen.print(f"made {made.path}", soft_wrap=True)
    screen.print(f"{made.shop}: an invented shop; so are its people, suppliers, tags and prices.")
    screen.print(
        f"{made.pieces} pieces in {made.drawers} drawers, {made.entries:,} entries in the ledger,"
        f" last shift {made.last_shift}."
    )
    for number, step in enumerate(made.steps, 1):
        screen.print()
        screen.print(f"{number}. {step.title}")
        screen.print(f"$ {spelled(step.command)}")
        screen.print()
        _screen_of(step.name)(screen, step.result)
    _draw_next(screen, made)


def _screen_of(name: str) -> Callable[[Console, Any], None]:
    if name == "buy":
        return _draw_buy
    drawing: Callable[[Console, Any], None] = import_module(f"crib.cli.{SCREENS[name]}").draw
    return drawing


def _draw_buy(screen: Console, plan: BuyPlan) -> None:
    """The first lines only; the command itself says all of each."""
    price = f"price {plan.currency}"
    rows = table("line", "qty", "what", price, "why", right=("qty", price))
    for line in plan.lines[:MOST_TO_BUY]:
        cost = "?" if line.price_cents is None else f"{line.price_cents / 100:,.2f}"
        rows.add_row(line.name, str(line.quantity), line.what, cost, worded(line.reasons[0]))
    screen.print(rows)
    more = len(plan.lines) - MOST_TO_BUY
    if more > 0:
        screen.print(f"and {more} more; the command itself gives each order line in full")


def _draw_next(screen: Console, made: DemoMade) -> None:
    screen.print()
    screen.print("Type next:")
    if str(default_crib()) != made.path:
        screen.print("  (first, so that each command takes this crib)")
        screen.print(f"  export CRIB={shlex.quote(made.path)}", soft_wrap=True)
    for words, what in NEXT[made.unit]:
        screen.print(f"  crib {words:<31} {what}")
