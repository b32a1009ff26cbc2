"""``crib holes``: how the holes of a job are made, by which code."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, table
from crib.desk.answer.hole_methods import Methods, list_methods
from crib.features.common.sizes import clean_text
from crib.stock.writers.hole_methods import MethodLine
from crib.units import System

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
    rows = table("job", "hole", "code", "full size", "how made", "who, when")
    for line in methods.lines:
        when = f"{line.who}, {line.last_at[:10]}"
        rows.add_row(line.job, line.ask, line.code, line.ruling, _made(line, methods.system), when)
    screen.print(rows)


def _made(line: MethodLine, system: System) -> str:
    """How a hole is made: what is punched and what it is reamed to, and with which tools."""
    made = line.chosen
    if line.punched_mm and line.finished_mm and line.chosen == "punch under size and ream":
        sizes = [clean_text(size, system) for size in (line.punched_mm, line.finished_mm)]
        made = f"{made}, {' to '.join(sizes)}"
    return f"{made} ({line.tools})" if line.tools else made
