"""``crib history``: the ledger, newest first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, table
from crib.desk.book.history import MOST, History, HistoryLine, read_history

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tag: Annotated[
        list[str] | None, typer.Argument(metavar="[TAG]", help="Only this piece.")
    ] = None,
    by: Annotated[str, typer.Option("--person", metavar="NAME", help="Only this person.")] = "",
    since: Annotated[
        str, typer.Option("--since", metavar="YYYY-MM-DD", help="Only shifts from this day on.")
    ] = "",
    most: Annotated[int, typer.Option("--most", help="How many entries.")] = MOST,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Who did what, and when.

    Example: crib history P-0137 --most 5
    """
    with opened(crib) as session:
        answer(
            read_history(session, " ".join(tag or ()), by=by, since=since, most=most), draw, as_json
        )


def draw(screen: Console, history: History) -> None:
    """One row for each entry, with its number for ``crib undo``."""
    if not history.lines:
        screen.print("no entry passes")
        return
    rows = table("entry", "when", "who", "tag", "what", right=["entry"])
    for line in history.lines:
        rows.add_row(str(line.entry), line.at, line.who, line.tag or "-", entry_line(line))
    screen.print(rows)
    if history.more:
        screen.print(f"{history.more:,} older ones not listed: --most {history.more + MOST}")
    screen.print("take one back: crib undo ENTRY --why TEXT")


def entry_line(line: HistoryLine) -> str:
    """What an entry did, the shift it counts for when that was another day, and its undoing."""
    text = line.what
    if line.shift_on != line.at[:10]:
        text += f" (shift of {line.shift_on})"
    if line.taken_back_by is not None:
        text += f" [TAKEN BACK by {line.taken_back_by}]"
    return text
