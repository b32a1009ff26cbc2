"""What a scanned or typed code is: a piece, a place, or neither, with those that come near."""

from __future__ import annotations

from dataclasses import dataclass

from crib.errors import UnknownName, UnsureName
from crib.stock.book.label_codes import LabelCode, read_code
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag, piece_called
from crib.stock.queries.places import place_by_name, places_near
from crib.stock.queries.tags import tags_near

LONGEST_CODE = 300


@dataclass(frozen=True, slots=True)
class ScannedCode:
    """What a code means. ``sort`` is piece, drawer (any place), or empty with what comes near."""

    code: str
    sort: str
    name: str = ""
    near_pieces: tuple[str, ...] = ()
    near_places: tuple[str, ...] = ()


def scanned(session: Session, text: str) -> ScannedCode:
    """What somebody scanned or typed, read as people write tags and places."""
    code = read_code(text[:LONGEST_CODE])
    return _piece(session, code) or _place(session, code) or _near(session, code)


def printed(session: Session, text: str) -> ScannedCode | None:
    """What a code in a photo says, to the letter; None for what no label of this crib says."""
    code = read_code(text)
    card = piece_called(session, code.name.upper()) if code.sort != "drawer" else None
    if card is not None:
        return ScannedCode(code.name, "piece", card.tag)
    return _place(session, code)


def _piece(session: Session, code: LabelCode) -> ScannedCode | None:
    if code.sort == "drawer" or not code.name:
        return None
    try:
        return ScannedCode(code.name, "piece", piece_by_tag(session, code.name).tag)
    except UnsureName as error:
        return ScannedCode(code.name, "", near_pieces=error.readings)
    except UnknownName:
        return None


def _place(session: Session, code: LabelCode) -> ScannedCode | None:
    if code.sort == "piece" or not code.name:
        return None
    try:
        return ScannedCode(code.name, "drawer", place_by_name(session, code.name).name)
    except UnknownName:
        return None


def _near(session: Session, code: LabelCode) -> ScannedCode:
    pieces = () if code.sort == "drawer" else tags_near(session, code.name.upper())
    places = () if code.sort == "piece" else places_near(session, code.name)
    return ScannedCode(code.name, "", near_pieces=tuple(pieces), near_places=tuple(places))
