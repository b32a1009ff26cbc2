"""``crib sheet``: a stroke sheet on paper, to be typed back by its lines' codes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened, table
from crib.cli.wording import confirmed, spelled

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.strokes.stroke_paper import PaperMade

MOST_LINES = 20


def command(
    file: Annotated[str, typer.Argument(metavar="FILE.pdf", help="The PDF to write.")],
    machine: Annotated[
        str, typer.Option("--machine", metavar="NAME", help="Only what this machine has.")
    ] = "",
    blank: Annotated[int, typer.Option("--blank", help="Blank lines, 0 to 60.")] = 6,
    paper: Annotated[
        str,
        typer.Option("--paper", metavar="letter|a4", help="By the crib's unit when not said."),
    ] = "",
    overwrite: Annotated[bool, typer.Option("--overwrite", help="Write over a file.")] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """A stroke sheet on paper, typed back by its lines' codes.

    A line for each mounted pair and planned run, and blank ones. Each has a code, such as 7-3;
    what was written behind it is typed back by that: crib log 7-3 400 7-4 60 about

    Example: crib sheet strokes.pdf --machine "Ironworker 1"
    """
    from crib.desk.strokes.stroke_paper import PaperRequest, make_paper

    request = PaperRequest(
        Path(file), machine, blank, paper, by, confirmed(overwrite=overwrite), spelled
    )
    with opened(crib) as session:
        answer(make_paper(session, request), draw, as_json)


def draw(screen: Console, made: PaperMade) -> None:
    """Which code stands for what, where the paper is, and how it is typed back."""
    from crib.desk.strokes.shift import plate_text

    rows = table("line", "tool", "over or with", "thru", "planned", "job", right=("planned",))
    for line in made.lines[:MOST_LINES]:
        thru = plate_text(line.thickness_mm, line.material, made.unit) if line.thickness_mm else ""
        planned = "" if line.planned is None else f"{line.planned:,}"
        others = line.die_tag or " ".join(line.beside)
        rows.add_row(line.code, line.tag, others, thru, planned, line.job)
    if made.lines:
        screen.print(rows)
    if len(made.lines) > MOST_LINES:
        screen.print(f"and {len(made.lines) - MOST_LINES} more lines; --json lists them all")
    pages = "1 page" if made.pages == 1 else f"{made.pages} pages"
    blank = f", {made.blank_lines} blank" if made.blank_lines else ""
    lines = f"{len(made.lines)} line{'s' if len(made.lines) != 1 else ''}{blank}"
    screen.print(f"{made.file}: sheet {made.number}, {lines}, {pages}", soft_wrap=True)
    if made.type_back:
        screen.print(f"to type it back: {spelled(made.type_back)}")
