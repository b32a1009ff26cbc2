"""``crib site``: the company's sites, and the days from one to another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, say
from crib.cli.plain_words import PlainCommand
from crib.cli.sub_commands import SubCommands

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.book.company import Apart, Company, SiteKept

SiteName = Annotated[str, typer.Argument(metavar="SITE", help="What the company calls it.")]
AddressOption = Annotated[
    str, typer.Option("--address", metavar="TEXT", help="Commas between its lines.")
]

group = typer.Typer(
    cls=SubCommands,
    add_completion=False,
    rich_markup_mode=None,
    epilog="With several sites every command takes --site NAME (or the variable CRIB_SITE): at"
    " which you are. Else it is the home site of who acts, else that of the window. Every site at"
    " once is --site all.",
)


@group.callback(invoke_without_command=True)
def command(ctx: typer.Context, as_json: JsonOption = False, crib: CribOption = "") -> None:
    """The company's sites, and the days from one to another.

    Example: crib site
    """
    from crib.desk.book.company import list_sites

    if ctx.invoked_subcommand is None:
        with opened(crib) as session:
            answer(list_sites(session), draw, as_json)


@group.command(cls=PlainCommand)
def add(
    name: SiteName,
    address: AddressOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """One more site; the first takes everything that is there.

    Example: crib site add "South yard" --address "1 Quay, 99999 Anytown"
    """
    from crib.desk.book.company import new_site

    with opened(crib) as session:
        answer(new_site(session, name, address), draw_kept, as_json)


@group.command(cls=PlainCommand)
def rename(
    name: SiteName,
    to: Annotated[str, typer.Argument(metavar="[NAME]", help="Its new name.")] = "",
    address: AddressOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Another name for a site, or another address.

    Example: crib site rename South "South yard"
    """
    from crib.desk.book.company import change_site

    with opened(crib) as session:
        answer(change_site(session, name, to, address), draw_kept, as_json)


@group.command(cls=PlainCommand)
def days(
    name: SiteName,
    to: Annotated[str, typer.Argument(metavar="SITE", help="The other one.")],
    number: Annotated[int | None, typer.Argument(metavar="DAYS", help="How many.")] = None,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """The days between two sites; the rule site.days is for all others.

    Example: crib site days North South 2
    """
    from crib.desk.book.company import keep_days

    with opened(crib) as session:
        answer(keep_days(session, name, to, number), draw_days, as_json)


def draw(screen: Console, company: Company) -> None:
    """A line for each site, then one for each two."""
    for site in company.sites:
        address = f"; {site.address}" if site.address else ""
        held = f"machines {site.machines}, drawers {site.drawers}, pieces {site.pieces}"
        say(screen, f"{site.name}: {held}{address}", then="  ")
    for apart in company.apart:
        draw_days(screen, apart)
    if not company.sites:
        say(screen, "one shop, no sites; a company with several: crib site add NAME", then="  ")


def draw_kept(screen: Console, kept: SiteKept) -> None:
    """What a site is called now."""
    was = f", before {kept.was}" if kept.was not in ("", kept.name) else ""
    say(screen, f"{kept.name} is a site of the company now{was}", then="  ")
    if kept.took:
        say(screen, "everything that is in the crib is there", "  ", "  ")


def draw_days(screen: Console, apart: Apart) -> None:
    """The days between two sites."""
    how = "" if apart.said else " (rule site.days)"
    many = "1 day" if apart.days == 1 else f"{apart.days} days"
    say(screen, f"{apart.site} - {apart.to}: {many}{how}", then="  ")
