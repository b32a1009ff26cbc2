"""``crib move``: put pieces in a drawer, a station, or somebody's hands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened, say_cautions
from crib.cli.wording import confirmed, worded
from crib.desk.shelf.move import Move, Moved, move_pieces

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tags: Annotated[list[str], typer.Argument(metavar="TAG...", help="Which pieces.")],
    to: Annotated[str, typer.Option("--to", metavar="PLACE", help="Drawer, station, grinder ...")],
    new_drawer: Annotated[
        bool, typer.Option("--new-drawer", help="Make the drawer, it is a new one.")
    ] = False,
    swap: Annotated[
        bool, typer.Option("--swap", help="What is mounted goes back to its drawer.")
    ] = False,
    note: Annotated[str, typer.Option("--note", help="Anything worth keeping.")] = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Put pieces in a drawer, a station, or somebody's hands.

    Example: crib move P-0137 D-0201 --to "Ironworker 1 / punch" --swap
    """
    move = Move(tuple(tags), to, new_drawer, confirmed(swap=swap), note)
    with opened(crib) as session:
        answer(move_pieces(session, move, by=by), draw, as_json)


def draw(screen: Console, moved: Moved) -> None:
    """What went where, and what is mounted now."""
    for piece in moved.pieces:
        why = ", to make room" if piece.swapped_out else ""
        screen.print(f"{piece.tag}  {piece.came_from or 'no place'} -> {piece.to}{why}")
    for tag in moved.there_already:
        screen.print(f"{tag}  is there already")
    for note in moved.notes:
        screen.print(f"  NOTE: {worded(note)}")
    for caution in moved.cautions:
        screen.print(f"CAUTION: {worded(caution)}")
    if moved.mounted:
        there = ", ".join(
            f"{mounted_piece.role.replace('_', ' ')} {mounted_piece.tag}"
            for mounted_piece in moved.mounted
        )
        screen.print(f"mounted there now: {there}")
    say_cautions(screen, moved.safety)
