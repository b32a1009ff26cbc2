"""``crib grind``: record a sharpening."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened, say_cautions
from crib.cli.wording import confirmed, worded
from crib.desk.common.acting import tags_named
from crib.desk.edges.grind import GrindRequest, Ground, GroundTogether, record_grind, record_grinds
from crib.units import System, format_length_both

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tags: Annotated[
        list[str],
        typer.Argument(metavar="TAG [TAG]", help="The piece, or the blades of a pair."),
    ],
    length: Annotated[
        str, typer.Option("--length", help="Length after it, or height of a die.")
    ] = "",
    off: Annotated[str, typer.Option("--off", help="What was taken off.")] = "",
    found: Annotated[
        str, typer.Option("--found", help="Found: sharp, right, overdue or chipped.")
    ] = "",
    note: Annotated[str, typer.Option("--note", help="Anything worth keeping.")] = "",
    damage_gone: Annotated[
        bool, typer.Option("--damage-gone", help="The chip is ground out, no crack is left.")
    ] = False,
    much_off: Annotated[bool, typer.Option("--much-off", help="So much did come off.")] = False,
    both_right: Annotated[
        bool, typer.Option("--both-right", help="Length and what came off are as said.")
    ] = False,
    too_short: Annotated[
        bool, typer.Option("--too-short", help="Record it and lock the piece.")
    ] = False,
    again: Annotated[bool, typer.Option("--again", help="It was ground once more.")] = False,
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Record a sharpening, with the length after it.

    Each doubt that is asked back has its own answer. A snapped or shattered piece is never ground
    back into use; a cracked one only after somebody else inspected it: crib look TAG --inspected.

    Example: crib grind P-0137 --length 2.685in
    """
    yes = confirmed(
        damage_gone=damage_gone,
        much_off=much_off,
        both_right=both_right,
        too_short=too_short,
        again=again,
    )
    with opened(crib) as session:
        named = tags_named(session, tags)
        request = GrindRequest(named[0], length, off, by, on, note, yes, found)
        if len(named) > 1:
            answer(record_grinds(session, named, request), draw_pair, as_json)
        else:
            answer(record_grind(session, request), draw, as_json)


def draw_pair(screen: Console, ground: GroundTogether) -> None:
    """Each blade, then what is still to be done."""
    for piece in ground.pieces:
        _draw_one(screen, piece)
    for note in ground.opposite:
        screen.print(f"NOTE: {worded(note)}")
    say_cautions(screen, ground.cautions)


def draw(screen: Console, ground: Ground) -> None:
    """The piece, and what to mind at the wheel."""
    _draw_one(screen, ground)
    say_cautions(screen, ground.cautions)


def _draw_one(screen: Console, ground: Ground) -> None:
    """Length before and after, what is left, and what to think of."""
    screen.print(f"{ground.tag}  {ground.kind}: ground on {ground.shift_on}")
    screen.print(
        f"  length {_length(ground.length_mm, ground.unit)}"
        f"; before: {_length(ground.before_mm, ground.unit)}"
    )
    screen.print(
        f"  wear {ground.wear_before:,.0f} -> {ground.wear:,.0f} weighted strokes;"
        f" grind {ground.grinds} of this piece"
    )
    if ground.grinds_left is not None:
        screen.print(f"  {_left(ground.grinds_left)}")
    for note in (*ground.notes, *ground.opposite):
        screen.print(f"  NOTE: {worded(note)}")


def _left(grinds: int) -> str:
    return f"about {grinds} grind{'' if grinds == 1 else 's'} left" if grinds else "no grind left"


def _length(length_mm: float | None, unit: System) -> str:
    return "not known" if length_mm is None else format_length_both(length_mm, unit)
