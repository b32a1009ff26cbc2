"""``crib rehouse``: the whole crib to a server, or back to a file."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, chosen_place, say
from crib.cli.wording import confirmed
from crib.errors import BadInput

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.book.rehouse import Rehoused, TakenBack


def command(
    to: Annotated[
        str, typer.Argument(metavar="[TO]", help="A new file, or postgresql://... with nothing.")
    ] = "",
    back: Annotated[
        bool, typer.Option("--take-back", help="Take a crib that moved into use again.")
    ] = False,
    yes: Annotated[bool, typer.Option("--yes", help="Yes, though it may go on there.")] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Move the whole crib to a server, or back to a file.

    Example: crib rehouse postgresql://crib@server/shop
    """
    from crib.desk.book import rehouse
    from crib.stock.engine.place import crib_place

    if bool(to) == back:
        message = "say where the crib should go, or that it comes back into use"
        raise BadInput(message, way_out="crib rehouse TO, or crib rehouse --take-back")
    place = chosen_place(crib)
    if back:
        answer(rehouse.take_back(place, confirmed=confirmed(yes=yes)), draw_back, as_json)
    else:
        answer(rehouse.rehouse(place, crib_place(to), by=by), draw, as_json)


def draw(screen: Console, moved: Rehoused) -> None:
    """What moved, and which of the two is the crib from now on."""
    already = "every row was there already, " if moved.was_there else ""
    screen.print(f"moved to {moved.target}", soft_wrap=True)
    say(
        screen,
        f"{already}{moved.tables} tables with {moved.rows:,} rows compared to the last one:"
        f" {moved.pieces:,} pieces, {moved.entries:,} entries",
        *("  ", "  "),
    )
    screen.print("the crib from now on, for every command and page:")
    screen.print(f"  export CRIB={shlex.quote(moved.target)}", soft_wrap=True)
    screen.print(f"the old one is only read from now on: {moved.source}", soft_wrap=True)
    if moved.set_aside:
        screen.print(f"what lay there since it left is now: {moved.set_aside}", soft_wrap=True)


def draw_back(screen: Console, taken: TakenBack) -> None:
    """Which crib is in use again, and that there are two now."""
    screen.print(f"in use again: {taken.crib}", soft_wrap=True)
    screen.print(f"  it moved to {taken.moved_to} on {taken.moved_on}", soft_wrap=True)
    screen.print("  see to it that nobody goes on there: neither has what the other gets")
