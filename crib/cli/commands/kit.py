"""``crib kit``: get a job's kit ready, hand it out, take it back."""

from __future__ import annotations

from typing import Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened
from crib.cli.wording import confirmed, worded


def command(
    words: Annotated[
        list[str] | None,
        typer.Argument(metavar="[JOB|TAG...]", help="The job; or tags, to lend them."),
    ] = None,
    hold: Annotated[bool, typer.Option("--hold", help="Promise the job its pieces.")] = False,
    out: Annotated[bool, typer.Option("--out", help="Hand the kit out.")] = False,
    back: Annotated[
        bool, typer.Option("--back", help="Take it back and count its strokes.")
    ] = False,
    release: Annotated[
        bool, typer.Option("--release", help="Let go of what is only promised.")
    ] = False,
    lend: Annotated[bool, typer.Option("--lend", help="Lend tags without a job.")] = False,
    late: Annotated[bool, typer.Option("--late", help="What should be back.")] = False,
    to: Annotated[
        str, typer.Option("--to", metavar="NAME", help="Who takes it; or the drawer it goes to.")
    ] = "",
    until: Annotated[
        str, typer.Option("--until", metavar="YYYY-MM-DD", help="When it must be back.")
    ] = "",
    new_place: Annotated[
        bool, typer.Option("--new-place", help="The taker is a new place outside the shop.")
    ] = False,
    no_spares: Annotated[bool, typer.Option("--no-spares", help="Without spares.")] = False,
    no_strokes: Annotated[
        bool, typer.Option("--no-strokes", help="Count no strokes: they are logged already.")
    ] = False,
    sure: Annotated[bool, typer.Option("--sure", help="The counts are right.")] = False,
    draw_to: Annotated[
        str, typer.Option("--draw", metavar="FILE.pdf", help="The kit list on paper.")
    ] = "",
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """A job's kit: promise it, hand it out, take it back; who has what.

    Without a word it lists everything that is promised or out. When a kit comes back its strokes
    are counted as planned; TAG=COUNT behind the job says what a piece really did.

    Example: crib kit 24-118 --hold
    Example: crib kit 24-118 --out --to "bench 2" --until 2026-12-01
    Example: crib kit 24-118 --back P-0137=380
    Example: crib kit P-0137 --lend --to "grinding works" --new-place
    """
    from crib.cli.screens.kit_screen import draw
    from crib.desk.kit.window import KitRequest, answer_kit

    flags = {"hold": hold, "out": out, "back": back, "release": release, "lend": lend, "late": late}
    do = tuple(name for name, said in flags.items() if said)
    yes = confirmed(sure=sure)
    how = (to, until, not no_spares, not no_strokes, new_place, yes, draw_to, on, by, worded)
    with opened(crib) as session:
        answer(answer_kit(session, KitRequest(tuple(words or ()), do, *how)), draw, as_json)
