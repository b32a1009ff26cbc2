"""What came back from the grinder in one go: each piece ground and put away, in one act."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from crib.acts import act, saying
from crib.desk.common.acting import stamp_for, tags_named
from crib.desk.common.blade_pairs import require_blades
from crib.desk.edges.grind import (
    GrindRequest,
    Ground,
    GroundTogether,
    record_grind,
    record_grinds,
    record_within,
    together,
)
from crib.desk.shelf.move import require_seats_left
from crib.errors import AskBack, BadInput, BadRows, BadValue, Missing, Refused, RowFault
from crib.files.tables.grind_sheet import read_grind_sheet
from crib.stock.book.ledger import NewEntry, Stamp, write
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from crib.stock.queries.places import PlaceCard, last_drawer, place_by_name

_LENGTH = re.compile(r"[0-9.]")
"""How a length begins, where a tag may stand as well."""

HOME = "home"
"""Said for the drawer that a piece last lay in."""


@dataclass(frozen=True, slots=True)
class GrindLine:
    """One piece of a list: its line in a file or 0, its grind, and the drawer it goes to or ''.

    ``field`` is where it was typed, in a form.
    """

    line: int
    request: GrindRequest
    to: str = ""
    field: str = ""


@dataclass(frozen=True, slots=True)
class PutAway:
    """A piece that went to its drawer."""

    tag: str
    to: str


@dataclass(frozen=True, slots=True)
class GroundList:
    """Every piece of the list after its sharpening, and those that were put away."""

    ground: GroundTogether
    put_away: tuple[PutAway, ...]
    act: str


def record_words(
    session: Session,
    words: Sequence[str],
    usual: GrindRequest,
    to: str = "",
    now: datetime | None = None,
) -> Ground | GroundTogether | GroundList:
    """Record what was typed: a piece, the blades of a pair, or tags with a length behind each.

    Raises:
        BadInput: what ``record_grind``, ``record_grinds`` and ``record_list`` raise.
    """
    named = tags_named(session, words)
    if not (usual.length or usual.off) and len(named) > 1 and _LENGTH.match(named[1]):
        return record_list(session, "what was typed", _lines_of_pairs(named, usual, to), usual, now)
    if not to:
        if len(named) > 1:
            return record_grinds(session, named, usual, now)
        return record_grind(session, replace(usual, tag=named[0]), now)
    with session.writing():
        if len(named) > 1:
            require_blades(session, named, "grind")
        lines = [GrindLine(0, replace(usual, tag=tag), to) for tag in named]
        return record_list(session, "what was typed", lines, usual, now)


def _lines_of_pairs(words: Sequence[str], usual: GrindRequest, to: str) -> list[GrindLine]:
    if len(words) % 2:
        message = f"{words[-1]}: no length after the grind"
        raise Missing(message, way_out="give each tag its length: P-0137 2.685in D-0201 1.12in")
    pairs = zip(words[::2], words[1::2], strict=True)
    return [GrindLine(0, replace(usual, tag=tag, length=length), to) for tag, length in pairs]


def lines_of_sheet(content: bytes, name: str, usual: GrindRequest, to: str) -> list[GrindLine]:
    """Lines of a list in a file; what a line leaves empty is as it is said for all.

    Raises:
        BadInput, BadRows: for a file that is no such list.
    """
    found = []
    for row in read_grind_sheet(content, name):
        said = {key: text for key, text in row.values.items() if text and key != "to"}
        found.append(GrindLine(row.line, replace(usual, **said), row.values["to"] or to))
    return found


def record_list(
    session: Session,
    name: str,
    lines: Sequence[GrindLine],
    usual: GrindRequest,
    now: datetime | None = None,
) -> GroundList:
    """Record every grind of a list and put its pieces away, in one act or not at all.

    Raises:
        BadRows: for what is wrong with any line; each is named.
        AskBack: for the first doubt, with every line that it is about.
    """
    with session.writing():
        stamp = stamp_for(session, usual.by, usual.on, now)
        taking = _Taking(session, stamp, [], [], [], [])
        for line in lines:
            taking.take(line)
        _require_sound(name, taking)
        for card, place in taking.moves:
            require_seats_left(session, [card])
            write(session, stamp, [NewEntry("move", card.id, place_id=place.id)])
        away = tuple(PutAway(card.tag, place.name) for card, place in taking.moves)
        return GroundList(together(session, taking.ground), away, stamp.act)


@dataclass(slots=True)
class _Taking:
    """A list on its way in: what was taken of it, and what is wrong with which line."""

    session: Session
    stamp: Stamp
    ground: list[Ground]
    moves: list[tuple[PieceCard, PlaceCard]]
    faults: list[tuple[GrindLine, BadInput]]
    asked: list[tuple[GrindLine, AskBack]]

    def take(self, line: GrindLine) -> None:
        try:
            card = piece_by_tag(self.session, line.request.tag)
            if any(card.tag == one.tag for one in self.ground):
                message = f"{card.tag} stands there twice"
                raise BadValue(message, way_out="leave one of the lines out")
            place = _drawer(self.session, card, line.to)
            request = replace(line.request, tag=card.tag)
            self.ground.append(record_within(self.session, request, self.stamp))
        except AskBack as error:
            self.asked.append((line, error))
        except BadInput as error:
            self.faults.append((line, error))
        else:
            if place is not None and place.id != card.place_id:
                self.moves.append((card, place))


def _drawer(session: Session, card: PieceCard, name: str) -> PlaceCard | None:
    """The drawer that a piece goes to; None where it stays."""
    if not name.strip():
        return None
    if name.strip().casefold() != HOME:
        place = place_by_name(session, name)
        if place.station_id is not None:
            message = f"{card.tag}: {place.name} is a station"
            mount = act("move", tags=(card.tag,), to=place.name)
            raise Refused(message, way_out=saying("put it in a drawer, then ", mount))
        return place
    home = last_drawer(session, card.id)
    if home is None:
        message = f"{card.tag} never lay in a drawer that the crib knows"
        raise Missing(message, way_out="say which drawer it goes to")
    return home


def _require_sound(name: str, taking: _Taking) -> None:
    if taking.faults:
        count = len(taking.faults)
        message = f"{name}: {count} fault{'s' if count > 1 else ''}; nothing of it was taken"
        rows = [
            RowFault(name, line.line, line.field, error.said("; ")) for line, error in taking.faults
        ]
        raise BadRows(message, rows, way_out="put them right and take it in again")
    if taking.asked:
        first = taking.asked[0][1]
        told = [
            str(RowFault(name, line.line, "", one.message)) if line.line else one.message
            for line, one in taking.asked
            if one.confirm == first.confirm
        ]
        raise AskBack(
            told[0],
            confirm=first.confirm,
            choose=first.choose,
            readings=first.readings,
            told=told[1:],
            way_out=first.way_out,
        )
