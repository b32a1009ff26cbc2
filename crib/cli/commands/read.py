"""``crib read``: the files of parts to a count by size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import (
    CribOption,
    JsonOption,
    MaterialOption,
    QuantityOption,
    SlotCentreOption,
    ThicknessOption,
    answer,
    chosen_path,
    opened,
    say,
    table,
)
from crib.cli.wording import worded

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.parts.read_parts import PartsCount
    from crib.stock.engine.session import Session

MOST_FINDINGS = 20


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
    draw_to: Annotated[
        str, typer.Option("--draw", metavar="FILE", help="A picture of each part: .svg or .pdf.")
    ] = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Read part files: which holes, slots and notches, how many.

    Example: crib read bracket.dxf --thickness 3/8 --material A36 --quantity 24
    """
    from crib.desk.parts.read_parts import ReadRequest, read_parts

    place = Path(draw_to) if draw_to else None
    request = ReadRequest(tuple(files), unit, thickness, material, quantity, slot_centre, place)
    with _opened_if_there(crib) as session:
        answer(read_parts(session, request), draw, as_json)


@contextmanager
def _opened_if_there(crib: str) -> Iterator[Session | None]:
    """The crib; None where nobody named one and there is none."""
    if not crib and not chosen_path(crib).is_file():
        yield None
    else:
        with opened(crib) as session:
            yield session


def draw(screen: Console, count: PartsCount) -> None:
    """How many of each size, part by part, and what a person should look at."""
    rows = table("part", "each", "parts", "total", "phrase", right=("each", "parts", "total"))
    rows.columns[0].max_width = 16
    for line in count.lines:
        figures = (f"{line.each:,}", f"{line.parts:,}", f"{line.total:,}")
        rows.add_row(line.mark, *figures, line.phrase)
    if count.lines:
        screen.print(rows)
    total = sum(line.total for line in count.lines)
    # A list has several lines of one part, and they have its mark.
    parts = len({part.mark or number for number, part in enumerate(count.read.parts)})
    word = "part" if parts == 1 else "parts"
    screen.print(f"{total:,} in all, {parts} {word} read; compare with the drawing")
    for note in count.read.notes:
        at = f"line {note.line}: " if note.line else ""
        say(screen, f"Note: {at}{worded(note.said())}", then="  ")
    _draw_findings(screen, count.to_look_at)


def _draw_findings(screen: Console, found: Sequence[str]) -> None:
    """What the drawing gives to look at, the first of it where there is very much."""
    if found:
        screen.print("\nTo look at:")
    for text in found[:MOST_FINDINGS]:
        say(screen, text, then="  ")
    if len(found) > MOST_FINDINGS:
        screen.print(f"... and {len(found) - MOST_FINDINGS} more: --json has them all")
