"""``crib jobs``: the open jobs and how far they are; one of them; closing and reopening."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened, table
from crib.cli.wording import worded
from crib.errors import BadInput

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.kit.open_jobs import Jobs


def command(
    name: Annotated[str, typer.Argument(metavar="[NAME]", help="Show this job's runs.")] = "",
    close: Annotated[str, typer.Option("--close", metavar="NAME", help="Close this job.")] = "",
    assume: Annotated[
        bool, typer.Option("--assume", help="Count planned strokes that nobody logged.")
    ] = False,
    not_made: Annotated[
        bool, typer.Option("--not-made", help="Strokes that nobody logged were not made.")
    ] = False,
    reopen: Annotated[
        bool, typer.Option("--reopen", help="Open NAME again, closed by mistake; say --why.")
    ] = False,
    claim: Annotated[
        bool, typer.Option("--claim", help="Give NAME the strokes logged without a job.")
    ] = False,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="Why it is reopened.")] = "",
    by: ByOption = "",
    on: OnOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """The open jobs and how far they are; close one that is done.

    Example: crib jobs --close 24-118 --assume --by nights
    """
    from crib.desk.kit import open_jobs

    if reopen or claim:
        _require_name(name, close)
    with opened(crib) as session:
        if close:
            found = open_jobs.close(session, close, open_jobs.Closing(assume, not_made, by, on))
        elif claim:
            found = open_jobs.claim_strokes(session, name, by=by)
        elif reopen:
            found = open_jobs.reopen(session, name, why, open_jobs.Closing(by=by, on=on))
        else:
            found = open_jobs.show_job(session, name) if name else open_jobs.list_jobs(session)
    answer(found, draw, as_json)


def _require_name(name: str, close: str) -> None:
    if close or not name:
        message = "--reopen and --claim want the job's name and no --close"
        way_out = "crib jobs NAME --reopen --why TEXT; crib jobs NAME --claim"
        raise BadInput(message, way_out=way_out)


def draw(screen: Console, found: Jobs) -> None:
    """The jobs in a line each, and the runs of one."""
    if not found.jobs:
        screen.print("No job is open: crib plan FILE --job NAME --keep")
        return
    shown = table("job", "due", "strokes", "logged", "left", "", right=_FIGURES)
    for job in found.jobs:
        card = job.card
        figures = (f"{card.planned:,}", f"{card.logged:,}", f"{card.left:,}")
        figures = figures if card.runs else ("not planned", "-", "-")
        state = "LATE" if job.late else f"closed {card.closed_on}" if not card.open else ""
        beyond = f"{card.beyond:,} more logged than planned" if card.beyond else ""
        words = ", ".join(word for word in (state, beyond, card.note) if word)
        shown.add_row(card.name, card.due_on, *figures, words)
    screen.print(shown)
    _runs(screen, found)
    for note in found.notes:
        screen.print(f"Note: {worded(note)}.", soft_wrap=False)


_FIGURES = ("strokes", "logged", "left")


def _runs(screen: Console, found: Jobs) -> None:
    if not found.runs:
        return
    screen.print()
    shown = table("run", "part", "what", "at", "take", "logged", right=("run", "logged"))
    shown.columns[1].max_width = 12
    for run in found.runs:
        tags = " ".join(tag for tag in (run.tag, run.with_tag, *run.beside_tags) if tag)
        logged = f"{run.logged:,} of {run.strokes:,}"
        where = f"{run.machine} / {run.station}"
        shown.add_row(str(run.sequence), run.mark, run.phrase, where, tags, logged)
    screen.print(shown)
