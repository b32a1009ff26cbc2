"""A piece chipped, snapped, shattered, cracked or got lost: it is out of every answer at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crib.acts import Confirmed, Said, act, saying
from crib.desk.answer.after_break import NextPick, Replacement, WorkedPlate, next_pick, replacement
from crib.desk.common.acting import before_it_came, stamp_for
from crib.desk.common.as_stored import as_stored
from crib.desk.common.cautions import short_cautions
from crib.desk.common.piece_wear import size_now_mm
from crib.desk.edges.break_words import BreakSaid, read_break
from crib.desk.edges.grind import short_note
from crib.desk.life.relearn import relearn
from crib.errors import Refused
from crib.stock.book import ledger
from crib.stock.book.conditions import gravity, read_state
from crib.stock.book.ledger import NewEntry, Stamp
from crib.stock.book.settings import shop_rules
from crib.stock.book.subjects import of_damage
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import runs_of_pieces
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from crib.stock.queries.strokes import came_after, last_work, pieces_at
from crib.stock.queries.tags import with_joined_tags
from crib.trade.shop.shop_rules import Rules
from crib.units import format_length

_PHRASES = {
    "round": "hole {width}",
    "square": "square {width}",
    "hexagon": "hexagon {width}",
    "rectangle": "rectangle {long} x {width}",
    "obround": "slot {width} x {long}",
}
_SET_PHRASES = {
    "notch": "notch {width} x {depth}",
    "vee": "vee {width}",
    "corner": "corner {width} x {depth}",
}
_PARTNER = {"punch": "die", "die": "punch"}


@dataclass(frozen=True, slots=True)
class BreakRequest:
    """A report as it was said: what happened, ``thru ...`` when it was known, and a note."""

    tag: str
    words: Sequence[str]
    by: str = ""
    on: str = ""
    note: str = ""
    confirmed: Confirmed = frozenset()


@dataclass(frozen=True, slots=True)
class Broke:
    """What was done with the report.

    ``ask`` is the phrase for what the piece made, when its plate is known, ``instead`` the best of
    what is left for it; ``order`` replaces the piece.
    """

    tag: str
    kind: str
    shift_on: str
    happened: str
    condition: str
    place: str
    to_inspect: tuple[str, ...]
    say: tuple[str, ...]
    ask: str
    instead: NextPick | None
    order: Replacement
    currency: str
    notes: tuple[Said, ...] = ()


def report_break(session: Session, request: BreakRequest, now: datetime | None = None) -> Broke:
    """Lock a piece at once, and what stood with it until somebody has looked.

    Raises:
        BadPhrase: when it is not said what happened.
        Refused: for a piece that is out of use already.
        AskBack: for a day that was typed and on which it had not come yet.
    """
    rules = shop_rules(session)
    tag, *first = with_joined_tags(session, [request.tag, *request.words[:1]])
    tag = piece_by_tag(session, tag).tag
    said = read_break([*first, *request.words[1:]], rules)
    with session.writing():
        stamp = stamp_for(session, request.by, request.on, now)
        card = piece_by_tag(session, tag)
        _require_in_use(session, card, said)
        _require_came(session, card, request, stamp)
        partners = [] if said.happened == "lost" else _partners(session, card)
        plate = _plate(session, card, said)
        ask = _ask(card, partners, plate, rules)
        entries = [_entry(card, said, short_note(request.note))]
        for one in partners:
            note = f"{card.tag} {said.happened} with it"
            entries.append(NewEntry("look", one.id, condition="inspect", note=note))
        ledger.write(session, stamp, entries)
        relearn(session, [card.kind_id])
        stored = as_stored(session, [card.id, *(one.id for one in partners)], stamp)
    now_stored = stored.cards[card.id]
    return Broke(
        tag=card.tag,
        kind=card.kind_name,
        shift_on=stamp.shift_on,
        happened=said.happened,
        condition=now_stored.condition,
        place=now_stored.place or "",
        to_inspect=tuple(one.tag for one in partners),
        say=() if said.happened == "lost" else short_cautions(["broken"]),
        ask=ask,
        instead=next_pick(session, ask) if ask else None,
        order=replacement(session, card, next(iter(partners), None), plate),
        currency=rules.text("crib.currency"),
        notes=stored.notes,
    )


def _require_came(session: Session, card: PieceCard, request: BreakRequest, stamp: Stamp) -> None:
    if not request.on.strip() or "before-it-came" in request.confirmed:
        return
    for _id, tag, day in came_after(session, [card.id], stamp.shift_on):
        text = f"{tag} came on {day}, the break is said to be of {stamp.shift_on}"
        text += ": it is NOT locked yet"
        raise before_it_came(text)


def _require_in_use(session: Session, card: PieceCard, said: BreakSaid) -> None:
    harm = read_state(session, card.id).harm
    worse = said.happened == "lost" or gravity(said.happened) > gravity(harm)
    same = card.condition == "broken" and not worse
    if same or card.condition in ("lost", "retired"):
        message = f"{card.tag} is {card.condition} already; nothing was changed"
        way_out = saying(act("history", tag=card.tag), " shows who reported it")
        raise Refused(message, way_out=way_out)


def _partners(session: Session, card: PieceCard) -> list[PieceCard]:
    """The die under a punch, or the punch over a die: at the same station, or in the same hands.

    Who has a kit at the machine rarely says what is mounted: there it is each piece that an open
    job's runs pair with it.
    """
    role = _PARTNER.get(card.role)
    if role is None or card.place_id is None or card.place_sort not in ("station", "person"):
        return []
    found = pieces_at(session, [card.place_id], role).get(card.place_id, [])
    if card.place_sort == "person":
        runs = runs_of_pieces(session, [card.id])
        paired = {piece_id for run in runs for piece_id in run.piece_ids}
        found = [one for one in found if one.id in paired]
    return [one for one in found if one.condition != "locked"]


def _entry(card: PieceCard, said: BreakSaid, note: str) -> NewEntry:
    return NewEntry(
        "break",
        card.id,
        condition="lost" if said.happened == "lost" else "broken",
        material=said.material,
        thickness_mm=said.thickness_mm,
        subject=of_damage(said.happened),
        note="; ".join(part for part in (said.happened, note) if part),
    )


def _plate(session: Session, card: PieceCard, said: BreakSaid) -> WorkedPlate:
    """The plate that was said, else that of its last entry."""
    if said.thickness_mm is not None:
        return WorkedPlate(said.thickness_mm, said.material)
    last = last_work(session, card.id)
    return WorkedPlate(last.thickness_mm, last.material) if last else WorkedPlate()


def _ask(card: PieceCard, partners: list[PieceCard], plate: WorkedPlate, rules: Rules) -> str:
    """The phrase for what the piece made; empty where it cannot be told."""
    maker = next(iter(partners), None) if card.role == "die" else card
    made = _made(maker)
    if maker is None or not made or plate.thickness_mm is None:
        return ""
    width_mm, long_mm = size_now_mm(maker)
    system = rules.system

    def size(length_mm: float | None) -> str:
        text = format_length(length_mm or width_mm or 0.0, system, digits=4)
        return text.replace(" mm", "mm").removesuffix(" in")

    text = made.format(width=size(width_mm), long=size(long_mm), depth=size(maker.depth_mm))
    return f"{text} thru {size(plate.thickness_mm)} {plate.material}".strip()


def _made(maker: PieceCard | None) -> str:
    if maker is None:
        return ""
    phrases = {"punch": _PHRASES, "set": _SET_PHRASES}.get(maker.role, {})
    return phrases.get(maker.shape if maker.role == "punch" else maker.profile, "")
