"""``crib import``: take in a folder of tables, one table, or a workbook."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened, table
from crib.cli.wording import confirmed, worded
from crib.errors import BadInput

if TYPE_CHECKING:
    from rich.console import Console

    from crib.desk.tables.export_tables import Template
    from crib.desk.tables.import_tables import TakenIn
    from crib.desk.tables.take_list import ListAnswers, TakenList
    from crib.stock.engine.session import Session


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
    seat: Annotated[
        list[str] | None,
        typer.Option("--seat", help="Of a list: its tools' seat, or 'round punches=A'."),
    ] = None,
    length: Annotated[
        list[str] | None,
        typer.Option("--length", help="Of a list: how long its tools are now, as for --seat."),
    ] = None,
    dates: Annotated[
        str, typer.Option("--dates", metavar="us|european", help="Of a list: month or day first.")
    ] = "",
    leave: Annotated[
        bool, typer.Option("--leave", help="Of a list: leave out what cannot be read.")
    ] = False,
    again: Annotated[
        bool, typer.Option("--again", help="Of a list: these are more than the last time.")
    ] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Take in tables, CSV or XLSX, or a shop's own list of tools.

    Tables are a folder, a file named for one, or a workbook. A list is one file with the shop's own
    headings, such as Tool #, What, Size, Qty, Drawer, or with everything in one column; --dry-run
    shows how each line is read and what is still to be said.

    Example: crib import my_tables --dry-run
    Example: crib import tooling.xlsx --seat "round punches=A" --seat B --dry-run
    """
    from crib.desk.tables.export_tables import give_template
    from crib.desk.tables.take_list import answers_of

    _require_one(source, template)
    yes = confirmed(leave=leave, again=again)
    answers = answers_of(seat or (), length or (), dates, yes)
    with opened(crib) as session:
        if source is not None:
            how = _How(answers, by, update, dry_run)
            answer(_taken(session, source, how), draw, as_json)
        elif template is not None:
            answer(give_template(session, template, worded), draw_template, as_json)


@dataclass(frozen=True)
class _How:
    """What was said about taking a source in."""

    answers: ListAnswers
    by: str
    update: bool
    dry_run: bool


def _taken(session: Session, source: Path, how: _How) -> TakenIn | TakenList:
    """Take a source in as what it is: tables of the crib, or a shop's list."""
    from crib.desk.tables.import_tables import take_in
    from crib.desk.tables.take_list import take_list
    from crib.files.tables.shop_list import is_shop_list

    said = how.answers
    if not is_shop_list(source):
        if said.seats or said.lengths or said.dates or said.confirmed:
            message = f"{source} is of the crib's own tables, which say seats, lengths and dates"
            way_out = "leave out --seat, --length, --dates, --leave and --again"
            raise BadInput(message, way_out=way_out)
        return take_in(session, source, by=how.by, update=how.update, dry_run=how.dry_run)
    if how.update:
        message = f"{source.name} is a list, which only adds tools"
        raise BadInput(message, way_out="leave out --update; crib move, measure and retire change")
    return take_list(session, source, said, by=how.by, dry_run=how.dry_run)


def _require_one(source: Path | None, template: Path | None) -> None:
    if (source is None) == (template is None):
        message = "say what to take in, or where the files to fill in should go"
        raise BadInput(message, way_out="crib import FOLDER, or crib import --template FOLDER")


def draw(screen: Console, taken: TakenIn | TakenList) -> None:
    """A shop's list line by line, or tables."""
    from crib.cli.screens.list_screen import draw_list
    from crib.desk.tables.import_tables import TakenIn

    if isinstance(taken, TakenIn):
        draw_tables(screen, taken)
    else:
        draw_list(screen, taken)


def draw_tables(screen: Console, taken: TakenIn) -> None:
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
