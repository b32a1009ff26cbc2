"""The wrap-around template of a saddle: a sheet at full size, to cut by hand what no set cuts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import cast

from crib.acts import Confirmed, Said, act
from crib.desk.common.pdf_place import check_pdf_place
from crib.errors import Refused
from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading
from crib.features.common.sizes import decimal_text
from crib.features.saddles.saddle import Saddle, read
from crib.features.saddles.saddle_wrap import USUAL_LINES, Contact, WrapTemplate, wrap_template
from crib.files.common.paper_sizes import usual_paper
from crib.files.common.whole_file import write_whole
from crib.files.paper.wrap_frame import WrapTexts
from crib.files.paper.wrap_pdf import wrap_pdf, wrap_sheets
from crib.spellings import same_words
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.units import MM_PER_INCH, System

EXAMPLE = "saddle 6 pipe sch 40 onto 8 pipe at 60"
_CAUTION = (
    "Measure the square, and the seam against the branch, before you mark anything. This advises;"
    " the drawing, the weld procedure and licensed practice decide."
)
_CONTACT_TEXTS: dict[Contact, str] = {
    "bore": "Touches at the bore: for a cut made square to the wall (torch, grinder).",
    "outside": "Touches at the outside: for a cutter or saw that goes straight through.",
}


@dataclass(frozen=True, slots=True)
class WrapRequest:
    """What to draw and how; ``paper`` empty for the usual one of the crib's unit."""

    phrase: str
    file: Path
    paper: str = ""
    contact: str = "bore"
    lines: int = USUAL_LINES
    confirmed: Confirmed = frozenset()


@dataclass(frozen=True, slots=True)
class Ordinate:
    """One line of the template: its place round the branch and what is cut off there."""

    number: int
    theta_deg: float
    around_mm: float
    cutback_mm: float


@dataclass(frozen=True, slots=True)
class Wrap:
    """The template that was made; ``understood`` is the phrase where it was typed otherwise."""

    file: str
    phrase: str
    unit: System
    paper: str
    pages: int
    contact: str
    branch_mm: float
    wall_mm: float
    header_mm: float
    angle_deg: float
    offset_mm: float
    circumference_mm: float
    deepest_mm: float
    ordinates: tuple[Ordinate, ...]
    notes: tuple[Said, ...]
    understood: str = ""


def make_wrap(session: Session, request: WrapRequest) -> Wrap:
    """Draw the template of a saddle into a PDF; nothing is written over unless asked to.

    Raises:
        BadPhrase: for a phrase that cannot be read, pointing at the word.
        Refused: for a feature that is no saddle.
        BadValue: for a file, paper, contact or number of lines that cannot be.
        AskBack: when the file is there already.
        Missing: when there is no such folder.
    """
    check_pdf_place(request.file, request.confirmed, act("wrap", phrase=EXAMPLE, file="branch.pdf"))
    reading = Reading(shop_rules(session))
    ask = _read(request.phrase, reading)
    paper = (request.paper or usual_paper(reading.system)).lower()
    template = wrap_template(ask, cast(Contact, request.contact.lower()), request.lines)
    pages = len(wrap_sheets(template, paper).sheets)
    notes = tuple(_notes(template, reading.system))
    texts = _texts(template, notes, reading.system)
    write_whole(wrap_pdf(template, texts, paper), request.file)
    made = _made(request, template, paper, pages, notes, reading.system)
    understood = "" if same_words(made.phrase, request.phrase) else made.phrase
    return replace(made, understood=understood)


def _read(phrase: str, reading: Reading) -> Saddle:
    """Read a saddle; the other kinds of feature are only loaded to say what was asked instead."""
    words = Words(phrase)
    if words.take_if(Saddle.feature):
        ask = read(words, reading)
        words.must_be_done(EXAMPLE)
        return ask
    from crib.features.registry import read_phrase

    other = read_phrase(phrase, reading)
    if isinstance(other, Saddle):
        return other
    message = f"a wrap-around template is for a saddle, not for a {other.feature}"
    raise Refused(message, way_out=f"say it like {EXAMPLE}")


def _texts(template: WrapTemplate, notes: tuple[str, ...], system: System) -> WrapTexts:
    saddle = template.saddle
    square_mm = 25.0 if system == "mm" else MM_PER_INCH
    sizes = (
        f"Branch {decimal_text(saddle.branch.outside_mm, system)} outside,"
        f" wall {decimal_text(saddle.plate.thickness_mm, system, fine=True)};"
        f" header {decimal_text(saddle.header.outside_mm, system)} outside;"
        f" {saddle.angle_deg:g}° between the axes,"
        + (
            f" {decimal_text(saddle.offset_mm, system)} offset."
            if saddle.offset_mm
            else " no offset."
        )
    )
    use = (
        "Cut it out, wrap it tight, printed side out, END LINE on the square-cut end; the seam"
        f" lines meet ({decimal_text(template.circumference_mm, system)} round)."
        " Mark along the curve; the grey comes off. The figures: what is cut off at each line."
    )
    return WrapTexts(
        title=f"Wrap-around template 1:1 - {saddle.phrase(system)}",
        lines=(sizes, _CONTACT_TEXTS[template.contact], use, *notes),
        caution=_CAUTION,
        figures=tuple(decimal_text(line.cutback_mm, system) for line in template.lines),
        square_mm=square_mm,
        square_text="25 mm" if system == "mm" else "1 in",
    )


def _notes(template: WrapTemplate, system: System) -> list[str]:
    saddle, found = template.saddle, []
    if not saddle.wall_named:
        wall = decimal_text(saddle.plate.thickness_mm, system, fine=True)
        found.append(f"No wall was named: taken as schedule 40, {wall}. Measure it.")
    if template.handed:
        side = "left" if saddle.angle_deg < 90.0 else "right"
        found.append(
            f"Seen from the branch's far end, throat up, the offset is to the {side};"
            " for the other hand wrap it printed side in."
        )
    return found


def _made(
    request: WrapRequest,
    template: WrapTemplate,
    paper: str,
    pages: int,
    notes: tuple[Said, ...],
    system: System,
) -> Wrap:
    saddle = template.saddle
    return Wrap(
        file=str(request.file),
        phrase=saddle.phrase(system),
        unit=system,
        paper=paper,
        pages=pages,
        contact=template.contact,
        branch_mm=saddle.branch.outside_mm,
        wall_mm=saddle.plate.thickness_mm,
        header_mm=saddle.header.outside_mm,
        angle_deg=saddle.angle_deg,
        offset_mm=saddle.offset_mm,
        circumference_mm=template.circumference_mm,
        deepest_mm=template.deepest_mm,
        ordinates=tuple(
            Ordinate(line.number, line.theta_deg, line.x_mm, line.cutback_mm)
            for line in template.lines
        ),
        notes=notes,
    )
