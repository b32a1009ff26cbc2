"""The first pick as a drawing to print, or the nearest miss when there is no pick."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from crib.desk.find import Found
from crib.features.findings import refusals
from crib.features.picture import Picture
from crib.files.picture_frame import TitleBlock
from crib.files.pictures import check_place, render
from crib.stock.session import Session
from crib.stock.settings import shop_rules

NOT_A_PICK = "WILL NOT DO"
ENOUGH_REASONS = 4


def drawing_place(path: str) -> Path:
    """Where a drawing is to go, checked before anything is asked or remembered.

    Raises:
        BadInput: for a name that is no drawing's.
        Refused: when something is there already.
        Missing: when there is no such folder.
    """
    place = Path(path)
    check_place(place)
    return place


def picture_of(session: Session, found: Found) -> Picture | None:
    """The first pick as a picture, or the nearest miss, titled so; None when there is neither."""
    chosen = next(iter((*found.picks, *found.near_misses)), None)
    if chosen is None:
        return None
    picture = found.ask.picture(chosen.tooling, chosen.plan, shop_rules(session), found.facts)
    method = () if found.method is None else (found.method.line(),)
    picture = replace(picture, notes=(*picture.notes, *method))
    if found.serves:
        return picture
    why = [f"STOP, {one.rule}: {one.text}" for one in refusals(chosen.findings)]
    return replace(
        picture,
        title=f"{NOT_A_PICK} (nearest miss): {picture.title}",
        notes=(*why[:ENOUGH_REASONS], *picture.notes),
    )


def draw_found(session: Session, found: Found, place: Path) -> Found:
    """The answer with its drawing written to a place, or a note that there is nothing to draw.

    Raises:
        Refused: when something has come to be there meanwhile.
    """
    picture = picture_of(session, found)
    if picture is None:
        note = "nothing was drawn: no piece comes near"
        return replace(found, notes=(*found.notes, note))
    rules = shop_rules(session)
    sheet = "A4" if rules.text("crib.unit") == "mm" else "Letter"
    block = TitleBlock(rules.text("crib.name"), _asked(found), sheet, found.cautions[:2])
    render(picture, place, block)
    return replace(found, drawing=str(place), notes=(*found.notes, f"drawn in {place}"))


def _asked(found: Found) -> str:
    """What was asked, as the screen says it."""
    facts = found.facts
    reamed = ", to be reamed" if facts.to_ream else ""
    quantity = f", {facts.quantity:,} of them" if facts.quantity > 1 else ""
    job = f", job {facts.job}" if facts.job else ""
    return f"{found.phrase}{reamed}{quantity}{job}"
