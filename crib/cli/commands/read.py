"""``crib read``: the files of parts to a count by size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import (
    FOUND,
    WRONG,
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
    chosen_path,
    opened,
    say,
    table,
)
from crib.cli.screens.ledger_screen import draw_ledger, ledger_line
from crib.cli.wording import worded

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.parts.parts_count import PartsCount
    from crib.stock.engine.session import Session

MOST_FINDINGS, MOST_FAULTS, MOST_LINES = 20, 5, 200


def command(
    files: Annotated[
        list[Path],
        typer.Argument(metavar="FILE...", help=".dxf, .nc, .nc1, .csv or .xlsx; a folder of them"),
    ],
    unit: Annotated[
        str, typer.Option("--unit", metavar="in|mm", help="A drawing's unit, and of bare numbers.")
    ] = "",
    thickness: ThicknessOption = "",
    material: MaterialOption = "",
    quantity: QuantityOption = None,
    slot_centre: SlotCentreOption = "",
    same_part: SamePartOption = "",
    take: TakeOption = "",
    columns: ColumnsOption = "",
    draw_to: Annotated[
        str, typer.Option("--draw", metavar="FILE", help="A picture of each part: .svg or .pdf.")
    ] = "",
    every: Annotated[
        bool, typer.Option("--all", help="List what became of every line and entity.")
    ] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Read part files: which holes, slots and notches, how many.

    Example: crib read bracket.dxf --thickness 3/8 --material A36 --quantity 24
    """
    from crib.desk.parts.read_parts import ReadRequest, read_parts

    place = Path(draw_to) if draw_to else None
    told = (unit, thickness, material, quantity, slot_centre, place, same_part, take, columns)
    with _opened_if_there(crib) as session:
        count = read_parts(session, ReadRequest(tuple(files), *told))
        shown = partial(draw, every=every)
        answer(count, shown, as_json, WRONG if count.not_read else FOUND)


@contextmanager
def _opened_if_there(crib: str) -> Iterator[Session | None]:
    """The crib; None where nobody named one and there is none."""
    if not crib and not chosen_path(crib).is_file():
        yield None
    else:
        with opened(crib) as session:
            yield session


def draw(screen: Console, count: PartsCount, *, every: bool = False) -> None:
    """How many of each size, part by part, and what a person should look at."""
    rows = table("part", "each", "parts", "total", "phrase", right=("each", "parts", "total"))
    rows.columns[0].max_width = 16
    for line in count.lines[:MOST_LINES]:
        figures = (f"{line.each:,}", f"{line.parts:,}", f"{line.total:,}")
        rows.add_row(line.mark, *figures, line.phrase)
    if count.lines:
        screen.print(rows)
    if len(count.lines) > MOST_LINES:
        rest = count.lines[MOST_LINES:]
        made = sum(line.total for line in rest)
        screen.print(
            f"... and {len(rest):,} lines more with {made:,} features: --json has them all"
        )
    _draw_totals(screen, count)
    say(screen, ledger_line(count.read.accounts, "--all"), then="  ")
    for note in count.read.notes:
        at = f"line {note.line}: " if note.line else ""
        say(screen, f"Note: {at}{worded(note.said())}", then="  ")
    _draw_findings(screen, count.to_look_at)
    if every:
        draw_ledger(screen, count.read.accounts)


def _draw_totals(screen: Console, count: PartsCount) -> None:
    """How much there is to make, and of which files it is not."""
    word = "part" if count.part_count == 1 else "parts"
    less = len(count.not_read)
    but = f", {less} file{'' if less == 1 else 's'} NOT read" if less else ""
    read = f"{count.total:,} in all, {count.part_count} {word} read{but}"
    screen.print(f"{read}; compare with the drawing")
    for one in count.not_read:
        say(screen, f"NOT READ: {one.message}", then="  ")
        # The message tells of the only one by itself.
        for fault in one.faults[:MOST_FAULTS] if len(one.faults) > 1 else ():
            say(screen, f"  {worded(fault.said())}", then="    ")
        if one.way_out:
            say(screen, f"  -> {worded(one.way_out)}", then="     ")


def _draw_findings(screen: Console, found: Sequence[str]) -> None:
    """What the drawing gives to look at, the first of it where there is very much."""
    if found:
        screen.print("\nTo look at:")
    for text in found[:MOST_FINDINGS]:
        say(screen, text, then="  ")
    if len(found) > MOST_FINDINGS:
        screen.print(f"... and {len(found) - MOST_FINDINGS} more: --json has them all")
