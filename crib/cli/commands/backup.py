"""``crib backup``: a safe copy."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, chosen_place
from crib.desk.book.safe_copy import back_up
from crib.stock.engine.backup import CopyReport

if TYPE_CHECKING:
    from rich.console import Console

    from crib.stock.engine.place import Place


def command(
    file: Annotated[
        str, typer.Argument(metavar="[FILE]", help="A new file; else beside the crib.")
    ] = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """A safe copy of the crib, verified.

    Example: crib backup /media/stick/shop.crib
    """
    target = Path(file).expanduser() if file else None
    path = chosen_place(crib)
    answer(back_up(path, target), lambda screen, copy: draw(screen, copy, path), as_json)


def draw(screen: Console, copy: CopyReport, crib: Place) -> None:
    """Where the copy is, of which crib, and what it holds."""
    screen.print(f"safe copy: {copy.path}", soft_wrap=True)
    screen.print(
        f"  verified: {copy.pieces:,} pieces, {copy.entries:,} entries, {copy.strokes:,} strokes"
    )
    screen.print(f"  back again: crib restore {shlex.quote(str(copy.path))} --yes", soft_wrap=True)
    screen.print(f"  of the crib: {crib}", soft_wrap=True)
