"""``crib grind``: record a sharpening."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import (
    ByOption,
    CribOption,
    JsonOption,
    OnOption,
    answer,
    opened,
    say,
    say_cautions,
    table,
)
from crib.cli.wording import confirmed, worded
from crib.desk.edges.grind import GrindRequest, Ground, GroundTogether
from crib.desk.shelf.grind_list import GroundList, lines_of_sheet, record_list, record_words
from crib.errors import BadInput
from crib.files.tables.sheets import CSV_ENDINGS
from crib.files.tables.workbook_in import WORKBOOK_ENDINGS
from crib.units import System, format_length, format_length_both

if TYPE_CHECKING:
    from rich.console import Console


SHEET_ENDINGS = (*CSV_ENDINGS, *WORKBOOK_ENDINGS)


def command(
    tags: Annotated[
        list[str],
        typer.Argument(
            metavar="TAG [LENGTH] ...",
            help="The piece, the blades of a pair, pieces each with its length, or a LIST file.",
        ),
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
    to: Annotated[
        str, typer.Option("--to", metavar="DRAWER", help="Put it there; home is where it lay.")
    ] = "",
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Record a sharpening, with the length after it.

    Each doubt that is asked back has its own answer. A snapped or shattered piece is never ground
    back into use; a cracked one only after somebody else inspected it: crib look TAG --inspected.

    Several go in one act, whole or not at all: a tag and its length in turn, or a CSV with the
    columns tag, length (or off), found, to and note.

    Example: crib grind P-0137 --length 2.685in
    Example: crib grind P-0137 2.685in D-0201 1.115in --to home
    """
    yes = confirmed(
        damage_gone=damage_gone,
        much_off=much_off,
        both_right=both_right,
        too_short=too_short,
        again=again,
    )
    usual = GrindRequest("", length, off, by, on, note, yes, found)
    with opened(crib) as session:
        if len(tags) == 1 and Path(tags[0]).suffix.lower() in SHEET_ENDINGS:
            content, name = _read_file(tags[0])
            lines = lines_of_sheet(content, name, usual, to)
            answer(record_list(session, name, lines, usual), draw_list, as_json)
        else:
            answer(record_words(session, tags, usual, to), draw, as_json)


def _read_file(name: str) -> tuple[bytes, str]:
    path = Path(name)
    if not path.is_file():
        message = f"there is no list at {name}"
        raise BadInput(message, way_out="check the path; its columns: tag, length, found, to, note")
    return path.read_bytes(), path.name


def draw(screen: Console, ground: Ground | GroundTogether | GroundList) -> None:
    """One piece, the blades of a pair, or a list."""
    if isinstance(ground, GroundList):
        draw_list(screen, ground)
    elif isinstance(ground, GroundTogether):
        draw_pair(screen, ground)
    else:
        _draw_one(screen, ground)
        say_cautions(screen, ground.cautions)


def draw_list(screen: Console, listed: GroundList) -> None:
    """A line for each piece, then what is to be minded of any of them."""
    away = {one.tag: one.to for one in listed.put_away}
    right = ("length", "taken off", "grinds left")
    rows = table("tag", *right, "put away in", right=right)
    for one in listed.ground.pieces:
        figures = [_short(mm, one.unit) for mm in (one.length_mm, one.off_mm)]
        left = "" if one.grinds_left is None else str(one.grinds_left)
        rows.add_row(one.tag, *figures, left, away.get(one.tag, ""))
    screen.print(rows)
    for one in listed.ground.pieces:
        for note in one.notes:
            say(screen, f"NOTE: {one.tag}: {worded(note)}", then="  ")
    for note in listed.ground.opposite:
        say(screen, f"NOTE: {worded(note)}", then="  ")
    screen.print(f"wrong? crib undo --act {listed.act} --why TEXT")
    say_cautions(screen, listed.ground.cautions)


def _short(length_mm: float | None, unit: System) -> str:
    return "" if length_mm is None else format_length(length_mm, unit, digits=4)


def draw_pair(screen: Console, ground: GroundTogether) -> None:
    """Each blade, then what is still to be done."""
    for piece in ground.pieces:
        _draw_one(screen, piece)
    for note in ground.opposite:
        screen.print(f"NOTE: {worded(note)}")
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
