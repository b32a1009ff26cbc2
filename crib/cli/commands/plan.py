"""``crib plan``: a job or a shift, from its part files or its kept lines to runs in order."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from crib.cli.door import (
    FOUND,
    NOTHING_SERVES,
    ByOption,
    ColumnsOption,
    CribOption,
    JsonOption,
    MaterialOption,
    QuantityOption,
    SamePartOption,
    SlotCentreOption,
    TakeOption,
    ThicknessOption,
    answer,
    opened,
)
from crib.cli.wording import confirmed


def command(
    files: Annotated[
        list[Path] | None,
        typer.Argument(metavar="[FILE...]", help="The part files of one job, or their folder."),
    ] = None,
    job: Annotated[str, typer.Option("--job", metavar="NAME", help="The job's name.")] = "",
    due: Annotated[
        str, typer.Option("--due", metavar="YYYY-MM-DD", help="The day it must be ready.")
    ] = "",
    keep: Annotated[bool, typer.Option("--keep", help="Keep the job with its runs.")] = False,
    again: Annotated[
        bool,
        typer.Option(
            "--count-earlier", help="Strokes logged by the plan before count for this one."
        ),
    ] = False,
    afresh: Annotated[
        bool, typer.Option("--afresh", help="Plan a kept job anew, also what stands of it.")
    ] = False,
    in_order: Annotated[
        bool, typer.Option("--in-order", help="Keep the parts in the order given.")
    ] = False,
    machine: Annotated[
        str, typer.Option("--machine", metavar="NAME", help="Use this machine only.")
    ] = "",
    unit: Annotated[str, typer.Option("--unit", metavar="in|mm", help="A drawing's unit.")] = "",
    thickness: ThicknessOption = "",
    material: MaterialOption = "",
    quantity: QuantityOption = None,
    slot_centre: SlotCentreOption = "",
    same_part: SamePartOption = "",
    take: TakeOption = "",
    columns: ColumnsOption = "",
    leave: Annotated[
        bool, typer.Option("--leave", help="Plan without the files that cannot be read.")
    ] = False,
    sheet: Annotated[
        str, typer.Option("--set-up-sheet", metavar="FILE.pdf", help="Print how to set up.")
    ] = "",
    seconds: Annotated[
        float | None,
        typer.Option("--seconds", metavar="N", help="Look so long for the best order."),
    ] = None,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Get a job or a shift ready: pieces, order, changes, wear.

    Without files a kept job is planned (--job), or every open job in the order they are due.
    Kept again, only what no longer stands of a job's plan changes, as after a break.

    Example: crib plan bracket.nc1 --job 24-118 --due 2026-12-01 --keep
    """
    from crib.cli.screens.how_far import HowFar
    from crib.cli.screens.plan_screen import draw
    from crib.desk.plan.make_plan import PlanRequest, make_plan

    how = (keep, confirmed(count_earlier=again, leave=leave), in_order, machine, by, unit)
    asked = PlanRequest(tuple(files or ()), job, due, *how, thickness, material, same_part)
    asked = asked.searched(afresh, seconds, HowFar())
    with opened(crib) as session:
        plan = make_plan(session, asked.more(quantity, slot_centre, sheet, take, columns))
        answer(plan, draw, as_json, FOUND if plan.serves else NOTHING_SERVES)
