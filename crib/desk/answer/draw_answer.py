"""The first pick as a drawing to print, or the nearest miss when there is no pick."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from crib.desk.answer.find import Found
from crib.desk.answer.rank import Candidate
from crib.desk.common.cautions import all_cautions, station_work
from crib.features.common.findings import cautions, refusals
from crib.features.common.picture import Picture
from crib.files.common.paper_sizes import usual_paper
from crib.files.paper.picture_frame import TitleBlock
from crib.files.paper.pictures import check_place, render
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session

NOT_A_PICK = "WILL NOT DO"
ENOUGH_REASONS = 6


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


def picture_of(found: Found) -> Picture | None:
    """The first pick as a picture, or the nearest miss, titled so; None when there is neither."""
    chosen = next(iter((*found.picks, *found.near_misses)), None)
    if chosen is None:
        return None
    picture = shape_of(found, chosen)
    told = tuple(dict.fromkeys((*_told(found, chosen), *picture.notes)))
    if found.serves:
        return replace(picture, notes=told)
    title = f"{NOT_A_PICK} (nearest miss): {picture.title}"
    return replace(picture, title=title, notes=told)


def shape_of(found: Found, chosen: Candidate) -> Picture:
    """A pick or a near miss as its bare picture: the pair, the hits or the cut."""
    return found.answers.picture(chosen.tooling, chosen.plan)


def screen_drawing(found: Found, chosen: Candidate) -> bytes:
    """A pick or a near miss to scale as an SVG for a screen."""
    from crib.files.paper.picture_svg import picture_svg

    return picture_svg(shape_of(found, chosen))


def _told(found: Found, chosen: Candidate) -> Iterator[str]:
    """What is not plainly ok, first because a full sheet drops its last notes; method and force."""
    grave = (*refusals(chosen.findings), *cautions(chosen.findings))
    for finding in grave[:ENOUGH_REASONS]:
        word = "STOP" if finding.verdict == "refuse" else "CAUTION"
        yield f"{word}, {finding.rule}: {finding.text}"
    if found.method is not None:
        yield found.method.line(found.system)
    for finding in chosen.findings:
        if finding.rule == "force" and finding.verdict == "ok":
            yield f"force: {finding.text}"


def draw_found(session: Session, found: Found, place: Path) -> Found:
    """The answer with its drawing written to a place, or a note that there is nothing to draw.

    Raises:
        Refused: when something has come to be there meanwhile.
    """
    picture = picture_of(found)
    if picture is None:
        note = "nothing was drawn: no piece comes near"
        return replace(found, notes=(*found.notes, note))
    rules = shop_rules(session)
    sheet = usual_paper(rules.system)
    minded = " ".join((found.cautions[0], *all_cautions([station_work(found.ask.work)])))
    block = TitleBlock(rules.text("crib.name"), _asked(found), sheet, (minded,))
    render(picture, place, block)
    return replace(found, drawing=str(place), notes=(*found.notes, f"drawn in {place}"))


def _asked(found: Found) -> str:
    """What was asked, as the screen says it."""
    facts = found.facts
    quantity = f", {facts.quantity:,} of them" if facts.quantity > 1 else ""
    job = f", job {facts.job}" if facts.job else ""
    return f"{found.phrase}{quantity}{job}"
