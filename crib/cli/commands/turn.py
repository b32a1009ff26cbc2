"""``crib turn``: a blade's next edge."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened, say_cautions
from crib.cli.wording import worded
from crib.desk.common.acting import tags_named
from crib.desk.edges.turn import Turned, TurnedTogether, TurnRequest, turn_edge, turn_edges

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tags: Annotated[
        list[str], typer.Argument(metavar="TAG [TAG]", help="The blade, or both of a pair.")
    ],
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
        named = tags_named(session, tags)
        request = TurnRequest(named[0], edge, by, on, note, found)
        if len(named) > 1:
            answer(turn_edges(session, named, request), draw_pair, as_json)
        else:
            answer(turn_edge(session, request), draw, as_json)


def draw(screen: Console, turned: Turned) -> None:
    """Which edge is in use now, what is left, and what to do about the blades opposite."""
    _draw_one(screen, turned)
    for note in turned.opposite:
        screen.print(f"  NOTE: {worded(note)}")
    screen.print("  turn both of a pair alike, set the gap again, check the heights")
    say_cautions(screen, turned.cautions)


def draw_pair(screen: Console, turned: TurnedTogether) -> None:
    """Each blade, then what is still to be done."""
    for piece in turned.pieces:
        _draw_one(screen, piece)
    for note in turned.opposite:
        screen.print(f"NOTE: {worded(note)}")
    screen.print("set the gap again, check the heights")
    say_cautions(screen, turned.cautions)


def _draw_one(screen: Console, turned: Turned) -> None:
    screen.print(f"{turned.tag}  {turned.kind}: turned on {turned.shift_on}")
    screen.print(
        f"  edge {turned.edge} of {turned.edges} in use (was {turned.edge_before},"
        f" {turned.wear_before:,.0f} weighted strokes)"
    )
    left = turned.edges_left
    screen.print(f"  {left} fresh left" if left else "  the last fresh edge: next time, grind it")
    for note in turned.notes:
        screen.print(f"  NOTE: {worded(note)}")
