"""The kit list of a job: what to take from which drawer, in walking order, and what is missing.

Every text is ready to print; the lines stand in the order in which they are walked.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from crib.errors import BadValue
from crib.files.paper.shop_paper import PaperFrame, write_paper
from crib.files.paper.shop_paper_parts import LARGE, SMALL, gap, kept, ruled, text, tick, to_sign

if TYPE_CHECKING:
    from reportlab.platypus import Flowable, Paragraph, Table


@dataclass(frozen=True, slots=True)
class KitLine:
    """One piece to take; ``for_what`` names the work, ``state`` its condition or where it is.

    ``place`` is where it was to be taken from, ``who`` who has it by now. ``at_hand`` is empty for
    what is taken from a drawer, else ``mounted`` or ``out`` (with the job).
    """

    place: str
    tag: str
    what: str
    role: str
    for_what: str
    spare: bool
    state: str
    edge: str
    note: str = ""
    at_hand: str = ""
    who: str = ""


@dataclass(frozen=True, slots=True)
class KitList:
    """The whole list; ``missing`` says what nothing serves and what to order for it.

    ``cautions`` stand at the foot of every page.
    """

    title: str
    job: str
    made_on: str
    due_on: str
    lines: tuple[KitLine, ...]
    missing: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def write_kit_list(kit: KitList, where: Path | BinaryIO, paper: str = "Letter") -> int:
    """Write a kit list as a PDF, whole or not at all; returns how many pages it has.

    Raises:
        BadValue: for a list with nothing on it, or a paper that is not known.
    """
    if not (kit.lines or kit.missing):
        message = f"the kit list {kit.title[:40]!r} has no line and nothing missing"
        raise BadValue(message, way_out="give it at least one piece to take")
    facts = [f"Job {kit.job}", f"Made {kit.made_on}"]
    if kit.due_on:
        facts.append(f"Due {kit.due_on}")
    facts.append(_counted(kit))
    frame = PaperFrame(kit.title, tuple(facts), kit.cautions, paper)
    return write_paper(frame, partial(_body, kit), where)


def _counted(kit: KitList) -> str:
    fetched = [line for line in kit.lines if not line.at_hand]
    spares = sum(line.spare for line in fetched)
    told = f"{len(fetched)} to take"
    if spares:
        told += f", {spares} of them spare"
    given = sum(bool(line.who) for line in fetched)
    told += f", {given} of them out by now" if given else ""
    for where in ("mounted", "out"):
        count = sum(line.at_hand == where for line in kit.lines)
        told += f", {count} {where} already" if count else ""
    return f"{told}, {len(kit.missing)} MISSING" if kit.missing else told


def _body(kit: KitList, width: float) -> list[Flowable]:
    parts: list[Flowable] = []
    if kit.missing:
        parts += [_missing(kit.missing, width), gap(10)]
    if kit.lines:
        parts += [_lines(kit.lines, width), gap(8)]
    if kit.notes:
        parts += [text("Notes", bold=True), *(text(note) for note in kit.notes), gap(6)]
    signed = [to_sign((f"{what} by", "Date"), width) for what in ("Taken out", "Brought back")]
    return [*parts, kept(signed, width), *signed]


def _missing(missing: tuple[str, ...], width: float) -> Table:
    heading = ("", "Missing: order it, or settle it before the job begins", "Ordered by", "Date")
    rows = [[tick(), text(one, bold=True), "", ""] for one in missing]
    return ruled(heading, rows, (24, width - 184, 90, 70), least=24)


def _lines(lines: tuple[KitLine, ...], width: float) -> Table:
    heading = ("Out", "From", "Tag", "What", "For", "State", "Back")
    rows = [
        [
            tick(),
            _from(line),
            text(line.tag, LARGE, bold=True),
            _what(line),
            text(line.for_what, SMALL),
            [text(state, SMALL) for state in (line.state, line.edge) if state],
            tick(),
        ]
        for line in lines
    ]
    return ruled(heading, rows, (28, 80, 80, width - 418, 112, 86, 32))


def _from(line: KitLine) -> list[Paragraph]:
    """The drawer, and who has it by now."""
    said = [text(line.place or "no place known", 11, bold=True)]
    return [*said, text(line.who, SMALL)] if line.who else said


def _what(line: KitLine) -> list[Paragraph]:
    said = [text(f"{line.role}: {line.what}" if line.role else line.what)]
    if line.spare:
        said.insert(0, text("SPARE", bold=True))
    if line.note:
        said.append(text(line.note, SMALL, bold=True))
    return said
