"""``crib send``: pieces to another site; what is on the way."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened, say
from crib.cli.wording import worded

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.shelf.send import Sent


def command(
    tags: Annotated[
        list[str] | None, typer.Argument(metavar="[TAG]...", help="Which pieces.")
    ] = None,
    to: Annotated[str, typer.Option("--to", metavar="SITE", help="Where they go.")] = "",
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Send pieces to another site; without a word, what is on the way.

    Example: crib send P-0137 D-0201 --to South
    """
    from crib.cli.screens.ways_screen import draw_ways
    from crib.desk.common.ways import list_ways
    from crib.desk.shelf.send import send_pieces

    with opened(crib) as session:
        if tags or to:
            answer(send_pieces(session, tags or (), to, by=by, on=on), draw, as_json)
        else:
            answer(list_ways(session), draw_ways, as_json)


def draw(screen: Console, sent: Sent) -> None:
    """What left, and when it should be there."""
    for piece in sent.pieces:
        say(screen, f"{piece.tag}  {piece.came_from} -> {piece.place}", then="  ")
    say(screen, f"on the way to {sent.to_site}, there by {sent.due_on}", then="  ")
    tags = " ".join(piece.tag for piece in sent.pieces)
    say(screen, f"when it is there: crib arrive {tags} --site {_quoted(sent.to_site)}", then="  ")
    for note in sent.notes:
        say(screen, f"NOTE: {worded(note)}", "  ", "  ")


def _quoted(name: str) -> str:
    import shlex

    return shlex.quote(name)
