"""How counted strokes look on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from crib.acts import Said
from crib.cli.door import table
from crib.cli.wording import worded
from crib.desk.common.reminder_levels import Reminder
from crib.desk.strokes.log import LoggedLine, LogResult
from crib.desk.strokes.stroke_sheet import SheetResult
from crib.units import System, format_length

if TYPE_CHECKING:
    from rich.console import Console

MOST_PIECES = 20
MOST_DUE = 10
MOST_NOTES = 10
WEAR_WIDTH = 18


def draw(screen: Console, result: LogResult | SheetResult) -> None:
    """The lines of an act, or the sums of a sheet, then what became due."""
    if isinstance(result, LogResult):
        _draw_lines(screen, result)
    elif result.taken_before is not None:
        _draw_taken(screen, result)
    else:
        _draw_sheet(screen, result)


def _draw_lines(screen: Console, result: LogResult) -> None:
    rows = table("tag", "strokes", "thru", "each", "wear now", "edge", right=("strokes", "each"))
    for line in result.lines:
        count = f"about {line.count:,}" if line.estimate else f"{line.count:,}"
        tag = f"  {line.tag}" if line.under or line.beside else line.tag
        rows.add_row(tag, count, _thru(line, result.unit), _each(line), _wear(line), line.words)
    # A share must not be parted from its sign where the row is too long.
    wear_lines = [text for line in result.lines for text in _wear(line).splitlines()]
    rows.columns[4].min_width = max(map(len, wear_lines), default=0)
    screen.print(rows)
    for line in result.lines:
        screen.print(f"  {line.tag}: why {line.weight_each:.2f}: {line.why}")
    _draw_due(screen, result.became_due)
    _draw_notes(screen, result.notes)
    whole = "--act " if len(result.entries) > 1 else ""
    undo = f"crib undo {whole}{result.entries[0]} --why TEXT"
    screen.print(f"counted for {result.shift_on} by {result.by}; wrong? {undo}")


def _thru(line: LoggedLine, unit: System) -> str:
    if line.thickness_mm is None:
        return "not given"
    return f"{format_length(line.thickness_mm, unit, digits=4)} {line.material}"


def _each(line: LoggedLine) -> str:
    return f"x {line.weight_each:.2f}"


def _wear(line: LoggedLine) -> str:
    wear, share = f"{line.wear:,.0f} of {line.interval:,.0f},", f"{100 * line.used:.0f} %"
    return f"{wear} {share}" if len(f"{wear} {share}") <= WEAR_WIDTH else f"{wear}\n{share}"


def _draw_taken(screen: Console, result: SheetResult) -> None:
    before = result.taken_before
    assert before is not None
    moment = before.made_at.replace("T", " ")[:16]
    screen.print(
        f"{result.name} was taken already: {before.lines:,} lines, {moment} UTC, by"
        f" {before.person}. Nothing was added."
    )
    screen.print("if it is a second lot with the same lines, say it with --again")


def _draw_sheet(screen: Console, result: SheetResult) -> None:
    rows = table("tag", "lines", "strokes", "weighted", right=("lines", "strokes", "weighted"))
    for piece in result.pieces[:MOST_PIECES]:
        figures = (f"{piece.lines:,}", f"{piece.strokes:,}", f"{piece.weighted:,.0f}")
        rows.add_row(piece.tag, *figures)
    screen.print(rows)
    hidden = len(result.pieces) - MOST_PIECES
    if hidden > 0:
        screen.print(f"and {hidden:,} more pieces; --json lists them all")
    _draw_due(screen, result.became_due)
    _draw_notes(screen, result.notes)
    shifts = dict.fromkeys((result.shifts[0], result.shifts[-1]))
    screen.print(
        f"{result.name}: {result.lines:,} line{'s' if result.lines != 1 else ''},"
        f" {result.strokes:,} strokes taken for"
        f" {' to '.join(shifts)} by {', '.join(result.people)}"
    )
    screen.print(f"wrong? crib undo --act {result.act} --why TEXT")


def _draw_due(screen: Console, due: Sequence[Reminder]) -> None:
    for one in due[:MOST_DUE]:
        screen.print(f"became due: {one.tag} {one.kind}, {100 * one.used:.0f} %: {one.words}")
    if len(due) > MOST_DUE:
        screen.print(f"and {len(due) - MOST_DUE} more became due: crib due --all")


def _draw_notes(screen: Console, notes: Sequence[Said]) -> None:
    for note in notes[:MOST_NOTES]:
        screen.print(f"note: {worded(note)}")
    if len(notes) > MOST_NOTES:
        screen.print(f"and {len(notes) - MOST_NOTES} more notes; --json lists them all")
