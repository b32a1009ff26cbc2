"""Labels for tools and drawers, on the sheets of labels that the shop has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from crib.acts import Confirmed, act, saying
from crib.desk.common.pdf_place import check_pdf_place
from crib.desk.common.piece_wear import size_now_mm
from crib.desk.common.tool_cards import key_angles
from crib.errors import BadInput, BadValue, Missing, Refused
from crib.features.common.key_words import key_ways
from crib.files.common.whole_file import write_whole
from crib.files.paper.label_marks import Ground
from crib.files.paper.label_sheets import LabelSheet, read_label_sheet
from crib.files.paper.labels import DrawerLabel, Label, LabelsMade, ToolLabel, labels_pdf
from crib.stock.book.label_codes import CodeSort, written_code
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.labelled import PunchSize, punch_sizes, tools_here, tools_in_drawers
from crib.stock.queries.pieces import PieceCard, pieces_named
from crib.stock.queries.places import place_by_name
from crib.units import System, format_length

USUAL_SHEETS: dict[System, str] = {"in": "letter 3x10", "mm": "a4 3x8"}
MOST_LABELS = 5000
MOST_CLEARANCE_SHARE = 0.25
"""Of the punch: a die that is wider over it than that was not bought for it."""

_GROUNDS: dict[str, Ground] = {"die": "disc", "blade": "block"}
_SAME_MM = 0.06
_HOW = saying(
    *("name tags, or say ", act("say.label-drawer"), ", ", act("say.all")),
    *(" or ", act("say.drawers")),
)


@dataclass(frozen=True, slots=True)
class LabelsRequest:
    """What to print and on what.

    ``drawers`` prints one label for each kind in each drawer, instead of one for each tool; with
    ``places`` only of these. ``on`` empty takes the usual sheet of the crib's unit. ``plain`` keeps
    the page's address out of the codes.
    """

    file: Path
    tags: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    every: bool = False
    drawers: bool = False
    on: str = ""
    skip: int = 0
    frames: bool = False
    confirmed: Confirmed = frozenset()
    plain: bool = False


@dataclass(frozen=True, slots=True)
class Labels:
    """What was printed; ``shortened`` are words that had to be cut off or left out.

    ``address`` is the page's in the codes; ``short_codes`` the tags and drawers whose label has no
    room for it, so that their code holds no more than them.
    """

    file: str
    sheet: str
    paper: str
    labels: int
    tools: int
    drawers: int
    pages: int
    skipped: int
    shortened: tuple[str, ...]
    address: str = ""
    short_codes: tuple[str, ...] = ()


def make_labels(session: Session, request: LabelsRequest) -> Labels:
    """Print labels into a PDF; nothing is written over unless asked to.

    Raises:
        BadInput: when nothing, or both tools and drawers, are asked for.
        BadValue: for a file, sheet, tag or size that cannot be, or too many labels.
        UnknownName: for a tag, place or sheet that is not known.
        AskBack: when the file is there already.
        Missing: when there is no such folder, or nothing is there to label.
    """
    _check(request)
    unit = shop_rules(session).system
    sheet = read_label_sheet(request.on or USUAL_SHEETS[unit])
    labels = chosen_labels(session, request, unit)
    made = labels_pdf(labels, sheet, skip=request.skip, frames=request.frames)
    write_whole(made.data, request.file)
    return replace(_told(request, sheet, labels, made), address=_address(session, request))


def chosen_labels(session: Session, request: LabelsRequest, unit: System) -> list[Label]:
    """The labels that a request asks for: tags as they were said, else in the order of the walk."""
    labels: list[Label] = []
    address = _address(session, request)
    if request.drawers:
        for drawer in _of_drawers(session, request, unit):
            labels.append(replace(drawer, code=_code(address, "drawer", drawer.drawer)))
    else:
        for tool in (_of_tool(card, unit) for card in _cards(session, request)):
            labels.append(replace(tool, code=_code(address, "piece", tool.tag)))
    if not labels:
        message = "there is nothing to label"
        raise Missing(message, way_out=_HOW)
    if len(labels) > MOST_LABELS:
        message = f"{len(labels):,} labels at once must be <= {MOST_LABELS:,}"
        way_out = saying("print them drawer by drawer: ", act("say.label-drawer"))
        raise BadValue(message, way_out=way_out)
    return labels


def _address(session: Session, request: LabelsRequest) -> str:
    return "" if request.plain else shop_rules(session).text("page.address")


def _code(address: str, sort: CodeSort, name: str) -> str:
    """What a code holds besides the name; empty for the name alone."""
    return written_code(address, sort, name) if address else ""


def _cards(session: Session, request: LabelsRequest) -> list[PieceCard]:
    """The tools to label, each once."""
    cards = pieces_named(session, request.tags)
    for name in request.places:
        place = place_by_name(session, name)
        cards += tools_here(session, place.id)
    if request.every:
        cards += tools_here(session)
    return list({card.id: card for card in cards}.values())


def _of_tool(card: PieceCard, unit: System) -> ToolLabel:
    """The nominal size is the one that is stamped on the tool; a measured one stands behind it."""
    size = _size(card.width_mm, card.long_mm, unit)
    what = _family(card)
    if card.measured_width_mm is not None or card.measured_long_mm is not None:
        measured = f"measured {_size(*size_now_mm(card), unit)}"
        keys = _keys(card)
        what = (f"{what[-1]}, {measured}", f"{keys}, {measured}" if keys else measured)
    return ToolLabel(card.tag, size, what)


def _of_drawers(session: Session, request: LabelsRequest, unit: System) -> list[DrawerLabel]:
    cards = tools_in_drawers(session, [_drawer(session, name) for name in request.places])
    punches = punch_sizes(session)
    kinds = {(card.place_id, card.kind_id): card for card in cards}
    return [_of_drawer(card, punches, unit) for card in kinds.values()]


def _drawer(session: Session, name: str) -> int:
    place = place_by_name(session, name)
    if place.sort != "drawer":
        message = f"{place.name} is a {place.sort}, not a drawer"
        leave_out = saying("leave out ", act("say.drawers"))
        raise Refused(message, way_out=saying(leave_out, " to label the tools that are there"))
    return place.id


def _of_drawer(card: PieceCard, punches: Sequence[PunchSize], unit: System) -> DrawerLabel:
    shape = card.shape if card.role in ("punch", "die") else card.profile
    return DrawerLabel(
        drawer=card.place or "",
        shape=shape,
        ground=_GROUNDS.get(card.role, ""),
        size=_size(card.width_mm, card.long_mm, unit),
        family=_family(card),
        clearance=_clearance(card, punches, unit),
    )


def _family(card: PieceCard) -> tuple[str, ...]:
    """Shape, role, seat and key where the size stands by itself; else the kind's own name."""
    if card.width_mm is None or card.role not in ("punch", "die"):
        return (card.kind_name,)
    rest = f", seat {card.seat}" if card.seat else ""
    rest += f", {keys}" if (keys := _keys(card)) else ""
    return f"{card.shape} {card.role}{rest}".strip(), f"{card.role}{rest}"


def _keys(card: PieceCard) -> str:
    """How a shaped tool is keyed, as short as a label needs it."""
    return key_ways(card.shape, key_angles(card)).replace(" or ", "/")


def _size(width_mm: float | None, long_mm: float | None, unit: System) -> str:
    if width_mm is None:
        return ""
    width = format_length(width_mm, unit, with_unit=long_mm is None, digits=4)
    return width if long_mm is None else f"{width} x {format_length(long_mm, unit, digits=4)}"


def _clearance(die: PieceCard, punches: Sequence[PunchSize], unit: System) -> tuple[str, ...]:
    """The clearance of a die over the largest punch that it can have been bought for."""
    if die.role != "die" or die.width_mm is None:
        return ()
    over: list[tuple[float, PunchSize]] = []
    for punch in punches:
        total_mm = die.width_mm - punch.width_mm
        along_mm = (die.long_mm or 0.0) - (punch.long_mm or 0.0) if die.long_mm else total_mm
        if (
            (punch.shape, punch.seat) == (die.shape, die.seat)
            and 0.0 < total_mm <= MOST_CLEARANCE_SHARE * punch.width_mm
            and abs(along_mm - total_mm) < _SAME_MM
        ):
            over.append((total_mm, punch))
    if not over:
        return ()
    total_mm, punch = min(over, key=lambda one: one[0])
    clear = f"{format_length(total_mm, unit, digits=4)} clear"
    return f"{clear} over {_size(punch.width_mm, punch.long_mm, unit)}", clear


def _check(request: LabelsRequest) -> None:
    asked = bool(request.tags or request.places or request.every)
    if not (asked or request.drawers):
        message = "it was not said what to label"
        raise BadInput(message, way_out=_HOW)
    if request.drawers and (request.tags or request.every):
        message = "labels of drawers and labels of tools are asked for at once"
        raise BadInput(message, way_out="print them one after the other")
    example = act("labels", file="labels.pdf", tags=("P-0137", "D-0202"))
    check_pdf_place(request.file, request.confirmed, example)


def _told(
    request: LabelsRequest, sheet: LabelSheet, labels: Sequence[Label], made: LabelsMade
) -> Labels:
    tools = sum(isinstance(label, ToolLabel) for label in labels)
    return Labels(
        file=str(request.file),
        sheet=sheet.name,
        paper=sheet.paper,
        labels=len(labels),
        tools=tools,
        drawers=len(labels) - tools,
        pages=made.pages,
        skipped=request.skip,
        shortened=made.shortened,
        short_codes=made.short_codes,
    )
