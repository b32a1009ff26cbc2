"""The stroke sheet on paper, filled in by hand at the machine and typed in next morning.

Every line has a short code such as ``7-3`` (sheet 7, line 3): the code is all that is typed back.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from crib.acts import Act, Spelling, act
from crib.errors import BadValue
from crib.files.paper.shop_paper import PaperFrame, write_paper
from crib.files.paper.shop_paper_parts import LARGE, SMALL, gap, ruled, text, tick

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

MOST_BLANK = 60
EXAMPLE_COUNT = 400
EXAMPLE_BLANK = act("log", words="P-0137 400 thru 3/8 A36")
FILL_IN = (
    "Write what was done, not what was planned. Not sure: write your best figure and tick About."
    " Chipped, cracked or broken: stop, clear the fragments, and report it ({broke})."
)
ROW, BOX, CODE = 42.0, 20.0, 22.0
"""Heights in points that a gloved hand can write in, tick, and find again; a long line has more."""
_ROW_EDGES = 7.0
LONG_CODE = 5
LINE = 70.0
TO_WRITE = (52.0, 108.0, 44.0, 84.0, 84.0, 100.0)
"""Widths of planned, count, about, who, date and note."""


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One line that is known before the shift; ``planned`` are its planned strokes, if any."""

    code: str
    tags: str
    what: str
    thru: str
    job: str
    planned: int | None


@dataclass(frozen=True, slots=True)
class StrokePaper:
    """The whole sheet; ``blank_lines`` are for what nobody planned."""

    title: str
    code: str
    made_on: str
    machine: str
    lines: tuple[PaperLine, ...]
    blank_lines: int = 4


def write_stroke_paper(
    sheet: StrokePaper,
    where: Path | BinaryIO,
    paper: str = "Letter",
    spelled: Spelling = str,
) -> int:
    """Write a stroke sheet as a PDF, whole or not at all; returns how many pages it has.

    ``spelled`` is how the door at which it is typed back spells an act.

    Raises:
        BadValue: for a sheet without a line or with too many blank ones, or an unknown paper.
    """
    if not 0 <= sheet.blank_lines <= MOST_BLANK:
        message = f"blank_lines={sheet.blank_lines} must be 0 to {MOST_BLANK}"
        raise BadValue(message)
    if not sheet.lines and not sheet.blank_lines:
        message = f"the stroke sheet {sheet.code[:40]!r} has no line"
        raise BadValue(message, way_out="give it a planned line, or blank ones")
    facts = (f"Machine {sheet.machine}", f"Made {sheet.made_on}", f"Sheet {sheet.code}")
    fill_in = FILL_IN.format(broke=spelled(act("broke", tag=None)))
    typing = _typing(sheet, spelled)
    frame = PaperFrame(sheet.title, facts, (fill_in,), paper, lying=True, strong=typing)
    return write_paper(frame, partial(_body, sheet), where)


def typed_back(lines: tuple[PaperLine, ...]) -> Act | None:
    """How a filled-in sheet is typed, by its own first two lines; None when it has none."""
    counts = (EXAMPLE_COUNT, EXAMPLE_COUNT * 3 // 20)
    words = [f"{line.code} {count}" for line, count in zip(lines, counts, strict=False)]
    return act("log", words=" ".join(words)) if words else None


def _typing(sheet: StrokePaper, spelled: Spelling) -> tuple[str, ...]:
    said, example = [], typed_back(sheet.lines)
    if example is not None:
        said.append(f"To type it in, each code and its count:  {spelled(example)}")
    if sheet.blank_lines:
        said.append(f"A line without a code:  {spelled(EXAMPLE_BLANK)}")
    return tuple(said)


def _body(sheet: StrokePaper, width: float) -> list[Flowable]:
    heading = ("Line", "Tool and work", "Planned", "Count", "About", "Who", "Shift date", "Note")
    rows = [_planned(line) for line in sheet.lines]
    rows += [
        ["", "", "", gap(ROW - _ROW_EDGES), tick(BOX), "", "", ""]
        for _line in range(sheet.blank_lines)
    ]
    widths = (LINE, width - LINE - sum(TO_WRITE), *TO_WRITE)
    return [ruled(heading, rows, widths)]


def _planned(line: PaperLine) -> list[Any]:
    planned = "-" if line.planned is None else f"{line.planned:,}"
    work = " ".join(part for part in (line.what, line.thru and f"thru {line.thru}") if part)
    said = [text(line.tags, 11, bold=True), text(work)]
    if line.job:
        said.append(text(f"job {line.job}", SMALL))
    code = text(line.code, CODE if len(line.code) <= LONG_CODE else LARGE, bold=True)
    return [code, said, text(planned, 11), gap(ROW - _ROW_EDGES), tick(BOX), "", "", ""]
