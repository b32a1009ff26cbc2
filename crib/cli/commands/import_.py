"""``crib import``: take in a folder of tables, one table, or a workbook."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened, table
from crib.cli.wording import worded
from crib.errors import BadInput

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.tables.export_tables import Template
    from crib.desk.tables.import_tables import TakenIn


def command(
    source: Annotated[
        Path | None,
        typer.Argument(metavar="[SOURCE]", help="A folder, a CSV file or a workbook."),
    ] = None,
    template: Annotated[
        Path | None,
        typer.Option("--template", metavar="FOLDER", help="Write files to fill in there."),
    ] = None,
    update: Annotated[
        bool, typer.Option("--update", help="Change rows that the crib has with other values.")
    ] = False,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Only say what would come of it.")
    ] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Take in a folder of CSV or XLSX tables, or one of them.

    Example: crib import my_tables --dry-run
    """
    from crib.desk.tables.export_tables import give_template
    from crib.desk.tables.import_tables import take_in

    _require_one(source, template)
    with opened(crib) as session:
        if source is not None:
            taken = take_in(session, source, by=by, update=update, dry_run=dry_run)
            answer(taken, draw, as_json)
        elif template is not None:
            answer(give_template(session, template, worded), draw_template, as_json)


def _require_one(source: Path | None, template: Path | None) -> None:
    if (source is None) == (template is None):
        message = "say what to take in, or where the files to fill in should go"
        raise BadInput(message, way_out="crib import FOLDER, or crib import --template FOLDER")


def draw(screen: Console, taken: TakenIn) -> None:
    """One line for each table that held anything, then what was left out."""
    rows = table(
        "table", "added", "changed", "already there", right=("added", "changed", "already there")
    )
    for name, tally in taken.tables.items():
        if tally.added or tally.changed or tally.already:
            counts = (tally.added, tally.changed, tally.already)
            rows.add_row(name.replace("_", " "), *(f"{count:,}" for count in counts))
    screen.print(rows)
    for note in taken.notes:
        screen.print(worded(note))
    if taken.dry_run:
        screen.print("dry run: nothing was taken; leave --dry-run out to take it")


def draw_template(screen: Console, made: Template) -> None:
    """Which files were written, and what to do with them."""
    folder, crib = shlex.quote(made.folder), shlex.quote(made.crib)
    screen.print(f"{len(made.files)} files in {made.folder}", soft_wrap=True)
    screen.print("  README.txt says what each column means")
    screen.print("fill in those that you need, then type:")
    screen.print(f"  crib import {folder} --crib {crib} --dry-run", soft_wrap=True)
    screen.print(f"  crib import {folder} --crib {crib}", soft_wrap=True)
