"""``crib new``: an empty crib."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, chosen_place, shop_crib

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.book.new_crib import NewCrib


def command(
    unit: Annotated[
        str, typer.Option("--unit", metavar="in|mm", help="Inches or millimetres.")
    ] = "in",
    name: Annotated[
        str, typer.Option("--name", metavar="TEXT", help="What the crib is called.")
    ] = "",
    currency: Annotated[
        str, typer.Option("--currency", metavar="USD", help="Three letters, for every price.")
    ] = "USD",
    force_unit: Annotated[
        str,
        typer.Option("--force-unit", metavar="UNIT", help="US tons, UK tons, tonnes or kN."),
    ] = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Make an empty crib: its unit, currency and shop rules.

    Example: crib new --unit mm --currency EUR --crib shop.crib
    """
    from crib.desk.book.new_crib import new_crib

    path = chosen_place(crib) if crib else shop_crib()
    made = new_crib(path, unit=unit, name=name, currency=currency, force_unit=force_unit)
    answer(made, draw, as_json)


def draw(screen: Console, made: NewCrib) -> None:
    """Where it is, what it starts with, and what to type next."""
    crib = f"--crib {shlex.quote(made.path)}"
    screen.print(f"made {made.path}", soft_wrap=True)
    for key, value in made.rules.items():
        screen.print(f"  {key} = {value}")
    screen.print("next, write files to fill in, and take them in:")
    screen.print(f"  crib import --template my_tables {crib}", soft_wrap=True)
    screen.print(f"  crib import my_tables {crib}", soft_wrap=True)
