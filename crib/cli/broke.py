"""``crib broke``: a piece chipped, snapped, cracked or got lost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened
from crib.desk.broke import BreakRequest, Broke, report_break

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tag: Annotated[str, typer.Argument(metavar="TAG", help="The tag stamped on the piece.")],
    words: Annotated[
        list[str],
        typer.Argument(metavar="WHAT [thru ...]", help="chipped|snapped|shattered|cracked|lost"),
    ],
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """A piece chipped, snapped, cracked or got lost: lock it at once.

    Example: crib broke P-0137 snapped thru 1/2 A36
    """
    with opened(crib) as session:
        answer(report_break(session, BreakRequest(tag, words, by, on)), draw, as_json)


def draw(screen: Console, broke: Broke) -> None:
    """First what to do with the hands, then what was recorded, then how to go on."""
    for line in broke.say:
        screen.print(f"STOP: {line}")
    where = f" at {broke.place}" if broke.place else ""
    screen.print(f"{broke.tag}  {broke.kind}: {broke.happened}{where}; now {broke.condition}")
    for tag in broke.to_inspect:
        screen.print(f"  {tag} stood with it: inspect it, then crib look {tag} --inspected")
    if broke.ask:
        screen.print(f"  to go on: crib find {broke.ask}")
    screen.print(f"  wrong? crib history {broke.tag} gives the entry for crib undo")
