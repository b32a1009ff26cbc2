"""``crib retire``: take a piece out of use."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, TagWords, answer, opened
from crib.cli.wording import worded
from crib.desk.shelf.retire import Retired, retire_piece

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tag: TagWords,
    why: Annotated[
        str, typer.Option("--why", metavar="TEXT", help="Cracked, worn under size, sold ...")
    ] = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Take a piece out of use, with the reason.

    Example: crib retire P-0137 --why "cracked at the head"
    """
    with opened(crib) as session:
        answer(retire_piece(session, " ".join(tag), why, by=by), draw, as_json)


def draw(screen: Console, retired: Retired) -> None:
    """What is out of use, and what is left of its kind."""
    screen.print(f"{retired.tag} is {retired.condition}: {retired.kind}; {retired.why}")
    screen.print(
        f"  {retired.strokes_since_new:,} strokes and {retired.grinds} grinds in its life;"
        f" {retired.left_of_kind} of this kind left"
    )
    for note in retired.notes:
        screen.print(f"  NOTE: {worded(note)}")
    screen.print(f"  its tag is never used again; wrong? crib undo {retired.entry} --why TEXT")
