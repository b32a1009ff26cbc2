"""Who did what, and when: the ledger in words, newest first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from crib.acts import act, saying
from crib.desk.common.acting import read_day
from crib.errors import BadValue, UnknownName
from crib.stock.book.people import person_id
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.history import (
    EntryCard,
    EntryFilter,
    count_entries,
    entries,
    entries_numbered,
    numbers_beside,
)
from crib.stock.queries.pieces import piece_by_tag
from crib.units import System, format_length

MOST = 20
MOST_EVER = 100_000

# What an action is called on a screen, when the word of the table is not the shop's.
_CALLED = {
    "add": "added",
    "move": "moved",
    "count": "counted",
    "correct": "measured",
    "look": "looked at",
    "break": "reported",
    "retire": "retired",
}


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One entry in words. ``at`` is the clock of the machine that is asked."""

    entry: int
    act: str
    at: str
    made_at: str
    shift_on: str
    who: str
    tag: str | None
    action: str
    what: str
    severity: float | None
    reverses: int | None
    taken_back_by: int | None


@dataclass(frozen=True, slots=True)
class History:
    """Lines, newest first; ``more`` older ones are counted and not listed."""

    lines: tuple[HistoryLine, ...]
    more: int


def read_history(
    session: Session, tag: str = "", *, by: str = "", since: str = "", most: int = MOST
) -> History:
    """The newest entries: of one piece, of one person, since a day.

    Raises:
        UnknownName: for a tag or a name that is not known.
        BadValue: for a day that cannot be read, or a count that makes no sense.
    """
    if not 1 <= most <= MOST_EVER:
        message = f"most={most} must be 1 to {MOST_EVER}"
        raise BadValue(message)
    piece = piece_by_tag(session, tag).id if tag else None
    person = person_id(session, by) if by else None
    day = read_day(since, "the day since when")
    chosen = EntryFilter(piece, person, day.isoformat() if day else "")
    found = lines(session, entries(session, chosen, most))
    return History(found, count_entries(session, chosen) - len(found))


@dataclass(frozen=True, slots=True)
class ReadAct:
    """Everything that was written in one act; ``holds`` is whether any of it still does."""

    act: str
    who: str
    at: str
    shift_on: str
    lines: tuple[HistoryLine, ...]
    holds: bool


def read_act(session: Session, entry: int) -> ReadAct:
    """The act that an entry was written in, its entries in their order.

    Raises:
        UnknownName: for a number that is not in the ledger.
    """
    numbers = numbers_beside(session, entry)
    if not numbers:
        message = f"there is no entry {entry}"
        raise UnknownName(message, way_out=saying(act("history"), " lists the entries"))
    found = lines(session, entries_numbered(session, numbers))[::-1]
    first = found[0]
    holds = any(one.taken_back_by is None and one.reverses is None for one in found)
    return ReadAct(first.act, first.who, first.at, first.shift_on, found, holds)


def lines(session: Session, cards: list[EntryCard]) -> tuple[HistoryLine, ...]:
    """Entries in words, in the crib's unit."""
    unit = shop_rules(session).system
    return tuple(_line(card, unit) for card in cards)


def _line(card: EntryCard, unit: System) -> HistoryLine:
    moment = datetime.fromisoformat(card.made_at).astimezone()
    return HistoryLine(
        entry=card.id,
        act=card.act,
        at=moment.strftime("%Y-%m-%d %H:%M"),
        made_at=card.made_at,
        shift_on=card.shift_on,
        who=card.who,
        tag=card.tag,
        action=card.action,
        what=describe(card, unit),
        severity=card.severity,
        reverses=card.reverses_id,
        taken_back_by=card.taken_back_by,
    )


def describe(card: EntryCard, unit: System) -> str:
    """What an entry did, in one line."""
    parts = [_CALLED.get(card.action, card.action)]
    if card.action == "strokes":
        parts = [_strokes(card, unit)]
    elif card.action == "add" and card.quantity:
        parts.append(f"with {card.quantity:,} strokes")
    elif card.action == "reverse":
        parts = [f"takes back {card.reverses_id}"]
    parts += _changes(card, unit)
    if card.note:
        parts.append(card.note)
    return ", ".join(parts)


def _strokes(card: EntryCard, unit: System) -> str:
    text = f"{card.quantity:,} strokes"
    if card.thickness_mm is not None:
        text += f" thru {format_length(card.thickness_mm, unit, digits=4)}"
    if card.material:
        text += f" {card.material}"
    if card.severity is not None:
        text += f", each weighs {card.severity:.3g}"
    if card.estimate:
        text += ", a guess"
    return text + (f", job {card.job}" if card.job else "")


def _changes(card: EntryCard, unit: System) -> list[str]:
    """What an entry sets on its piece."""
    found = []
    if card.ground_um:
        found.append(f"{format_length(card.ground_um / 1000, unit, digits=4)} off")
    sizes = (
        ("length", card.length_mm),
        ("size", card.measured_width_mm),
        ("long side", card.measured_long_mm),
    )
    found += [
        f"{name} {format_length(length_mm, unit, digits=4)}"
        for name, length_mm in sizes
        if length_mm is not None
    ]
    if card.edge is not None:
        found.append(f"edge {card.edge}")
    # A look that found it sharp says so in its note.
    if card.found is not None and card.action != "look":
        found.append(f"found {card.found}")
    if card.place is not None:
        found.append(f"to {card.place}")
    told_already = (card.action, card.condition) in (("add", "sound"), ("retire", "retired"))
    if card.condition is not None and not told_already:
        found.append(card.condition)
    return found
