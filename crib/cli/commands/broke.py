"""``crib broke``: a piece chipped, snapped, cracked or got lost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened
from crib.cli.wording import confirmed, worded
from crib.desk.edges.broke import BreakRequest, Broke, report_break
from crib.units import format_money

if TYPE_CHECKING:
    from rich.console import Console


def command(
    tag: Annotated[str, typer.Argument(metavar="TAG", help="The tag stamped on the piece.")],
    words: Annotated[
        list[str] | None,
        typer.Argument(metavar="WHAT [thru ...]", help="chipped|snapped|shattered|cracked|lost"),
    ] = None,
    note: Annotated[str, typer.Option("--note", help="Anything worth keeping.")] = "",
    on: OnOption = "",
    before_it_came: Annotated[
        bool, typer.Option("--before-it-came", help="It broke before it was entered here.")
    ] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """A piece chipped, snapped, cracked or got lost: lock it at once.

    Snapped and shattered are for good. Cracked holds until another person has inspected it, chipped
    until it is ground out; a wrong report is taken back by crib undo.

    Example: crib broke P-0137 snapped thru 1/2 A36
    """
    with opened(crib) as session:
        yes = confirmed(before_it_came=before_it_came)
        request = BreakRequest(tag, words or [], by, on, note, yes)
        answer(report_break(session, request), draw, as_json)


def draw(screen: Console, broke: Broke) -> None:
    """First what to do with the hands, then what was recorded, then how to go on."""
    for line in broke.say:
        screen.print(line)
    where = f" at {broke.place}" if broke.place else ""
    screen.print(f"{broke.tag}  {broke.kind}: {broke.happened}{where}; now {broke.condition}")
    for tag in broke.to_inspect:
        screen.print(f"  {tag} stood with it: inspect it, then crib look {tag} --inspected")
    for note in broke.notes:
        screen.print(f"  NOTE: {worded(note)}")
    _draw_next(screen, broke)
    _draw_order(screen, broke)
    screen.print(f"  wrong? crib history {broke.tag} gives the entry for crib undo")


def _draw_next(screen: Console, broke: Broke) -> None:
    if not broke.ask:
        return
    if broke.instead is None:
        screen.print(f"  nothing else serves; meanwhile: crib find {broke.ask}")
        return
    screen.print(f"  to go on with {broke.ask}, in {broke.instead.station}:")
    for piece in broke.instead.pieces:
        edge = f", {piece.edge}" if piece.edge else ""
        screen.print(f"    {piece.role.replace('_', ' ')} {piece.tag} from {piece.place}{edge}")
    for tag in broke.instead.adapters:
        screen.print(f"    adapter {tag}")
    for text in broke.instead.cautions:
        screen.print(f"    CAUTION: {text}")
    screen.print(f"    all of it: crib find {broke.ask}")


def _draw_order(screen: Console, broke: Broke) -> None:
    order = broke.order
    screen.print(f"  to replace it, order: {order.text}")
    known = [format_money(order.price_cents, broke.currency)] if order.price_cents else []
    known += [f"{order.lead_days} days"] if order.lead_days is not None else []
    known += [order.supplier] if order.supplier else []
    if known:
        screen.print(f"    last known: {', '.join(known)}")
    if order.gaps:
        screen.print(f"    the line lacks: {'; '.join(order.gaps)}")
