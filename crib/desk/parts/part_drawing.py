"""The parts that were read as a drawing to accept: a page for each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from crib.acts import act, saying
from crib.desk.parts.shown_phrase import part_system
from crib.errors import BadInput
from crib.features.common.picture import Picture
from crib.files.common.paper_sizes import usual_paper
from crib.files.drawings.parts import Part
from crib.files.paper.part_picture import part_picture
from crib.files.paper.picture_frame import TitleBlock
from crib.files.paper.pictures import render, render_pages
from crib.trade.shop.shop_rules import Rules
from crib.units import System

MOST_PAGES = 200


@dataclass(frozen=True, slots=True)
class PartSheet:
    """A part with what its features are, its file's name, and what a person should know."""

    part: Part
    phrases: tuple[str, ...]
    file: str
    notes: tuple[str, ...]


def draw_parts(
    sheets: Sequence[PartSheet], place: Path, rules: Rules, system: System
) -> tuple[str, ...]:
    """Draw every part that has a place for what is cut into it. Returns what to say of it.

    Raises:
        BadInput: when none has, when there are too many, or several for an SVG, which has no pages.
        Refused: when something is there already.
        Missing: when there is no such folder.
    """
    pages = []
    for sheet in sheets:
        own = part_system(sheet.part, system)
        picture = part_picture(sheet.part, sheet.phrases, own, sheet.notes)
        if picture is not None:
            pages.append((picture, _block(sheet, rules, system)))
    if not pages:
        message = f"nothing to draw in {place.name}: the file does not say where things are"
        leave_out = saying("leave out ", act("say.no-draw"))
        raise BadInput(message, way_out=saying("a list of phrases has no drawing: ", leave_out))
    if len(pages) > MOST_PAGES:
        message = f"{len(pages)} parts to draw; at most {MOST_PAGES} at once"
        raise BadInput(message, way_out="draw fewer files at a time")
    _write(pages, place)
    said = f"drawn in {place}: {len(pages)} page{'' if len(pages) == 1 else 's'}"
    left = len(sheets) - len(pages)
    if left:
        said += f"; {left} of a list {'says' if left == 1 else 'say'} no place: not drawn"
    return (said,)


def _write(pages: Sequence[tuple[Picture, TitleBlock]], place: Path) -> None:
    if len(pages) == 1:
        ((picture, block),) = pages
        render(picture, place, block)
    elif place.suffix.lower() == ".svg":
        message = f"{place.name} holds one part, and there are {len(pages)}"
        raise BadInput(message, way_out=f"name it {place.stem}.pdf: it has a page for each")
    else:
        render_pages(pages, "Parts", place)


def _block(sheet: PartSheet, rules: Rules, system: System) -> TitleBlock:
    part = sheet.part
    words = [f"read from {sheet.file}", f"{part.quantity:,} of it", part.material]
    asked = ", ".join(filter(None, words))
    return TitleBlock(rules.text("crib.name"), asked, usual_paper(system))
