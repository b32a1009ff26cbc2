"""``crib log``: strokes after a shift, by words, by prompts, or a whole sheet."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnOption, answer, opened
from crib.cli.screens.log_prompts import ask_for_lines
from crib.cli.screens.log_screen import draw
from crib.cli.wording import confirmed
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.stroke_sheet import take_sheet
from crib.errors import BadInput

SHEET_ENDINGS = (".csv", ".tsv", ".txt")
WORKBOOK_ENDINGS = (".xlsx", ".xlsm")
NOT_READ_ENDINGS = (".xls", ".ods")


def command(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[TAG|CODE COUNT [thru ...]]... | SHEET",
            show_default=False,
            help="What was punched, a sheet of it, or nothing to be asked.",
        ),
    ] = None,
    job: Annotated[str, typer.Option("--job", metavar="NAME", help="The job of all lines.")] = "",
    about: Annotated[bool, typer.Option("--about", help="The counts are estimates.")] = False,
    again: Annotated[bool, typer.Option("--again", help="It is a second lot.")] = False,
    sure: Annotated[bool, typer.Option("--sure", help="The high count is right.")] = False,
    before_it_came: Annotated[
        bool, typer.Option("--before-it-came", help="Made before the piece was entered here.")
    ] = False,
    no_job: Annotated[
        bool, typer.Option("--no-job", help="They are of no job, though one needs such.")
    ] = False,
    machine: Annotated[
        str, typer.Option("--machine", metavar="NAME", help="Ask only about this machine.")
    ] = "",
    on: OnOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Strokes after a shift: by tag, by prompts, or a whole sheet.

    A line is: TAG COUNT [about] [thru THICKNESS [MATERIAL]] [with DIE] [chain|bridge]
    [dry|oiled] [job NAME]. Several may follow each other. The code of a printed line (7-3)
    may stand for TAG; what is printed need not be said. Without words it asks.

    Example: crib log P-0137 400 thru 3/8 A36
    """
    yes = confirmed(again=again, sure=sure, before_it_came=before_it_came, no_job=no_job)
    options = LogOptions(by=by, on=on, job=job, about=about, confirmed=yes)
    said = words or []
    _check_machine(machine, said)
    with opened(crib) as session:
        if not said:
            answer(ask_for_lines(session, options, machine), draw, as_json)
        elif is_sheet(said):
            answer(take_sheet(session, *read_file(said[0]), options), draw, as_json)
        else:
            answer(log_words(session, said, options), draw, as_json)


def _check_machine(machine: str, said: list[str]) -> None:
    if machine and said:
        message = f"--machine {machine} narrows the questions, and there are none: lines were given"
        raise BadInput(message, way_out="leave out --machine, or the lines")


def is_sheet(words: list[str]) -> bool:
    """Whether the one word that was said is a file; ``-`` is the standard input."""
    if len(words) != 1:
        return False
    name = words[0]
    ending = Path(name).suffix.lower()
    return (
        name == "-"
        or ending in SHEET_ENDINGS + WORKBOOK_ENDINGS + NOT_READ_ENDINGS
        or Path(name).is_file()
    )


def read_file(name: str) -> tuple[bytes, str]:
    """What is in a sheet's file, and the name to call it by.

    Raises:
        BadInput: when there is no such file, or it is a workbook other than XLSX.
    """
    if name == "-":
        return sys.stdin.buffer.read(), "standard input"
    path = Path(name)
    if path.suffix.lower() in NOT_READ_ENDINGS:
        message = f"{path.name} is a workbook of another kind than XLSX"
        raise BadInput(message, way_out="save it as XLSX or CSV and take that: crib log SHEET.xlsx")
    if not path.is_file():
        message = f"there is no sheet at {name}"
        raise BadInput(message, way_out="check the path; a line is like: P-0137 400 thru 3/8 A36")
    return path.read_bytes(), path.name
