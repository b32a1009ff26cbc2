"""``crib person``: who comes to the window."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnlyAtOption, answer, opened, say

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.book.pins import PinKept
    from crib.desk.tables.by_name import Listed
    from crib.stock.engine.session import Session


def command(
    name: Annotated[str, typer.Argument(metavar="[NAME]", help="A new badge name.")] = "",
    role: Annotated[str, typer.Option("--role", help="What they do.")] = "",
    may: Annotated[
        str,
        typer.Option("--may", metavar="ACTS", help="What they may do at the page; all lifts it."),
    ] = "",
    site: Annotated[str, typer.Option("--site", metavar="NAME", help="Their home site.")] = "",
    only_at: OnlyAtOption = "",
    update: Annotated[
        bool, typer.Option("--update", help="Change what the crib has of the name.")
    ] = False,
    pin: Annotated[
        bool, typer.Option("--pin", help="Ask for a PIN that the page asks for.")
    ] = False,
    no_pin: Annotated[bool, typer.Option("--no-pin", help="The page asks for none more.")] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Who comes to the window; a name makes one more known.

    Example: crib person "bench 2" --role "lead hand"
    """
    from crib.cli.screens.kept_screen import draw_kept
    from crib.desk.tables.by_name import keep_person, list_people

    said = {"name": name, "role": role, "may": may, "site": site}
    with opened(crib) as session:
        if pin or no_pin:
            answer(kept_pin(session, name, drop=no_pin), draw_pin, as_json)
        elif any(said.values()):
            kept = keep_person(session, said, by=by, update=update, only_at=only_at)
            answer(kept, draw_kept, as_json)
        else:
            answer(list_people(session), draw, as_json)


def kept_pin(session: Session, name: str, *, drop: bool) -> PinKept:
    """A person's PIN, typed twice where nobody sees it, or none any more."""
    from crib.desk.book.pins import drop_pin, set_pin
    from crib.errors import BadValue, Missing
    from crib.stock.book.people import person_called

    if not name:
        message = "whose PIN that is was not said"
        raise Missing(message, way_out="give the badge name before it")
    person = person_called(session, name)
    if drop:
        return drop_pin(session, person)
    typed, again = (_typed(f"{word} for {person}: ") for word in ("PIN", "once more"))
    if typed != again:
        message = "the two are not the same"
        raise BadValue(message, way_out="type it again; nothing was written")
    return set_pin(session, person, typed)


def _typed(prompt: str) -> str:
    """A line that is typed unseen; a line of the input where that is no terminal."""
    import sys
    from getpass import getpass

    return getpass(prompt) if sys.stdin.isatty() else sys.stdin.readline().strip()


def draw_pin(screen: Console, kept: PinKept) -> None:
    """Whether the page asks for a PIN."""
    asks = "asks for the PIN of" if kept.has_pin else "asks for no PIN of"
    say(screen, f"the page {asks} {kept.person}", then="  ")


def draw(screen: Console, listed: Listed) -> None:
    """A line for each name."""
    from crib.cli.screens.kept_screen import say_row

    for row in listed.tables["people"]:
        say_row(screen, row, [name for name in ("role", "may", "site") if name in row])
        for role in listed.tables.get("site_roles", ()):
            if role["person"] == row["name"]:
                say_row(screen, role | {"name": f"at {role['site']}"}, ["role", "may"], "  ")
