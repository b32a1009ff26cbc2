"""``crib due``: what needs attention, the greatest risk first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, table
from crib.desk.edges.due import DueAtSite, DueList, DueRequest, list_due

if TYPE_CHECKING:
    from rich.console import Console


def command(
    everything: Annotated[
        bool, typer.Option("--all", help="Every line, not the first few.")
    ] = False,
    by: Annotated[
        str, typer.Option("--person", metavar="NAME", help="Only what this person has in hand.")
    ] = "",
    machine: Annotated[
        str, typer.Option("--machine", metavar="NAME", help="Only what stands at this machine.")
    ] = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """What needs grinding, turning or replacing, now and soon.

    Example: crib due --machine "Ironworker 1"
    """
    with opened(crib) as session:
        answer(list_due(session, DueRequest(everything, by, machine)), draw, as_json)


def draw(screen: Console, due: DueList) -> None:
    """One line a piece, nothing when nothing is due; and what is on the way between sites."""
    _draw_due(screen, due)
    if isinstance(due, DueAtSite):
        from crib.cli.screens.ways_screen import draw_on_the_way

        draw_on_the_way(screen, due.on_the_way)


def _draw_due(screen: Console, due: DueList) -> None:
    if not due.lines:
        seen = f"; {due.silent:,} seen already" if due.silent else ""
        screen.print(f"{_nothing(due)} is due{seen}")
        return
    rows = table("tag", "is a", "where", "used", "what to do", right=("used",))
    for line in due.lines:
        rows.add_row(
            line.tag, line.kind, line.place or "nowhere", f"{100 * line.used:.0f} %", line.words
        )
    screen.print(rows)
    if due.more:
        screen.print(f"and {due.more} more: crib due --all")
    screen.print("a line is closed by evidence: crib grind TAG --length LENGTH,")
    screen.print("crib look TAG --sharp, or crib look TAG --inspected")


def _nothing(due: DueList) -> str:
    """Nothing, and of what: a narrow question must not sound as if the whole shop were sharp."""
    asked = [f"{due.by} has"] if due.by else []
    asked += [f"stands at {due.machine}"] if due.machine else []
    return f"nothing that {' and '.join(asked)}" if asked else "nothing"
