"""``crib undo``: take an entry back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened, say, table
from crib.cli.wording import confirmed
from crib.desk.book.undo import Restored, Undone, undo_act, undo_entries, undo_last
from crib.errors import BadInput
from crib.units import System, format_length, read_count

if TYPE_CHECKING:
    from rich.console import Console

MOST_SHOWN = 40


def command(
    numbers: Annotated[
        list[str] | None, typer.Argument(metavar="[ENTRY...]", help="Numbers of the entries.")
    ] = None,
    last: Annotated[bool, typer.Option("--last", help="The last thing that I did.")] = False,
    act: Annotated[
        str, typer.Option("--act", metavar="ENTRY", help="All that was entered with this one.")
    ] = "",
    yes: Annotated[
        bool, typer.Option("--yes", help="All that --act or --last shows first is to go.")
    ] = False,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="Why it is taken back.")] = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Take an entry back by a counter-entry.

    Example: crib undo 412 --why "logged on the wrong punch"
    """
    if bool(numbers) + last + bool(act) != 1:
        message = "say one of: entry numbers, --last, --act ENTRY"
        raise BadInput(message, way_out="`crib history` lists the entries with their numbers")
    with opened(crib) as session:
        if last:
            undone = undo_last(session, why, confirmed=confirmed(yes=yes), by=by)
        elif act:
            undone = undo_act(session, act, why, confirmed=confirmed(yes=yes), by=by)
        else:
            undone = undo_entries(session, [read_count(one) for one in numbers or ()], why, by=by)
        answer(undone, draw, as_json)


def draw(screen: Console, undone: Undone) -> None:
    """What was taken back, and each total that moved, before and after."""
    for line in undone.lines[:MOST_SHOWN]:
        screen.print(f"taken back: {line.entry}  {line.tag or ''}  {line.what}")
    rows = table("tag", "total", "before", "after", right=["before", "after"])
    for piece in undone.pieces[:MOST_SHOWN]:
        for name, before, after in changed(piece, undone.unit):
            rows.add_row(piece.tag, name, before, after)
    screen.print(rows if rows.row_count else "no total changed")
    for half in undone.halves:
        screen.print(f"STILL COUNTED: {half.entry}  {half.tag}  {half.what}; the pair's other half")
    if undone.halves:
        numbers = " ".join(str(half.entry) for half in undone.halves)
        say(screen, f"take it back too: crib undo {numbers} --why TEXT")
    left = undone.left_in_act - len(undone.halves)
    if left:
        first = undone.lines[0].entry
        holds = "entry of the same act still holds" if left == 1 else "of the same act still hold"
        screen.print(f"{left} more {holds}; take all of it back:")
        screen.print(f"  crib undo --act {first} --why TEXT")
    hidden = len(undone.lines) - MOST_SHOWN
    if hidden > 0:
        screen.print(f"{hidden:,} more entries taken back and not listed; --json lists them")


def changed(piece: Restored, unit: System) -> list[tuple[str, str, str]]:
    """The totals that an undo moved, as name, before and after."""
    old, new = piece.before, piece.after
    told = [
        ("place", old.place or "-", new.place or "-"),
        ("condition", old.condition, new.condition),
        ("weighted strokes", f"{old.wear:,.0f}", f"{new.wear:,.0f}"),
        ("since grind", f"{old.strokes_since_grind:,}", f"{new.strokes_since_grind:,}"),
        ("since new", f"{old.strokes_since_new:,}", f"{new.strokes_since_new:,}"),
        ("grinds", f"{old.grinds}", f"{new.grinds}"),
        ("length", _length(old.length_mm, unit), _length(new.length_mm, unit)),
        ("measured size", _length(old.width_mm, unit), _length(new.width_mm, unit)),
        ("edge in use", f"{old.edge}", f"{new.edge}"),
    ]
    return [row for row in told if row[1] != row[2]]


def _length(length_mm: float | None, unit: System) -> str:
    return "-" if length_mm is None else format_length(length_mm, unit, digits=4)
