"""``crib forecast``: the days on which pieces are due and kinds run out, as a calendar."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, table
from crib.cli.wording import worded
from crib.desk.edges.forecast import forecast
from crib.desk.edges.forecast_dates import USUAL_WEEKS, ForecastRequest

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.edges.forecast_dates import Forecast

MOST_KINDS = 10


def command(
    weeks: Annotated[int, typer.Option("--weeks", help="How many weeks ahead.")] = USUAL_WEEKS,
    ics: Annotated[
        str, typer.Option("--ics", metavar="FILE.ics", help="Write a calendar file as well.")
    ] = "",
    everything: Annotated[
        bool, typer.Option("--all", help="Every date, also beyond those weeks.")
    ] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """When each piece is due and each kind runs out, as a calendar.

    By the strokes of the last weeks per working day, and by planned jobs. A tool that is not used
    gets no date.

    Example: crib forecast --weeks 4 --ics due.ics
    """
    request = ForecastRequest(weeks, everything, Path(ics) if ics else None)
    with opened(crib) as session:
        answer(forecast(session, request), draw, as_json)


def draw(screen: Console, found: Forecast) -> None:
    """The weeks ahead with what is due on each day, then the list, then what runs out."""
    from crib.cli.screens.forecast_grid import WIDE, grid

    # A week in narrower columns would show half a tag; the list below names every piece.
    if screen.width >= WIDE:
        screen.print(grid(found))
    if found.pieces:
        rows = table("due on", "tag", "what to do", "used", "where", right=("used",))
        for piece in found.pieces:
            day = "now" if piece.due_on == found.today else piece.due_on
            rows.add_row(
                day, piece.tag, piece.do, f"{100 * piece.used:.0f} %", piece.place or "nowhere"
            )
        screen.print(rows)
    else:
        screen.print(f"nothing comes due until {found.until}")
    if found.later:
        screen.print(f"and {found.later} more later: crib forecast --all")
    _draw_kinds(screen, found)
    for note in found.notes:
        screen.print(f"note: {worded(note)}")
    screen.print(
        f"the pace is that of the last {found.look_back_weeks} weeks; planned jobs come on top, on"
        " the day they are due"
    )
    if found.file:
        screen.print(f"{found.file}: {len(found.pieces)} days written", soft_wrap=True)


def _draw_kinds(screen: Console, found: Forecast) -> None:
    if not found.kinds:
        return
    rows = table("order by", "kind", "out of grinds", "pieces", "lead", right=("pieces", "lead"))
    for kind in found.kinds[:MOST_KINDS]:
        order_by = "now" if kind.order_by <= found.today else kind.order_by
        rows.add_row(order_by, kind.kind, kind.out_on, str(kind.pieces), f"{kind.lead_days} days")
    screen.print(rows)
    if len(found.kinds) > MOST_KINDS:
        screen.print(f"and {len(found.kinds) - MOST_KINDS} more kinds; --json lists them all")
