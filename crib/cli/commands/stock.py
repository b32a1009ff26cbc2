"""``crib stock``: what is on the shelf."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, table
from crib.desk.shelf.shelf_words import read_filters
from crib.desk.shelf.stock import Shelf, ShelfRow, list_stock
from crib.units import System, format_length

if TYPE_CHECKING:
    from rich.console import Console


def command(
    words: Annotated[
        list[str] | None,
        typer.Argument(metavar="[WORDS]", help="Role, shape, size, seat, place: die 27/32 seat A"),
    ] = None,
    place: Annotated[str, typer.Option("--place", metavar="NAME", help="Only this place.")] = "",
    kind: Annotated[str, typer.Option("--kind", metavar="NAME", help="Kinds so called.")] = "",
    condition: Annotated[
        list[str] | None,
        typer.Option("--condition", metavar="WORD", help="sound, inspect, locked, broken, lost."),
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Every row, not a screenful.")] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """What is on the shelf, and where.

    Example: crib stock die 27/32 seat A
    """
    with opened(crib) as session:
        filters = read_filters(
            session, words or (), place=place, kind=kind, conditions=condition or ()
        )
        answer(list_stock(session, filters, every=every), draw, as_json)


def draw(screen: Console, shelf: Shelf) -> None:
    """One row for each piece, then how many of what."""
    if not shelf.total:
        screen.print("nothing on the shelf passes; --condition lost or retired lists what is gone")
        return
    rows = table(
        "tag", "kind", f"size {shelf.unit}", "seat", "place", "edge", "used", right=["used"]
    )
    rows.columns[1].max_width = 30
    rows.columns[2].no_wrap = True
    for piece in shelf.pieces:
        rows.add_row(
            piece.tag,
            what(piece),
            size(piece, shelf.unit),
            piece.seat or "-",
            piece.place or "-",
            piece.edge if piece.condition == "sound" else piece.condition.upper(),
            "-" if piece.used is None else f"{100 * piece.used:.0f} %",
        )
    screen.print(rows)
    parts = ", ".join(f"{count.count:,} {many(count.role, count.count)}" for count in shelf.counts)
    screen.print(f"{shelf.total:,} in all: {parts}")
    if any(piece.measured for piece in shelf.pieces):
        screen.print("* measured size")
    if shelf.more:
        screen.print(f"{shelf.more:,} more not listed: say more words, or --all")


def what(row: ShelfRow) -> str:
    """Shape and role where the next columns say the rest, else the kind's name."""
    told = row.shape and row.width_mm is not None
    return f"{row.shape} {row.role.replace('_', ' ')}" if told else row.kind


def many(role: str, count: int) -> str:
    """A role as a word behind its count."""
    word = role.replace("_", " ")
    if count == 1:
        return word
    return f"{word}es" if word.endswith("ch") else f"{word}s"


def size(row: ShelfRow, unit: System) -> str:
    """The size that counts, with a star when it was measured."""
    if row.width_mm is None:
        return "-"
    text = format_length(row.width_mm, unit, with_unit=False, digits=4)
    if row.long_mm is not None:
        text += f" x {format_length(row.long_mm, unit, with_unit=False, digits=4)}"
    return f"{text}*" if row.measured else text
