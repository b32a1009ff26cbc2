"""``crib wants``: what was asked for and missed; slips are struck out, what is one is merged."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened, say, table
from crib.cli.plain_words import PlainCommand
from crib.cli.sub_commands import SubCommands
from crib.cli.wording import worded
from crib.units import read_count

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.buying.want_list import WantLine, Wants

NumberWords = Annotated[
    list[str], typer.Argument(metavar="NUMBER...", help="Numbers of wants, as listed.")
]
_STATES = {"open": "open", "served": "served", "dropped": "struck out"}
_FIGURES = ("#", "how many", "asked")

group = typer.Typer(
    cls=SubCommands,
    add_completion=False,
    rich_markup_mode=None,
    subcommand_metavar="[COMMAND|NUMBER] [ARGS]...",
    epilog="A first word that is no sub-command is a want: `crib wants 7` shows it.",
)


@group.callback(invoke_without_command=True)
def command(
    ctx: typer.Context,
    every: Annotated[bool, typer.Option("--all", help="With those that were struck out.")] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """What was asked for and missed; strike out what was a slip.

    Example: crib wants --all
    """
    from crib.desk.buying.want_list import list_wants

    if ctx.invoked_subcommand is None:
        with opened(crib) as session:
            answer(list_wants(session, every=every), draw, as_json)


@group.command(cls=PlainCommand)
def show(numbers: NumberWords, as_json: JsonOption = False, crib: CribOption = "") -> None:
    """A want: what it lacks, who asked, what became of it.

    Example: crib wants show 7
    """
    from crib.desk.buying.want_list import show_wants

    with opened(crib) as session:
        answer(show_wants(session, [read_count(one) for one in numbers]), draw_whole, as_json)


@group.command(cls=PlainCommand)
def strike(
    numbers: NumberWords,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="Why it is not wanted.")] = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Strike wants out; they come back only when somebody asks again.

    Example: crib wants strike 7 --why "mistyped, 3/4 was meant" --by nights
    """
    from crib.desk.buying.want_list import strike_out

    wanted = [read_count(one) for one in numbers]
    with opened(crib) as session:
        answer(strike_out(session, wanted, why, by=by), draw_whole, as_json)


@group.command(cls=PlainCommand)
def merge(
    numbers: NumberWords,
    into: Annotated[str, typer.Option("--into", metavar="NUMBER", help="The one that stays.")],
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Count wants that are the same under other words as one.

    Example: crib wants merge 8 9 --into 7
    """
    from crib.desk.buying import want_list

    wanted = [read_count(one) for one in numbers]
    with opened(crib) as session:
        answer(want_list.merge(session, wanted, read_count(into), by=by), draw_whole, as_json)


@group.command(cls=PlainCommand)
def reopen(
    numbers: NumberWords, by: ByOption = "", as_json: JsonOption = False, crib: CribOption = ""
) -> None:
    """Want again what was struck out by mistake.

    Example: crib wants reopen 7
    """
    from crib.desk.buying import want_list

    wanted = [read_count(one) for one in numbers]
    with opened(crib) as session:
        answer(want_list.reopen(session, wanted, by=by), draw_whole, as_json)


def draw(screen: Console, wants: Wants) -> None:
    """A line for each want, those that were struck out marked."""
    if not wants.lines:
        screen.print("nothing is wanted; crib find PHRASE remembers what is missed")
        return
    rows = table("#", "ask", "job", "how many", "asked", "last", "", right=_FIGURES)
    for line in wants.lines:
        card = line.card
        rows.add_row(
            *(str(card.id), card.ask, card.job, f"{card.quantity:,}", f"{card.times_asked:,} x"),
            *(card.last_at[:10], "" if card.status == "open" else _STATES[card.status]),
        )
    screen.print(rows)
    say(screen, "what one lacks: crib wants NUMBER; a slip? crib wants strike NUMBER --why TEXT")


def draw_whole(screen: Console, wants: Wants) -> None:
    """What was done, and each want with all that is known of it."""
    if wants.done is not None:
        screen.print(worded(wants.done))
    for line in wants.lines:
        card = line.card
        job = f" for job {card.job}" if card.job else ""
        say(
            screen,
            f"{card.id}  {card.ask}{job}: {card.quantity:,}, {_STATES[card.status]}",
            then="    ",
        )
        for text in _told(line):
            say(screen, text, first="    ", then="      ")


def _told(line: WantLine) -> Iterator[str]:
    card = line.card
    first = f"first {card.first_at[:10]} by {card.who}"
    yield f"asked {card.times_asked:,} x, {first}, last {card.last_at[:10]}"
    if line.lacks is None:
        yield "what was missing is not on record"
    elif not line.lacks:
        yield "no tool was found that would serve it"
    yield from (f"lacks {one}" for one in line.lacks or ())
    if card.struck_by:
        before = "" if card.status == "dropped" else " before"
        struck = f"struck out{before} by {card.struck_by} on {card.struck_at[:10]}"
        yield f"{struck}: {card.struck_why}"
