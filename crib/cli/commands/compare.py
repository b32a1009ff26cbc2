"""``crib compare``: punch, drill, saw, cut thermally or farm out, for a feature and a count."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, say, shown_back, table
from crib.cli.wording import worded
from crib.desk.answer.compare import Comparison, WayLine, compare
from crib.features.common.case import Circumstances
from crib.units import format_money, read_money_cents

if TYPE_CHECKING:
    from rich.console import Console

STATUS = {"ok": "", "caution": "CAUTION", "ask": "ASK FIRST", "no": "NO"}
TAKES_PHRASE = True


def command(
    phrase: Annotated[
        list[str], typer.Argument(metavar="PHRASE...", help="The feature, as for find.")
    ],
    price: Annotated[
        str, typer.Option("--price", metavar="N", help="Price of all the tools to buy for it.")
    ] = "",
    quote: Annotated[
        str, typer.Option("--quote", metavar="N", help="What another shop asks for each.")
    ] = "",
    code: Annotated[str, typer.Option("--code", help="Contract code, as 'EN 1090-2'.")] = "",
    execution_class: Annotated[
        int | None, typer.Option("--exc", min=1, max=4, help="EN 1090-2 class.")
    ] = None,
    dynamic: Annotated[bool, typer.Option("--dynamic", help="Fatigue or seismic part.")] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Punch, drill, saw, cut thermally or farm out: what each way costs.

    Example: crib compare hole 13/16 thru 3/8 A36 for 120
    """
    facts = Circumstances(code=code, execution_class=execution_class, dynamic=dynamic)
    prices = [read_money_cents(text) if text else None for text in (price, quote)]
    with opened(crib) as session:
        made = compare(
            session, " ".join(phrase), facts, price_cents=prices[0], quote_cents=prices[1]
        )
    answer(made, draw, as_json)


def draw(screen: Console, made: Comparison) -> None:
    """A line for each way, what is to be said of it, and from how many on the tools pay."""
    rate = format_money(made.rate_per_hour_cents, made.currency)
    phrase = shown_back(made.phrase, made.understood)
    say(screen, f"{phrase}, {made.quantity:,} of them, at {rate} an hour", then="  ")
    figures = ("set-up", "each", "once", f"all {made.currency}", "hours", "days")
    rows = table("way", *figures, "", right=figures)
    for line in made.ways:
        rows.add_row(*_cells(line), _mark(line, made))
    screen.print(rows)
    for line in made.ways:
        for reason in line.reasons:
            say(screen, f"{line.way}: {worded(reason)}", then="  ")
    for even in made.break_even:
        say(screen, f"{even.way} against {even.against}: {even.text}", then="  ")
    for order in made.order:
        say(screen, f"order: {order.text}", then="  ")
    for note in made.notes:
        say(screen, f"Note: {worded(note)}", then="  ")


def _cells(line: WayLine) -> tuple[str, ...]:
    hours = "" if line.minutes is None else f"{line.minutes / 60:.1f}"
    money = (line.set_up_cents, line.each_cents, line.once_cents, line.total_cents)
    return (line.way, *(_money(cents, line) for cents in money), hours, f"{line.days or '-'}")


def _money(cents: float | None, line: WayLine) -> str:
    if cents is None:
        return "-" if line.status == "no" else "?"
    return f"{cents / 100:,.2f}" if cents else "-"


def _mark(line: WayLine, made: Comparison) -> str:
    known = all(way.total_cents is not None for way in made.ways if way.status != "no")
    best = ("cheapest" if known else "cheapest known") if line.way == made.best else ""
    return ", ".join(word for word in (best, STATUS[line.status]) if word)
