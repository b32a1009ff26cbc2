"""``crib kit``: get a job's kit ready, hand it out, take it back; who has what."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, TagWords, answer, opened
from crib.cli.plain_words import PlainCommand
from crib.cli.sub_commands import SubCommands
from crib.cli.wording import confirmed, worded

JobWords = Annotated[list[str], typer.Argument(metavar="JOB", help="The job's name.")]
BackWords = Annotated[
    list[str],
    typer.Argument(
        metavar="JOB [TAG=COUNT]...", help="The job, and what a piece really did; or tags lent."
    ),
]
TakerOption = Annotated[str, typer.Option("--to", metavar="NAME", help="Who takes it.")]
UntilOption = Annotated[
    str, typer.Option("--until", metavar="YYYY-MM-DD", help="When it must be back.")
]
NewPlaceOption = Annotated[
    bool, typer.Option("--new-place", help="The taker is a new place outside the shop.")
]
NoSparesOption = Annotated[bool, typer.Option("--no-spares", help="Without spares.")]
DrawOption = Annotated[
    Path | None, typer.Option("--draw", metavar="FILE.pdf", help="The kit list on paper.")
]

group = typer.Typer(
    cls=SubCommands,
    add_completion=False,
    rich_markup_mode=None,
    subcommand_metavar="[COMMAND|JOB] [ARGS]...",
    epilog="A first word that is no sub-command is a job: `crib kit 24-118` shows its kit.",
)


@group.callback(invoke_without_command=True)
def command(ctx: typer.Context, as_json: JsonOption = False, crib: CribOption = "") -> None:
    """A job's kit: promise it, hand it out, take it back; who has what.

    Without a word it lists everything that is promised or out.

    Example: crib kit

    Example: crib kit 24-118
    """
    from crib.cli.screens.kit_screen import draw
    from crib.desk.kit.job_kit import list_held

    if ctx.invoked_subcommand is None:
        with opened(crib) as session:
            answer(list_held(session), draw, as_json)


@group.command(cls=PlainCommand)
def show(
    job: JobWords, draw_to: DrawOption = None, as_json: JsonOption = False, crib: CribOption = ""
) -> None:
    """What a job takes: the walk, what is in the way or missing.

    Example: crib kit show 24-118 --draw kit.pdf
    """
    from crib.cli.screens.kit_screen import draw
    from crib.desk.kit.kit_paper import KitPaper, draw_kit
    from crib.desk.kit.kit_words import job_named

    with opened(crib) as session:
        answer(draw_kit(session, job_named(job), KitPaper(draw_to, worded)), draw, as_json)


@group.command(cls=PlainCommand)
def hold(
    job: JobWords,
    no_spares: NoSparesOption = False,
    draw_to: DrawOption = None,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Promise the job its pieces, all or none.

    Example: crib kit hold 24-118 --no-spares
    """
    from crib.cli.screens.kit_screen import draw
    from crib.desk.kit.hold import hold_kit
    from crib.desk.kit.kit_paper import KitPaper
    from crib.desk.kit.kit_words import job_named

    name, paper = job_named(job), KitPaper(draw_to, worded)
    with opened(crib) as session:
        answer(hold_kit(session, name, spares=not no_spares, by=by, paper=paper), draw, as_json)


@group.command(cls=PlainCommand)
def out(
    job: JobWords,
    to: TakerOption = "",
    until: UntilOption = "",
    new_place: NewPlaceOption = False,
    no_spares: NoSparesOption = False,
    draw_to: DrawOption = None,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Hand the kit out, promising first what is not promised yet.

    Example: crib kit out 24-118 --to "bench 2" --until 2026-12-01
    """
    from crib.cli.screens.kit_screen import draw
    from crib.desk.kit.hand_out import HandOut, hand_out
    from crib.desk.kit.kit_paper import KitPaper
    from crib.desk.kit.kit_words import job_named

    name, paper = job_named(job), KitPaper(draw_to, worded)
    hand = HandOut(to, until, new_place, spares=not no_spares)
    with opened(crib) as session:
        answer(hand_out(session, name, hand, by=by, paper=paper), draw, as_json)


@group.command(cls=PlainCommand)
def back(
    words: BackWords,
    to: Annotated[
        str, typer.Option("--to", metavar="DRAWER", help="One drawer for all of it.")
    ] = "",
    no_strokes: Annotated[
        bool, typer.Option("--no-strokes", help="Count no strokes: they are logged already.")
    ] = False,
    sure: Annotated[bool, typer.Option("--sure", help="The counts are right.")] = False,
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Take it back and count its strokes; or take loans back by tag.

    Strokes are counted as planned; TAG=COUNT behind the job says what a piece really did.

    Example: crib kit back 24-118 P-0137=380

    Example: crib kit back P-0137 --to A1
    """
    from crib.cli.screens.kit_screen import draw
    from crib.desk.kit.kit_words import come_back
    from crib.desk.kit.take_back import TakeBack

    how = TakeBack((), to, strokes=not no_strokes, on=on, confirmed=confirmed(sure=sure))
    with opened(crib) as session:
        answer(come_back(session, words, how, by=by), draw, as_json)


@group.command(cls=PlainCommand)
def release(job: JobWords, as_json: JsonOption = False, crib: CribOption = "") -> None:
    """Let go of what is only promised to the job.

    Example: crib kit release 24-118
    """
    from crib.cli.screens.kit_screen import draw
    from crib.desk.kit.hold import release_kit
    from crib.desk.kit.kit_words import job_named

    with opened(crib) as session:
        answer(release_kit(session, job_named(job)), draw, as_json)


@group.command(cls=PlainCommand)
def lend(
    tags: TagWords,
    to: TakerOption = "",
    until: UntilOption = "",
    new_place: NewPlaceOption = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Lend pieces without a job.

    Example: crib kit lend P-0137 --to "grinding works" --new-place
    """
    from crib.cli.screens.kit_screen import draw
    from crib.desk.kit.hand_out import HandOut
    from crib.desk.kit.hand_out import lend as lend_pieces

    with opened(crib) as session:
        lent = lend_pieces(session, tags, HandOut(to, until, new_place), by=by)
        answer(lent, draw, as_json)


@group.command(cls=PlainCommand)
def late(as_json: JsonOption = False, crib: CribOption = "") -> None:
    """What should be back already, and how late it is.

    Example: crib kit late
    """
    from crib.cli.screens.kit_screen import draw
    from crib.desk.kit.job_kit import list_held

    with opened(crib) as session:
        answer(list_held(session, late=True), draw, as_json)
