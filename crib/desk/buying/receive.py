"""What an order brought: pieces with tags, prices and lead times; and what went back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import accumulate, pairwise

from crib.acts import Said, act, saying
from crib.desk.buying.order_words import CameOfLine
from crib.desk.buying.place_orders import line_of
from crib.desk.common.acting import require_reason, stamp_for
from crib.desk.common.as_stored import as_stored
from crib.desk.common.kinds import kind_of_spec
from crib.desk.life.relearn import hear
from crib.desk.shelf.add import read_tag
from crib.desk.shelf.next_tags import next_tags
from crib.errors import BadValue, Refused
from crib.features.common.speech import Speech
from crib.features.common.tool_words import points_text
from crib.stock.book.ledger import NewEntry, Stamp, reverse, write
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.history import coming_in
from crib.stock.queries.pieces import PieceCard, piece_called, pieces_named
from crib.stock.queries.places import PlaceCard, place_by_name
from crib.stock.writers.kinds import keep_usual_price
from crib.stock.writers.new_pieces import NewPieceRow, add_piece_row
from crib.stock.writers.purchases import (
    NewReceipt,
    PurchaseCard,
    PurchaseLine,
    add_receipt,
    purchase_called,
    receipt_of_act,
    set_kind_of_line,
)

MOST_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Delivery:
    """What came: counts by line number (none is all that is to come), and what was typed."""

    number: str
    counts: tuple[CameOfLine, ...] = ()
    tags: tuple[str, ...] = ()
    place: str = ""
    price_cents: int | None = None
    on: str = ""


@dataclass(frozen=True, slots=True)
class CameLine:
    """One line of a delivery: the tags to stamp, or none for what has no tag."""

    line: int
    what: str
    count: int
    tags: tuple[str, ...]
    to_come: int


@dataclass(frozen=True, slots=True)
class Received:
    """What is in the crib now, and how the order stands."""

    number: str
    supplier: str
    lead_days: int
    lines: tuple[CameLine, ...]
    place: str | None
    state: str
    notes: tuple[Said, ...] = ()


@dataclass(frozen=True, slots=True)
class WentBack:
    """Pieces that went back to their supplier."""

    tags: tuple[str, ...]
    number: str
    supplier: str
    why: str
    to_come: int


def receive(
    session: Session, delivery: Delivery, *, by: str = "", now: datetime | None = None
) -> Received:
    """Count what came of an order and put its pieces in the crib, wholly or in part.

    Raises:
        UnknownName: for an order, line or place that is not there.
        Refused: for more than is to come, a tag that is taken, or a station as the place.
        BadValue: for a count or a number of tags that does not fit.
    """
    with session.writing():
        stamp = stamp_for(session, by, delivery.on, now=now)
        card = purchase_called(session, delivery.number)
        said = {came.line: came.price_cents for came in delivery.counts}
        counts = [
            (_with_kind(session, line), count)
            for line, count in _counts(session, card, delivery.counts)
        ]
        place = _drawer(session, delivery.place)
        tags = _tags(session, counts, delivery.tags)
        lead_days = _lead_days(card, stamp)
        made: list[tuple[PurchaseLine, int, list[int]]] = []
        for (line, count), own in zip(counts, tags, strict=True):
            price_cents = _paid(said.get(line.line), delivery, line)
            ids = _add_pieces(session, stamp, card, line, own, place, price_cents)
            made.append((line, count, ids))
            receipt = NewReceipt(line.id, count, stamp.shift_on, lead_days, price_cents)
            add_receipt(session, stamp, card, receipt)
        state = purchase_called(session, card.number).state
        stored = as_stored(session, [one for _line, _count, ids in made for one in ids], stamp)
    lines = [
        _came(line, count, tuple(stored.cards[one].tag for one in ids)) for line, count, ids in made
    ]
    lists = _lists(session, [line for line, _count in counts])
    notes = (*_notes(lines, place), *lists, *stored.notes)
    name = next((one.place for one in stored.cards.values()), place.name if place else None)
    return Received(card.number, card.supplier, lead_days, tuple(lines), name, state, notes)


def send_back(
    session: Session,
    tags: Sequence[str],
    why: str,
    *,
    by: str = "",
    now: datetime | None = None,
) -> WentBack:
    """Book wrong pieces back: they leave the crib, and the order expects as many again.

    Raises:
        UnknownName: for a tag that is not there.
        Refused: for a piece that came with no order, was used, or is of another order.
    """
    reason = require_reason(why, "book back")
    with session.writing():
        stamp = stamp_for(session, by, now=now)
        cards = pieces_named(session, tags)
        if not cards:
            message = "no tag given"
            raise BadValue(message, way_out="name the pieces that go back")
        came = {_origin(session, card) for card in cards}
        if len(came) > 1:
            message = f"these came with {len(came)} orders or lines"
            raise Refused(message, way_out="book each of them back by itself")
        number, line_id = came.pop()
        reverse(session, stamp, [coming_in(session, card.id)[0] for card in cards], reason)
        order = purchase_called(session, number)
        receipt = NewReceipt(line_id, -len(cards), stamp.shift_on, None, None, reason)
        add_receipt(session, stamp, order, receipt)
        line = next(one for one in purchase_called(session, number).lines if one.id == line_id)
    told = tuple(card.tag for card in cards)
    return WentBack(told, number, order.supplier, reason, line.to_come)


def _paid(said: int | None, delivery: Delivery, line: PurchaseLine) -> int | None:
    """The price of one: of the line, of the whole delivery, as it was ordered [cents]."""
    if said is not None:
        return said
    return line.price_cents if delivery.price_cents is None else delivery.price_cents


def _counts(
    session: Session, card: PurchaseCard, asked: Sequence[CameOfLine]
) -> list[tuple[PurchaseLine, int]]:
    """How many came of which lines; those of another site come there."""
    chosen = [(line_of(card, came.line), came.count) for came in asked]
    if not asked:
        here = (None, session.site)
        chosen = [(one, one.to_come) for one in card.lines if one.to_come and one.site_id in here]
    for line, _count in chosen:
        _require_here(session, line)
    if not chosen:
        message = f"nothing of order {card.number} is to come"
        way_out = saying(act("order", order=card.number), " shows what came")
        raise Refused(message, way_out=way_out)
    if len({line.id for line, _count in chosen}) < len(chosen):
        message = "a line stands there twice"
        raise BadValue(message, way_out="give each line once, such as 1=2 for two of line 1")
    for line, count in chosen:
        if not 1 <= count <= max(line.to_come, 0):
            message = f"line {line.line}: {count} came, {line.to_come} are to come"
            way_out = saying(act("order", order=card.number), " shows its lines")
            raise Refused(message, way_out=way_out)
    if sum(count for _line, count in chosen) > MOST_AT_ONCE:
        message = f"more than {MOST_AT_ONCE} pieces at once"
        raise Refused(message, way_out="receive line by line")
    return chosen


def _require_here(session: Session, line: PurchaseLine) -> None:
    if session.at is not None and line.site_id not in (None, session.at.id):
        name = session.at.names[line.site_id]
        message = f"line {line.line} is delivered to {name}, not to {session.at.name}"
        raise Refused(message, way_out=saying("receive it there: ", act("say.site", site=name)))


def _lists(session: Session, lines: Sequence[PurchaseLine]) -> list[str]:
    """What was ordered as proven for sizes and thicknesses, which its own list has to say."""
    say = Speech(shop_rules(session))
    return [
        f"line {line.line} was ordered as proven for {points_text(line.spec, say)}: see that the"
        " list that came with it says so"
        for line in lines
        if line.spec and line.spec.envelope
    ]


def _with_kind(session: Session, line: PurchaseLine) -> PurchaseLine:
    """A line with the kind of what it specifies, where it names none yet."""
    kind_id = None if line.kind_id or line.spec is None else kind_of_spec(session, line.spec)
    if line.spec is None or kind_id is None:
        return line
    set_kind_of_line(session, line.id, kind_id)
    return replace(line, kind_id=kind_id, role=line.spec.role)


def _drawer(session: Session, name: str) -> PlaceCard | None:
    if not name.strip():
        return None
    place = place_by_name(session, name)
    if place.station_id is not None:
        message = f"{place.name} is a station; a new piece goes to a drawer first"
        raise Refused(message, way_out=saying("give a drawer with ", act("say.drawer")))
    return place


def _tags(
    session: Session, counts: Sequence[tuple[PurchaseLine, int]], told: Sequence[str]
) -> list[tuple[str, ...]]:
    """A tag for each piece of a kind: those told, in order, else the next ones of its role."""
    needed = [count if line.kind_id is not None else 0 for line, count in counts]
    given = [read_tag(tag) for tag in told]
    if given and len(given) != sum(needed):
        message = f"{len(given)} tags for {sum(needed)} pieces"
        raise BadValue(message, way_out="give a tag for each, or none: the next ones are taken")
    for tag in given:
        if given.count(tag) > 1 or piece_called(session, tag):
            message = f"tag {tag} is taken"
            raise Refused(message, way_out="stamp another tag; a tag is never used twice")
    if not given:
        following = next_tags(session)
        return [
            tuple(following.take(line.role or "", count))
            for (line, _count), count in zip(counts, needed, strict=True)
        ]
    ends = list(accumulate(needed, initial=0))
    return [tuple(given[start:end]) for start, end in pairwise(ends)]


def _lead_days(card: PurchaseCard, stamp: Stamp) -> int:
    days = (date.fromisoformat(stamp.shift_on) - date.fromisoformat(card.made_on)).days
    if days < 0:
        message = f"order {card.number} was made on {card.made_on}, after {stamp.shift_on}"
        raise BadValue(message, way_out=saying("give the day it came with ", act("say.on")))
    return days


def _add_pieces(
    session: Session,
    stamp: Stamp,
    card: PurchaseCard,
    line: PurchaseLine,
    tags: Sequence[str],
    place: PlaceCard | None,
    price_cents: int | None,
) -> list[int]:
    """Put new pieces of a line's kind in the crib, each with its opening entry; their numbers."""
    if line.kind_id is None:
        return []
    opening = NewEntry(
        "add",
        condition="sound",
        place_id=place.id if place else None,
        note=f"order {card.number}, line {line.line}, {card.supplier}",
    )
    entries = []
    for tag in tags:
        dedicated_to = line.spec.dedicated_to if line.spec else ""
        row = NewPieceRow(tag, line.kind_id, dedicated_to, stamp.shift_on, price_cents)
        entries.append(replace(opening, piece_id=add_piece_row(session, row)))
    if entries:
        write(session, stamp, entries)
        hear(session, line.kind_id)
    if tags and price_cents is not None:
        keep_usual_price(session, line.kind_id, price_cents)
    return [entry.piece_id for entry in entries if entry.piece_id is not None]


def _came(line: PurchaseLine, count: int, tags: tuple[str, ...]) -> CameLine:
    return CameLine(line.line, line.kind or line.text, count, tags, line.to_come - count)


def _notes(lines: Sequence[CameLine], place: PlaceCard | None) -> list[Said]:
    notes: list[Said] = []
    if any(line.tags for line in lines) and place is None:
        move = act("move", tags=None)
        notes.append(saying("no drawer said: put them away with ", move))
    bare = [str(line.line) for line in lines if not line.tags]
    if bare:
        text = f"line {', '.join(bare)} names no kind: "
        notes.append(saying(text, act("add"), " puts its pieces in the crib"))
    return notes


def _origin(session: Session, card: PieceCard) -> tuple[str, int]:
    """The order and the line that a piece came with."""
    found = receipt_of_act(session, coming_in(session, card.id)[1], card.kind_id)
    if found is None:
        message = f"{card.tag} came with no order"
        retire = act("retire", tag=card.tag, why=None)
        raise Refused(message, way_out=saying(retire, " takes it out of use"))
    return found
