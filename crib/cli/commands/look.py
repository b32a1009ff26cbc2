"""``crib look``: somebody looked at a piece."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, TagWords, answer, opened
from crib.cli.wording import worded
from crib.desk.edges.look import Looked, LookRequest, record_look

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tag: TagWords,
    sharp: Annotated[bool, typer.Option("--sharp", help="Looked at, still sharp.")] = False,
    defer: Annotated[bool, typer.Option("--defer", help="Put off once; needs --why.")] = False,
    inspected: Annotated[bool, typer.Option("--inspected", help="Inspected, sound.")] = False,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="The reason.")] = "",
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Looked at, still sharp; or put off once with a reason.

    A cracked piece comes back only by --inspected --by NAME, another name than who reported it.

    Example: crib look P-0137 --sharp
    """
    request = LookRequest(" ".join(tag), sharp, defer, inspected, why, by, on)
    with opened(crib) as session:
        answer(record_look(session, request), draw, as_json)


def draw(screen: Console, looked: Looked) -> None:
    """What was found, and until when it is quiet."""
    screen.print(f"{looked.tag}  {looked.kind}: {looked.found}")
    rest = f"; at most {looked.left:,} weighted strokes more" if looked.condition == "sound" else ""
    screen.print(f"  {100 * looked.used:.0f} % of its interval used; {looked.condition}{rest}")
    if looked.silent:
        screen.print("  its reminder is silent until the next level")
    for note in looked.notes:
        screen.print(f"  NOTE: {worded(note)}")
