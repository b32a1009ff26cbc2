"""``crib arrive``: pieces that came from another site."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened, say
from crib.cli.wording import worded

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.shelf.send import Arrived


def command(
    tags: Annotated[list[str], typer.Argument(metavar="TAG...", help="Which pieces.")],
    to: Annotated[
        str, typer.Option("--to", metavar="DRAWER", help="Where to; else where it last lay here.")
    ] = "",
    new_drawer: Annotated[
        bool, typer.Option("--new-drawer", help="Make the drawer, it is a new one.")
    ] = False,
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Pieces that another site sent are here.

    Example: crib arrive P-0137 D-0201 --to S1
    """
    from crib.desk.shelf.send import arrive_pieces

    with opened(crib) as session:
        arrived = arrive_pieces(session, tags, to, new_drawer=new_drawer, by=by, on=on)
        answer(arrived, draw, as_json)


def draw(screen: Console, arrived: Arrived) -> None:
    """What is here now, and where."""
    for piece in arrived.pieces:
        say(screen, f"{piece.tag}  {piece.came_from} -> {piece.place}", then="  ")
    for note in arrived.notes:
        say(screen, f"NOTE: {worded(note)}", "  ", "  ")
