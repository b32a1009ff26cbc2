"""A stroke sheet on paper: printed with a code for each line, typed back by those codes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path

from crib.acts import Act, Confirmed, Spelling, act, saying
from crib.desk.common.acting import stamp_for
from crib.desk.common.pdf_place import check_pdf_place
from crib.desk.strokes.paper_codes import format_code
from crib.desk.strokes.shift import ProposedLine, plate_text, proposed_lines
from crib.errors import BadValue
from crib.files.common.paper_sizes import usual_paper
from crib.files.common.whole_file import write_whole
from crib.files.paper.stroke_paper import (
    PaperLine,
    StrokePaper,
    typed_back,
    write_stroke_paper,
)
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import pieces_by_tags
from crib.stock.queries.shop_names import machine_called
from crib.stock.writers.papers import NewPaperLine, keep_paper
from crib.units import System

USUAL_BLANK = 6
MOST_LINES = 400


@dataclass(frozen=True, slots=True)
class PaperRequest:
    """Where to write the sheet, and for which machine; ``paper`` empty for the crib's usual one."""

    file: Path
    machine: str = ""
    blank: int = USUAL_BLANK
    paper: str = ""
    by: str = ""
    confirmed: Confirmed = frozenset()
    spelled: Spelling = str


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line of the sheet as it was printed and kept; thickness and planned may be unknown."""

    code: str
    tag: str
    die_tag: str
    station: str
    what: str
    thickness_mm: float | None
    material: str
    job: str
    planned: int | None
    beside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PaperMade:
    """The sheet that was written; ``type_back`` shows how its first lines are typed in."""

    file: str
    number: int
    title: str
    unit: System
    pages: int
    blank_lines: int
    lines: tuple[SheetLine, ...]
    type_back: Act | None


def make_paper(session: Session, request: PaperRequest, now: datetime | None = None) -> PaperMade:
    """Print a stroke sheet and remember what its lines mean.

    Raises:
        UnknownName: for a machine or a person that is not known.
        BadValue: for a file of another ending, a paper or a number of blank lines that cannot be.
        AskBack: when the file is there already.
        Missing: when there is no such folder.
    """
    check_pdf_place(request.file, request.confirmed, act("sheet", file="strokes.pdf"))
    rules = shop_rules(session)
    unit = rules.system
    with session.writing():
        stamp = stamp_for(session, request.by, now=now)
        proposed = proposed_lines(session, request.machine)
        title = f"{rules.text('crib.name')}: strokes of a shift"
        number = keep_paper(session, stamp, title, _to_keep(session, proposed))
        lines = tuple(_line(number, at, one) for at, one in enumerate(proposed, 1))
        machine = machine_called(session, request.machine)
        sheet = StrokePaper(
            title=title,
            code=str(number),
            made_on=stamp.shift_on,
            machine=machine or "all",
            lines=tuple(_printed(line, machine, unit) for line in lines),
            blank_lines=request.blank,
        )
        data = BytesIO()
        paper = request.paper or usual_paper(unit)
        pages = write_stroke_paper(sheet, data, paper, request.spelled)
    # Written last: a number without its paper is only a gap, a paper without its number is lost.
    write_whole(data.getvalue(), request.file)
    return PaperMade(
        file=str(request.file),
        number=number,
        title=title,
        unit=unit,
        pages=pages,
        blank_lines=request.blank,
        lines=lines,
        type_back=typed_back(sheet.lines),
    )


def _to_keep(session: Session, proposed: list[ProposedLine]) -> list[NewPaperLine]:
    if len(proposed) > MOST_LINES:
        message = f"{len(proposed)} lines, at most {MOST_LINES} on a sheet"
        way_out = saying("print one for each machine: ", act("say.machine"))
        raise BadValue(message, way_out=way_out)
    tags = {tag for one in proposed for tag in (one.tag, one.die_tag, *one.beside) if tag}
    cards = pieces_by_tags(session, tags)
    return [
        NewPaperLine(
            piece_id=cards[one.tag].id,
            with_piece_id=cards[one.die_tag].id if one.die_tag else None,
            material=one.material,
            thickness_mm=one.thickness_mm,
            job=one.job,
            planned=one.strokes,
            beside=tuple(cards[tag].id for tag in one.beside),
        )
        for one in proposed
    ]


def _line(number: int, at: int, one: ProposedLine) -> SheetLine:
    return SheetLine(
        code=format_code(number, at),
        tag=one.tag,
        die_tag=one.die_tag,
        station=one.station,
        what=_what(one),
        thickness_mm=one.thickness_mm,
        material=one.material,
        job=one.job,
        planned=one.strokes,
        beside=one.beside,
    )


def _what(one: ProposedLine) -> str:
    """What is made, without the plate; the kind of the tool where nothing is planned."""
    if not one.phrase:
        return one.kind
    feature = one.phrase.partition(" thru ")[0]
    return f"{one.mark}: {feature}" if one.mark else feature


def _printed(line: SheetLine, machine: str, unit: System) -> PaperLine:
    over = f" over {line.die_tag}" if line.die_tag else ""
    over += f" with {', '.join(line.beside)}" if line.beside else ""
    thru = plate_text(line.thickness_mm, line.material, unit) if line.thickness_mm else ""
    return PaperLine(
        code=line.code,
        tags=f"{line.tag}{over}",
        what=f"{line.station.removeprefix(f'{machine} / ')}: {line.what}",
        thru=thru,
        job=line.job,
        planned=line.planned,
    )
