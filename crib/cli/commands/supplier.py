"""``crib supplier``: where suppliers are written to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.tables.by_name import Listed


def command(
    name: Annotated[str, typer.Argument(metavar="[NAME]", help="A new supplier.")] = "",
    address: Annotated[
        str, typer.Option("--address", metavar="TEXT", help="Commas between its lines.")
    ] = "",
    note: Annotated[str, typer.Option("--note", help="Anything to know.")] = "",
    update: Annotated[
        bool, typer.Option("--update", help="Change what the crib has of the supplier.")
    ] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Where suppliers are written to; a name makes one more known.

    Example: crib supplier "North Street Tool" --address "12 North Street, 99999 Anytown"
    """
    from crib.cli.screens.kept_screen import draw_kept
    from crib.desk.tables.by_name import keep_supplier, list_suppliers

    said = {"name": name, "address": address, "note": note}
    with opened(crib) as session:
        if any(said.values()):
            answer(keep_supplier(session, said, by=by, update=update), draw_kept, as_json)
        else:
            answer(list_suppliers(session), draw, as_json)


def draw(screen: Console, listed: Listed) -> None:
    """A line for each supplier, or how to make one known."""
    from crib.cli.screens.kept_screen import say_row

    for row in listed.tables["suppliers"]:
        say_row(screen, row, ["address", "note"])
    if not listed.tables["suppliers"]:
        screen.print("no supplier is known yet: crib supplier NAME --address TEXT")
