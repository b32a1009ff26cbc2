"""``crib restore``: bring a safe copy back."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, chosen_place, say
from crib.cli.wording import confirmed
from crib.desk.book.safe_copy import Restoration, restore

if TYPE_CHECKING:
    from rich.console import Console


def command(
    backup: Annotated[str, typer.Argument(metavar="BACKUP", help="The safe copy.")],
    yes: Annotated[bool, typer.Option("--yes", help="Yes, in place of the present crib.")] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Bring a safe copy back.

    Example: crib restore shop.crib.backup-20260331-170000 --yes
    """
    restored = restore(chosen_place(crib), Path(backup).expanduser(), confirmed=confirmed(yes=yes))
    answer(restored, draw, as_json)


def draw(screen: Console, restored: Restoration) -> None:
    """What is back, and where the crib before it lies."""
    screen.print(f"brought back: {restored.path}", soft_wrap=True)
    screen.print(
        f"  verified: {restored.pieces:,} pieces, {restored.entries:,} entries,"
        f" {restored.strokes:,} strokes"
    )
    if restored.set_aside:
        screen.print(f"  the crib before it: {restored.set_aside}", soft_wrap=True)
    devices = restored.devices
    if devices.shut_out:
        say(screen, f"not let in any more at the page: {', '.join(devices.shut_out)}", then="  ")
    if devices.shut_out or devices.pair_anew:
        names = ", ".join(dict.fromkeys([*devices.pair_anew, *devices.shut_out]))
        say(
            screen,
            f"whichever of them is to be let in is paired anew (crib serve --pair): {names}",
            then="  ",
        )
