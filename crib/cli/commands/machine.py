"""``crib machine``: the machines and their stations."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.tables.by_name import Listed

_SHOWN = ("does", "rated force", "derate", "throat", "daylight", "stroke", "lever", "seats", "note")


def command(
    name: Annotated[str, typer.Argument(metavar="[NAME]", help="A machine.")] = "",
    plate: Annotated[
        str, typer.Option("--plate", metavar="TEXT", help="Its rating plate, word for word.")
    ] = "",
    station: Annotated[
        str, typer.Option("--station", metavar="NAME", help="A new station of it.")
    ] = "",
    does: Annotated[
        str, typer.Option("--does", metavar="WORK", help="Its work; punch when not said.")
    ] = "",
    rating: Annotated[
        str, typer.Option("--rating", metavar="FORCE", help="Its rating with its unit.")
    ] = "",
    seats: Annotated[
        str, typer.Option("--seats", metavar="NAMES", help="The seats it takes, such as A;B.")
    ] = "",
    throat: Annotated[
        str, typer.Option("--throat", metavar="SIZE", help="Edge to tool's centre.")
    ] = "",
    daylight: Annotated[
        str, typer.Option("--daylight", metavar="SIZE", help="Free height, no tools in.")
    ] = "",
    site: Annotated[
        str,
        typer.Option("--site", metavar="NAME", help="Where it stands, in a company of several."),
    ] = "",
    update: Annotated[
        bool, typer.Option("--update", help="Change what the crib has of the machine.")
    ] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """The machines and their stations; a name makes one more known.

    A machine that is there takes one more station.

    Example: crib machine "Press 1" --station punch --rating "50 US tons" --seats "A;B"
    """
    from crib.cli.screens.kept_screen import draw_kept
    from crib.desk.tables.by_name import keep_machine, list_machines

    said = {"name": name, "plate": plate, "site": site}
    of_station = {"name": station, "does": does, "rated force": rating, "seats": seats}
    of_station |= {"throat": throat, "daylight": daylight}
    with opened(crib) as session:
        if any(said.values()) or any(of_station.values()):
            kept = keep_machine(session, said, of_station, by=by, update=update)
            answer(kept, draw_kept, as_json)
        else:
            answer(list_machines(session), draw, as_json)


def draw(screen: Console, listed: Listed) -> None:
    """Each machine with its stations under it."""
    from crib.cli.screens.kept_screen import say_row

    for machine in listed.tables["machines"]:
        out = "" if machine["in service"] == "yes" else " (out of service)"
        say_row(
            screen,
            machine | {"name": f"{machine['name']}{out}"},
            [name for name in ("plate", "site") if name in machine],
        )
        for station in listed.tables["stations"]:
            if station["machine"] == machine["name"]:
                say_row(screen, station, _SHOWN, "  ")
    if not listed.tables["machines"]:
        screen.print("no machine is known yet: crib machine NAME --station NAME --rating FORCE")
