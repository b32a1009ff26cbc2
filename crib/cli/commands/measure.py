"""``crib measure``: enter a measured size or length."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, TagWords, answer, opened
from crib.cli.wording import confirmed, worded
from crib.desk.shelf.measure import Measured, measure_piece, read_measured_sizes
from crib.units import format_length_both

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tag: TagWords,
    size: Annotated[str, typer.Option("--size", help="Size across, the shorter one.")] = "",
    long: Annotated[str, typer.Option("--long", help="The longer size.")] = "",
    length: Annotated[str, typer.Option("--length", help="Length, or height of a die.")] = "",
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="Why it was measured.")] = "",
    sure: Annotated[bool, typer.Option("--sure", help="It is so, although it looks odd.")] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Enter a measured size or length of a piece.

    Example: crib measure P-0137 --size 0.811 --why "hole came out small"
    """
    yes = confirmed(sure=sure)
    with opened(crib) as session:
        sizes = read_measured_sizes(session, size, long, length)
        answer(
            measure_piece(session, " ".join(tag), sizes, why, confirmed=yes, by=by), draw, as_json
        )


def draw(screen: Console, measured: Measured) -> None:
    """The sizes that count now, before and after."""
    screen.print(f"{measured.tag}  {measured.kind}")
    for what, now_mm, before_mm in (
        ("size", measured.width_mm, measured.before.width_mm),
        ("long side", measured.long_mm, measured.before.long_mm),
        ("length", measured.length_mm, measured.before.length_mm),
    ):
        if now_mm is not None:
            before = format_length_both(before_mm, measured.unit) if before_mm else "not measured"
            screen.print(f"  {what} {format_length_both(now_mm, measured.unit)}; before: {before}")
    if measured.length_mm is not None and measured.standing.grinds_left is not None:
        left = measured.standing.grinds_left
        screen.print(f"  {left} grind{'' if left == 1 else 's'} left")
    for note in measured.notes:
        screen.print(f"  NOTE: {worded(note)}")
    for fault in measured.cautions:
        screen.print(f"STOP: {fault.what}; take it out at once: {worded(fault.way_out)}")
