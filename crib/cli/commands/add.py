"""``crib add``: put a new piece in the crib."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened
from crib.cli.wording import confirmed
from crib.desk.common.kinds import KindRequest
from crib.desk.shelf.add import Added, NewPiece, add_piece

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tag: Annotated[
        str | None,
        typer.Argument(metavar="[TAG]", help="The tag on it; left out, the next one."),
    ] = None,
    kind: Annotated[str, typer.Option("--kind", metavar="NAME", help="A kind that is there.")] = "",
    role: Annotated[str, typer.Option("--role", help="punch, die, blade ... of a new kind.")] = "",
    shape: Annotated[str, typer.Option("--shape", help="round, square, obround ...")] = "",
    size: Annotated[str, typer.Option("--size", help="Size across, the shorter one.")] = "",
    long: Annotated[str, typer.Option("--long", help="The longer size.")] = "",
    seat: Annotated[str, typer.Option("--seat", help="The seat that it fits.")] = "",
    key: Annotated[
        str | None, typer.Option("--key-angles", help="Key angles to the throat, such as 0,90.")
    ] = None,
    place: Annotated[str, typer.Option("--place", metavar="NAME", help="Where it lies.")] = "",
    length: Annotated[str, typer.Option("--length", help="Length now, as measured.")] = "",
    measured: Annotated[str, typer.Option("--measured", help="Size across, measured.")] = "",
    measured_long: Annotated[
        str, typer.Option("--measured-long", help="Longer size, measured.")
    ] = "",
    strokes: Annotated[str, typer.Option("--strokes", help="Strokes since new.")] = "",
    since_grind: Annotated[
        str, typer.Option("--since-grind", help="Strokes since the last grind, when fewer.")
    ] = "",
    wear: Annotated[
        str, typer.Option("--wear", help="Weighted strokes since the grind; else each weighs 1.")
    ] = "",
    bought: Annotated[str, typer.Option("--bought", metavar="YYYY-MM-DD", help="When.")] = "",
    price: Annotated[str, typer.Option("--price", metavar="N", help="What it cost.")] = "",
    dedicated: Annotated[
        str, typer.Option("--dedicated", metavar="MATERIAL", help="Only for this material.")
    ] = "",
    note: Annotated[str, typer.Option("--note", help="Anything else.")] = "",
    sure: Annotated[bool, typer.Option("--sure", help="It is so, although it looks odd.")] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Put a new piece in the crib.

    Example: crib add P-0150 --role punch --shape round --size 13/16 --seat A --place A1
    """
    made_of = (role, shape, size, long, seat, key)
    make = None if made_of == ("", "", "", "", "", None) else KindRequest(*made_of)
    history = (strokes, since_grind, wear, bought, price, dedicated, note)
    sizes = (length, measured, measured_long)
    new = NewPiece(tag, kind, make, place, *sizes, *history, confirmed=confirmed(sure=sure))
    with opened(crib) as session:
        answer(add_piece(session, new, by=by), draw, as_json)


def draw(screen: Console, added: Added) -> None:
    """What is now in the crib, and what was taken for granted."""
    screen.print(f"{added.tag} is in the crib: {added.kind}, {added.place or 'no place yet'}")
    if added.kind_is_new:
        screen.print("  a new kind was made for it; `crib import` can add length, price, supplier")
    if added.strokes_since_new or added.wear:
        screen.print(
            f"  {added.strokes_since_new:,} strokes since new, {added.strokes_since_grind:,} since"
            f" grind, {added.wear:,.0f} weighted"
        )
    screen.print(f"  wrong? crib undo {added.entry} --why TEXT")
