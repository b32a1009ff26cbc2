"""``crib wrap``: the wrap-around template of a saddle, as a PDF at full size."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, shown_back, table
from crib.cli.wording import confirmed, worded
from crib.features.common.sizes import decimal_text

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.answer.wrap import Wrap


def command(
    phrase: Annotated[
        list[str], typer.Argument(metavar="PHRASE...", help="The saddle, as for find.")
    ],
    file: Annotated[str, typer.Argument(metavar="FILE.pdf", help="The PDF to write.")],
    paper: Annotated[
        str,
        typer.Option("--paper", metavar="letter|a4", help="By the crib's unit when not said."),
    ] = "",
    contact: Annotated[
        str,
        typer.Option("--contact", metavar="bore|outside", help="Bore: torch. Outside: cutter."),
    ] = "bore",
    lines: Annotated[int, typer.Option("--lines", help="Lines round the branch, 4 to 72.")] = 16,
    overwrite: Annotated[bool, typer.Option("--overwrite", help="Write over a file.")] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """The wrap-around template of a saddle, at full size, as a PDF.

    Example: crib wrap saddle 6 pipe sch 40 onto 8 pipe at 60 branch.pdf
    """
    from crib.desk.answer.wrap import WrapRequest, make_wrap

    request = WrapRequest(
        " ".join(phrase), Path(file), paper, contact, lines, confirmed(overwrite=overwrite)
    )
    with opened(crib) as session:
        answer(make_wrap(session, request), draw, as_json)


def draw(screen: Console, made: Wrap) -> None:
    """Where it is, how to print it, and what comes off at each line."""
    screen.print(shown_back(made.phrase, made.understood))
    rows = table("line", "degrees", "round the branch", "cut off", right=("line", "degrees"))
    for one in made.ordinates:
        rows.add_row(
            str(one.number),
            f"{one.theta_deg:g}",
            decimal_text(one.around_mm, made.unit),
            decimal_text(one.cutback_mm, made.unit),
        )
    screen.print(rows)
    around = decimal_text(made.circumference_mm, made.unit)
    screen.print(f"touches at the {made.contact}; {around} round the branch")
    for note in made.notes:
        screen.print(f"Note: {worded(note)}")
    pages = "1 page" if made.pages == 1 else f"{made.pages} pages"
    screen.print(f"{made.file}: {pages} of {made.paper}, print at 100 %", soft_wrap=True)
    screen.print("measure the square on each page before you mark anything")
