"""``crib turn``: a blade's next edge."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened
from crib.desk.turn import Turned, TurnRequest, turn_edge

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tag: Annotated[str, typer.Argument(metavar="TAG", help="The tag stamped on the blade.")],
    edge: Annotated[
        int, typer.Option("--edge", metavar="N", help="Which edge; the next fresh one if not said.")
    ] = 0,
    found: Annotated[
        str, typer.Option("--found", help="Found: sharp, right, overdue or chipped.")
    ] = "",
    note: Annotated[str, typer.Option("--note", help="Anything worth keeping.")] = "",
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Bring a blade's next edge into use.

    Example: crib turn B-0012
    """
    with opened(crib) as session:
        request = TurnRequest(tag, edge, by, on, note, found)
        answer(turn_edge(session, request), draw, as_json)


def draw(screen: Console, turned: Turned) -> None:
    """Which edge is in use now, and what is left."""
    screen.print(f"{turned.tag}  {turned.kind}: turned on {turned.shift_on}")
    screen.print(
        f"  edge {turned.edge} of {turned.edges} in use (was {turned.edge_before},"
        f" {turned.wear_before:,.0f} weighted strokes)"
    )
    left = turned.edges_left
    screen.print(f"  {left} fresh left" if left else "  the last fresh edge: next time, grind it")
    screen.print("  turn both of a pair alike, set the gap again, check the heights")
