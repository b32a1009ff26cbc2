"""``crib receive``: what an order brought, or what goes back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened, say, table
from crib.cli.wording import worded
from crib.desk.buying.order_words import read_delivery_words
from crib.desk.buying.receive import Delivery, Received, WentBack, receive, send_back
from crib.units import read_money_cents

if TYPE_CHECKING:
    from rich.console import Console


def command(
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="NUMBER [LINE=COUNT[@PRICE]]... | TAG...",
            show_default=False,
            help="The order, and what came of it when not all; with --back the tags.",
        ),
    ],
    to: Annotated[str, typer.Option("--to", metavar="DRAWER", help="Where it is put.")] = "",
    tags: Annotated[
        str, typer.Option("--tags", metavar="P-0201,...", help="Tags, when not the next ones.")
    ] = "",
    price: Annotated[str, typer.Option("--price", metavar="N", help="Price of one paid.")] = "",
    back: Annotated[bool, typer.Option("--back", help="Wrong: these tags go back.")] = False,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="Why they go back.")] = "",
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """What an order brought: pieces with their tags, wholly or in part.

    Example: crib receive 2026-0007 1=2 --to K2
    """
    with opened(crib) as session:
        if back:
            answer(send_back(session, words, why, by=by), _draw_back, as_json)
            return
        number, counts = read_delivery_words(words)
        own = tuple(tag for tag in tags.replace(",", " ").split() if tag)
        price_cents = read_money_cents(price) if price else None
        delivery = Delivery(number, counts, own, to, price_cents, on)
        answer(receive(session, delivery, by=by), _draw, as_json)


def _draw(screen: Console, result: Received) -> None:
    days = "1 day" if result.lead_days == 1 else f"{result.lead_days} days"
    where = f", put in {result.place}" if result.place else ""
    came = f"came {days} after it was made{where}; it is {result.state}"
    say(screen, f"order {result.number} from {result.supplier} {came}")
    rows = table("line", "came", "what", "stamp", "to come", right=("line", "came", "to come"))
    for line in result.lines:
        tags = " ".join(line.tags) or "-"
        rows.add_row(str(line.line), str(line.count), line.what, tags, str(line.to_come))
    screen.print(rows)
    for note in result.notes:
        say(screen, f"note: {worded(note)}")


def _draw_back(screen: Console, result: WentBack) -> None:
    say(
        screen,
        f"{', '.join(result.tags)} back to {result.supplier}, order {result.number}:"
        f" {result.why}; {result.to_come} to come again",
    )
    screen.print(f"nothing more to come? crib order {result.number} --cancel --why ...")
