"""Somebody looked: still sharp, put off once with a reason, or inspected and sound."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from crib.acts import Said, act, saying
from crib.desk.common.acting import require_came, require_reason, stamp_for, still_marked
from crib.desk.common.as_stored import as_stored
from crib.desk.common.reminder_levels import acknowledged_as, interval_of, is_silent, level_of
from crib.desk.life.relearn import relearn
from crib.errors import BadInput, Refused
from crib.stock.book import ledger
from crib.stock.book.conditions import read_state
from crib.stock.book.ledger import NewEntry, Stamp, still_harmed
from crib.stock.book.people import person_id
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag
from crib.stock.queries.strokes import put_off_at
from crib.trade.common.verdicts import exceeds
from crib.trade.life.wear import strokes_left
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class LookRequest:
    """What somebody found; exactly one of the three."""

    tag: str
    sharp: bool = False
    defer: bool = False
    inspected: bool = False
    why: str = ""
    by: str = ""
    on: str = ""


@dataclass(frozen=True, slots=True)
class Looked:
    """How the piece stands now. ``left`` is the weighted strokes to the share it may go to."""

    tag: str
    kind: str
    shift_on: str
    found: str
    used: float
    level: str
    condition: str
    left: int
    silent: bool
    notes: tuple[Said, ...]


def record_look(session: Session, request: LookRequest, now: datetime | None = None) -> Looked:
    """Record what somebody found; the reminder is silent until the next level.

    Raises:
        BadInput: when not exactly one finding is said.
        BadValue: for putting off without a reason.
        Refused: for what cannot be put off any further, or has nothing to inspect; for a cracked
            piece, unless it is inspected by a name other than who reported it.
    """
    if request.sharp + request.defer + request.inspected != 1:
        message = "say what was found: one of sharp, put off and inspected"
        raise BadInput(message, way_out=saying("such as ", act("look.sharp", tag=request.tag)))
    rules = shop_rules(session)
    with session.writing():
        stamp = stamp_for(session, request.by, request.on, now)
        card = piece_by_tag(session, request.tag)
        require_came(session, [card], request.on, stamp)
        _require_here(session, card, request, stamp)
        entry = _entry(session, card, request, rules)
        ledger.write(session, stamp, [entry])
        if entry.found is not None:
            # News of other kinds must not bring a reminder nearer because its edge was found sharp.
            relearn(session, [card.kind_id], at_least=interval_of(card, rules))
        stored = as_stored(session, [card.id], stamp)
    looked = _looked(stored.cards[card.id], entry, stamp.shift_on, rules)
    return replace(looked, notes=(*looked.notes, *stored.notes))


def _require_here(session: Session, card: PieceCard, request: LookRequest, stamp: Stamp) -> None:
    state = read_state(session, card.id)
    if request.inspected and card.condition == "broken" and state.harm == "cracked":
        if stamp.person_id in {person_id(session, ""), *state.reporters}:
            raise still_harmed(card.tag, state)
        return
    if card.condition in ("broken", "lost", "retired"):
        message = f"{card.tag} is {card.condition}; looking does not bring it back"
        history = act("history", tag=card.tag)
        way_out = saying("a wrong report is taken back: ", history, ", then ", act("undo"))
        raise Refused(message, way_out=way_out)


def _entry(session: Session, card: PieceCard, request: LookRequest, rules: Rules) -> NewEntry:
    if request.sharp:
        note = ": ".join(["still sharp", *_tidy(request.why)])[:300]
        at = acknowledged_as(card, rules)
        return NewEntry("look", card.id, acknowledged=at, found="sharp", note=note)
    if request.inspected:
        return _inspected(card, request.why)
    return _put_off(session, card, request.why, rules)


def _inspected(card: PieceCard, why: str) -> NewEntry:
    if card.condition == "sound":
        message = f"{card.tag} is sound; there is nothing to inspect"
        raise Refused(message, way_out=saying("still sharp? ", act("look.sharp", tag=card.tag)))
    reason = require_reason(why, f"unlock {card.tag}") if card.condition == "locked" else why
    note = ": ".join(["inspected, sound", *_tidy(reason)])[:300]
    return NewEntry("look", card.id, condition="sound", note=note)


def _tidy(reason: str) -> list[str]:
    """The reason as one text, if any."""
    return [" ".join(reason.split())] if reason.strip() else []


def _put_off(session: Session, card: PieceCard, why: str, rules: Rules) -> NewEntry:
    reason = require_reason(why, f"put off {card.tag}")
    at, used = level_of(card, rules), card.wear / interval_of(card, rules)
    grind = saying("grind it: ", act("grind.length", tag=card.tag))
    if at == "fine":
        message = f"{card.tag} is at {100 * used:.0f} %; there is nothing to put off"
        raise Refused(message)
    most = rules.number("wear.defer_to")
    if exceeds(used, most):
        message = (
            f"{card.tag} is at {100 * used:.0f} %; it can be put off to {100 * most:.0f} % at most"
        )
        raise Refused(message, way_out=grind)
    before = put_off_at(session, card.id, at)
    if before is not None:
        day = before.made_at[:10]
        message = f"{card.tag} was put off at this level on {day}, entry {before.id}; once is all"
        raise Refused(message, way_out=grind)
    return NewEntry("defer", card.id, acknowledged=at, note=reason)


def _looked(card: PieceCard, entry: NewEntry, shift_on: str, rules: Rules) -> Looked:
    interval, most = interval_of(card, rules), rules.number("wear.defer_to")
    notes = []
    if entry.condition is None and card.condition != "sound":
        notes.append(still_marked(card))
    return Looked(
        tag=card.tag,
        kind=card.kind_name,
        shift_on=shift_on,
        found="put off" if entry.action == "defer" else entry.note,
        used=card.wear / interval,
        level=level_of(card, rules),
        condition=card.condition,
        left=strokes_left(card.wear, interval, 1.0, most),
        silent=is_silent(card, rules),
        notes=tuple(notes),
    )
