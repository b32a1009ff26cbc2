"""Put a new piece in the crib, of a kind that is there or one made on the way."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime
from difflib import get_close_matches

from crib.acts import Confirmed, act, saying
from crib.desk.common.acting import read_day, stamp_for
from crib.desk.common.kept_for import family_of
from crib.desk.common.kinds import MAKE_EXAMPLE, KindRequest, find_or_make_kind
from crib.desk.life.relearn import hear
from crib.desk.shelf.measure import Sizes, read_measured_sizes, require_plausible
from crib.desk.shelf.next_tags import next_tags
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.book.ledger import NewEntry, write
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.history import last_entry
from crib.stock.queries.kinds import all_kinds, role_of_kind, usual_price_cents
from crib.stock.queries.pieces import piece_by_tag, piece_called
from crib.stock.queries.places import PlaceCard, place_by_name
from crib.stock.writers.new_pieces import NewPieceRow, add_piece_row
from crib.units import read_count, read_money_cents

_TAG = r"[A-Z0-9][A-Z0-9._/+-]{0,39}"


@dataclass(frozen=True, slots=True)
class NewPiece:
    """What was typed for a new piece; without a tag it gets the next one of its role."""

    tag: str | None
    kind: str = ""
    make: KindRequest | None = None
    place: str = ""
    length: str = ""
    measured: str = ""
    measured_long: str = ""
    strokes: str = ""
    since_grind: str = ""
    wear: str = ""
    bought: str = ""
    price: str = ""
    dedicated: str = ""
    note: str = ""
    confirmed: Confirmed = frozenset()


@dataclass(frozen=True, slots=True)
class Added:
    """The piece that is now in the crib."""

    tag: str
    kind: str
    kind_is_new: bool
    place: str | None
    strokes_since_new: int
    strokes_since_grind: int
    wear: float
    entry: int


def add_piece(
    session: Session, new: NewPiece, *, by: str = "", now: datetime | None = None
) -> Added:
    """Put a piece in the crib, with its opening entry in the ledger.

    Raises:
        Refused: for a tag that is taken, also by a piece that is gone; for a station as its place.
        UnknownName: for a kind, seat or place that is not there.
        BadValue, BadQuantity: for a figure that cannot stand.
    """
    said = None if new.tag is None else read_tag(new.tag)
    opening = _opening(new)
    sizes = read_measured_sizes(session, new.measured, new.measured_long, new.length)
    with session.writing():
        stamp = stamp_for(session, by, now=now)
        if said is not None:
            _must_be_free(session, said)
        place = _resting_place(session, new.place)
        kind_id, is_new = _kind(session, new)
        tag = said or next_tags(session).take(role_of_kind(session, kind_id), 1)[0]
        piece_id = add_piece_row(session, _row(session, new, tag, kind_id, stamp.shift_on))
        require_plausible(session, piece_by_tag(session, tag), sizes, new.confirmed)
        write(session, stamp, [_entry(opening, piece_id, place, sizes)])
        hear(session, kind_id)
        entry = last_entry(session, piece_id)
    card = piece_by_tag(session, tag)
    return Added(
        tag,
        card.kind_name,
        is_new,
        card.place,
        card.strokes_total,
        card.strokes_edge,
        card.wear,
        entry,
    )


def read_tag(text: str) -> str:
    """A tag as it is stamped: capitals, figures and - . _ / +.

    Raises:
        BadValue: for anything else.
    """
    tag = text.strip().upper()
    if not (text.isascii() and re.fullmatch(_TAG, tag)):
        message = f"tag {text[:40]!r} must be 1 to 40 letters, figures or - . _ / +"
        raise BadValue(message, way_out="write it like P-0137")
    return tag


def _must_be_free(session: Session, tag: str) -> None:
    other = piece_called(session, tag)
    if other is not None:
        message = f"tag {tag} belongs to a {other.condition} {other.kind_name}"
        raise Refused(message, way_out="stamp another tag; a tag is never used twice")


def _resting_place(session: Session, name: str) -> PlaceCard | None:
    if not name.strip():
        return None
    place = place_by_name(session, name)
    if place.station_id is not None:
        message = f"{place.name} is a station; a new piece goes to a drawer first"
        way_out = saying("add it to a drawer, then ", act("move"), " it there")
        raise Refused(message, way_out=way_out)
    return place


def _kind(session: Session, new: NewPiece) -> tuple[int, bool]:
    if new.make is not None and not new.kind:
        return find_or_make_kind(session, new.make)
    if new.make is not None:
        message = "a kind by name and a kind by its sizes"
        sizes = act("say.sizes-of-kind")
        raise BadValue(message, way_out=saying("give either ", act("say.kind"), ", or ", sizes))
    name = _plain(new.kind)
    known = {_plain(kind.name): kind for kind in all_kinds(session)}
    if name in known:
        return known[name].id, False
    near = [known[one].name for one in get_close_matches(name, known, n=4, cutoff=0.5)]
    message = f"no kind called {new.kind[:60]!r}" if name else "no kind given"
    nearest = f"nearest: {', '.join(near)}; or " if near else ""
    raise UnknownName(message, way_out=saying(f"{nearest}make it: ", MAKE_EXAMPLE))


def _plain(name: str) -> str:
    """A kind's name without what people type differently."""
    return " ".join(name.split()).casefold()


def _opening(new: NewPiece) -> NewEntry:
    """The opening entry's strokes until now."""
    strokes = read_count(new.strokes) if new.strokes else 0
    since_grind = read_count(new.since_grind) if new.since_grind else strokes
    if since_grind > strokes:
        message = f"strokes since grind {since_grind} must be at most {strokes} since new"
        both = (act("say.strokes"), " since new, ", act("say.since-grind"))
        raise BadValue(message, way_out=saying("give both: ", *both))
    wear = read_count(new.wear) if new.wear else since_grind
    return NewEntry(
        "add",
        condition="sound",
        quantity=strokes,
        strokes_edge=since_grind,
        weighted_milli=wear * 1000,
    )


def _entry(opening: NewEntry, piece_id: int, place: PlaceCard | None, sizes: Sizes) -> NewEntry:
    return replace(
        opening,
        piece_id=piece_id,
        place_id=place.id if place else None,
        length_mm=sizes.length_mm,
        measured_width_mm=sizes.width_mm,
        measured_long_mm=sizes.long_mm,
    )


def _row(session: Session, new: NewPiece, tag: str, kind_id: int, today: str) -> NewPieceRow:
    """What is known of a piece; its totals come from the opening entry."""
    usual_cents = usual_price_cents(session, kind_id)
    return NewPieceRow(
        tag,
        kind_id,
        dedicated_to=family_of(new.dedicated, shop_rules(session)),
        bought_on=_bought(new.bought, today),
        price_cents=read_money_cents(new.price) if new.price else usual_cents,
        note=_short(new.note, "the note", 400),
    )


def _bought(text: str, today: str) -> str:
    day = read_day(text, "the day it was bought")
    if day is None:
        return ""
    if day.isoformat() > today:
        message = f"bought on {day.isoformat()}, which is after today, {today}"
        raise BadValue(message, way_out="give the day it came")
    return day.isoformat()


def _short(text: str, what: str, most: int) -> str:
    tidy = " ".join(text.split())
    if len(tidy) > most or not tidy.isprintable():
        message = f"{what} must be at most {most} letters on one line"
        raise BadValue(message)
    return tidy
