"""``crib person``: who comes to the window."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.tables.by_name import Listed


def command(
    name: Annotated[str, typer.Argument(metavar="[NAME]", help="A new badge name.")] = "",
    role: Annotated[str, typer.Option("--role", help="What they do.")] = "",
    may: Annotated[
        str,
        typer.Option("--may", metavar="ACTS", help="What they may do at the page; all lifts it."),
    ] = "",
    update: Annotated[
        bool, typer.Option("--update", help="Change what the crib has of the name.")
    ] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Who comes to the window; a name makes one more known.

    Example: crib person "bench 2" --role "lead hand"
    """
    from crib.cli.screens.kept_screen import draw_kept
    from crib.desk.tables.by_name import keep_person, list_people

    said = {"name": name, "role": role, "may": may}
    with opened(crib) as session:
        if any(said.values()):
            answer(keep_person(session, said, by=by, update=update), draw_kept, as_json)
        else:
            answer(list_people(session), draw, as_json)


def draw(screen: Console, listed: Listed) -> None:
    """A line for each name."""
    from crib.cli.screens.kept_screen import say_row

    for row in listed.tables["people"]:
        say_row(screen, row, ["role", "may"])
