"""The weeks ahead as a grid from Monday to Sunday, with the tags that are due on each day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING

from crib.trade.shop.workdays import DAYS

if TYPE_CHECKING:
    from rich.table import Table

    from crib.desk.edges.forecast_dates import Forecast

WIDTH = 10
MOST_TAGS = 3
WIDE = 1 + len(DAYS) * (WIDTH + 1)
"""How many columns the grid takes."""


def grid(found: Forecast) -> Table:
    """One row a week; a day shows its date, ``closed``, and the first tags that are due."""
    from rich.box import SQUARE
    from rich.table import Table

    made = Table(box=SQUARE, show_lines=True, padding=0, pad_edge=False)
    for name in DAYS:
        made.add_column(name, width=WIDTH, no_wrap=True, overflow="ellipsis")
    first = date.fromisoformat(found.today)
    last = date.fromisoformat(found.until)
    monday = first - timedelta(days=first.weekday())
    while monday <= last:
        week = [monday + timedelta(days=number) for number in range(len(DAYS))]
        made.add_row(*("\n".join(_cell(found, day)) for day in week))
        monday += timedelta(days=len(DAYS))
    return made


def _cell(found: Forecast, day: date) -> Iterator[str]:
    text = day.isoformat()
    if not found.today <= text <= found.until:
        return
    due = [piece.tag for piece in found.pieces if piece.due_on == text]
    name = f"{day.day} {day:%b}"
    yield f"{name} now" if text == found.today else name
    if text in found.closed:
        yield "closed"
    shown = due if len(due) <= MOST_TAGS else due[: MOST_TAGS - 1]
    yield from (tag if len(tag) <= WIDTH else f"{tag[: WIDTH - 1]}…" for tag in shown)
    if len(due) > len(shown):
        yield f"+{len(due) - len(shown)} more"
