"""``crib labels``: labels for tools and drawers, on sheets of labels."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened
from crib.cli.wording import confirmed
from crib.desk.shelf.labels import Labels, LabelsRequest, make_labels

if TYPE_CHECKING:
    from rich.console import Console

MOST_NOTES = 5


def command(
    file: Annotated[str, typer.Argument(metavar="FILE.pdf", help="The PDF to write.")],
    tags: Annotated[
        list[str] | None, typer.Argument(metavar="[TAG...]", help="The tools to label.")
    ] = None,
    drawer: Annotated[
        list[str] | None,
        typer.Option("--drawer", metavar="NAME", help="All that lies there; may be repeated."),
    ] = None,
    drawers: Annotated[
        bool, typer.Option("--drawers", help="Label drawers, one for each kind in each.")
    ] = False,
    every: Annotated[bool, typer.Option("--all", help="Label every tool.")] = False,
    sheet: Annotated[
        str, typer.Option("--sheet", metavar="SHEET", help="The sheet of labels, such as 'a4 3x8'.")
    ] = "",
    skip: Annotated[
        int, typer.Option("--skip", metavar="N", help="Labels of the sheet that are used already.")
    ] = 0,
    frames: Annotated[
        bool, typer.Option("--frames", help="A line round each, to try it on plain paper.")
    ] = False,
    plain: Annotated[
        bool, typer.Option("--plain", help="Codes of the tag alone, without the page's address.")
    ] = False,
    overwrite: Annotated[bool, typer.Option("--overwrite", help="Write over a file.")] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Labels for tools and drawers, as a PDF for sheets of labels.

    What is broken, lost or retired gets one only by its tag.

    Example: crib labels labels.pdf --drawer K3 --sheet "a4 3x8" --skip 3
    """
    chosen = (tuple(tags or ()), tuple(drawer or ()), every, drawers)
    request = LabelsRequest(
        Path(file), *chosen, sheet, skip, frames, confirmed(overwrite=overwrite), plain
    )
    with opened(crib) as session:
        answer(make_labels(session, request), draw, as_json)


def draw(screen: Console, made: Labels) -> None:
    """How many of what, on which sheet, and how to print it."""
    screen.print(f"{made.labels:,} for {'drawers' if made.drawers else 'tools'}")
    for words in made.shortened[:MOST_NOTES]:
        screen.print(f"Note: too long for its label: {words}")
    if len(made.shortened) > MOST_NOTES:
        screen.print(f"Note: and {len(made.shortened) - MOST_NOTES} more (--json lists them all)")
    if made.address:
        screen.print(f"the codes open {made.address}", soft_wrap=True)
    if made.short_codes:
        count = len(made.short_codes)
        screen.print(
            f"Note: too low for that, {count:,} code{'' if count == 1 else 's'} of the name alone"
        )
    pages = "1 page" if made.pages == 1 else f"{made.pages:,} pages"
    skipped = f", after {made.skipped} used labels" if made.skipped else ""
    screen.print(f"{made.file}: {pages} of {made.sheet} mm{skipped}", soft_wrap=True)
    screen.print("print at 100 %, on plain paper first (--frames), held against a sheet of labels")
