"""``crib holes``: how the holes of a job are made, by which code."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, table
from crib.desk.answer.hole_methods import Methods, list_methods

if TYPE_CHECKING:
    from rich.console import Console


def command(
    job: Annotated[str, typer.Argument(metavar="[JOB]", help="Only this job.")] = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """How the holes of a job are made, and by which code.

    Example: crib holes J-2611
    """
    with opened(crib) as session:
        answer(list_methods(session, job), draw, as_json)


def draw(screen: Console, methods: Methods) -> None:
    """One row for each hole; the code's reason under it."""
    if not methods.lines:
        of = f" for job {methods.job}" if methods.job else ""
        screen.print(f"no hole method on record{of}")
        screen.print("it is kept by: crib find PHRASE --code CODE --job JOB")
        return
    rows = table("job", "hole", "code", "full size", "made by", "who, when")
    for line in methods.lines:
        when = f"{line.who}, {line.last_at[:10]}"
        rows.add_row(line.job, line.ask, line.code, line.ruling, line.chosen, when)
    screen.print(rows)
