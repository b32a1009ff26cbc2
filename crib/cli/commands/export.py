"""``crib export``: every table as CSV or XLSX."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import CribOption, JsonOption, answer, opened, table

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.tables.export_tables import GivenOut


def command(
    target: Annotated[
        Path, typer.Argument(metavar="TARGET", help="A folder, or a workbook ending in .xlsx.")
    ],
    xlsx: Annotated[
        bool, typer.Option("--xlsx", help="One workbook instead of a folder of CSV files.")
    ] = False,
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Write every table out as CSV or XLSX.

    Example: crib export crib_tables
    """
    from crib.desk.tables.export_tables import give_out

    with opened(crib) as session:
        answer(give_out(session, target, xlsx=xlsx), draw, as_json)


def draw(screen: Console, given: GivenOut) -> None:
    """How many rows each table has, and how they come back."""
    rows = table("table", "rows", right=("rows",))
    for name, count in given.tables.items():
        rows.add_row(name.replace("_", " "), f"{count:,}")
    screen.print(rows)
    screen.print(f"written to {given.target}", soft_wrap=True)
    screen.print("it goes back into an empty crib:")
    screen.print("  crib new --crib COPY.crib")
    screen.print(f"  crib import {shlex.quote(given.target)} --crib COPY.crib", soft_wrap=True)
