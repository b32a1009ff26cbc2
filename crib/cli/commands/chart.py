"""``crib chart``: the wear of a piece over its shifts, or the life of a kind, as a chart."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, table
from crib.cli.screens.chart_screen import LEAST_WIDE, WIDE, chart_lines
from crib.cli.wording import worded
from crib.desk.edges.chart import Charted, ChartRequest, chart_of
from crib.desk.edges.chart_life import LifeCurve
from crib.desk.edges.chart_wear import WORDS, WearStory

if TYPE_CHECKING:
    from rich.console import Console

MOST_MARKS = 8


def command(
    name: Annotated[list[str], typer.Argument(metavar="TAG|KIND", help="A tag, or a kind's name.")],
    life: Annotated[
        bool, typer.Option("--life", help="Of a tag: the life of its kind, with it on the curve.")
    ] = False,
    draw_to: Annotated[
        str, typer.Option("--draw", metavar="FILE", help="Draw it, as .svg or .pdf.")
    ] = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """What an edge did over its shifts, or how long a kind's edges last.

    Example: crib chart P-0137
    """
    request = ChartRequest(" ".join(name), life, Path(draw_to) if draw_to else None)
    with opened(crib) as session:
        answer(chart_of(session, request), draw, as_json)


def draw(screen: Console, charted: Charted) -> None:
    """The chart, what stands on it in figures, and the notes."""
    if charted.chart is not None:
        for line in chart_lines(charted.chart, max(LEAST_WIDE, min(WIDE, screen.width))):
            screen.print(line)
        if isinstance(charted.told, WearStory):
            _draw_marks(screen, charted.told)
        else:
            _draw_pieces(screen, charted.told)
    for note in charted.notes:
        is_path = charted.drawing is not None and note is charted.notes[-1]
        screen.print(worded(note), soft_wrap=is_path)


def _draw_marks(screen: Console, story: WearStory) -> None:
    if not story.marks:
        return
    rows = table("entry", "shift", "what", "found", "wear then", right=("entry", "wear then"))
    for mark in story.marks[-MOST_MARKS:]:
        rows.add_row(
            *(str(mark.entry), mark.shift_on, WORDS[mark.action], mark.found or "-"),
            f"{mark.wear:,.0f}",
        )
    screen.print(rows)
    if len(story.marks) > MOST_MARKS:
        screen.print(f"{len(story.marks) - MOST_MARKS:,} earlier: crib history {story.tag}")


def _draw_pieces(screen: Console, told: LifeCurve) -> None:
    if not told.pieces:
        screen.print("no piece of it is in use")
        return
    rows = table("tag", "wear", "dull by then", right=("wear", "dull by then"))
    for piece in told.pieces:
        rows.add_row(piece.tag, f"{piece.wear:,.0f}", f"{100 * piece.chance:.1f} %")
    screen.print(rows)
