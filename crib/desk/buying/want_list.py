"""The wants as a list to be kept clean: what is still wanted, what was a slip, what is the same."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from crib.acts import Fact, act, fact, saying
from crib.desk.answer.wants import read_missing
from crib.desk.common.acting import require_reason, stamp_for
from crib.errors import BadValue, Refused, UnknownName
from crib.features.common.order_text import short_text
from crib.features.common.speech import Speech
from crib.stock.book.people import person_name
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.wanted import WantCard, wants_listed, wants_numbered
from crib.stock.writers.wants import add_counts, open_again, strike_wants


@dataclass(frozen=True, slots=True)
class WantLine:
    """One want and the tools that it lacked; ``lacks`` is None where that is not on record."""

    card: WantCard
    lacks: tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class Wants:
    """Wants as they are stored, after what was ``done`` to them if anything was."""

    lines: tuple[WantLine, ...]
    done: Fact | None = None


def list_wants(session: Session, *, every: bool = False) -> Wants:
    """The open wants, or every one with what became of it. Reads only."""
    return _wants(session, wants_listed(session, every=every))


def show_wants(session: Session, numbers: Sequence[int]) -> Wants:
    """Some wants with what they lack and what became of them. Reads only.

    Raises:
        UnknownName: for a number that no want has.
    """
    return _wants(session, _named(session, numbers))


def strike_out(
    session: Session, numbers: Sequence[int], why: str, *, by: str = "", now: datetime | None = None
) -> Wants:
    """Strike wants out: nothing is bought for them unless somebody asks for them again.

    Raises:
        UnknownName: for a number that no want has.
        Refused: for a want that is not open.
        BadValue: without a reason.
    """
    reason = require_reason(why, "strike")
    with session.writing():
        cards = _named(session, numbers)
        _require_open(cards)
        stamp = stamp_for(session, by, now=now)
        who = person_name(session, stamp.person_id)
        strike_wants(session, [card.id for card in cards], who, stamp.made_at, reason)
    return _after(session, cards, fact("wants.struck", count=len(cards)))


def merge(
    session: Session,
    numbers: Sequence[int],
    into: int,
    *,
    by: str = "",
    now: datetime | None = None,
) -> Wants:
    """Count wants that are one under other words as that one, and strike them out.

    Raises:
        UnknownName: for a number that no want has.
        Refused: for a want that is not open.
        BadValue: for a want merged into itself.
    """
    if into in numbers:
        message = f"want {into} cannot be merged into itself"
        raise BadValue(message, way_out="name the others first, then the one that stays")
    with session.writing():
        cards = _named(session, numbers)
        (target,) = _named(session, [into])
        _require_open([*cards, target])
        stamp = stamp_for(session, by, now=now)
        who = person_name(session, stamp.person_id)
        add_counts(session, target, cards)
        same = f"the same as want {into}: {target.ask}"
        strike_wants(session, [card.id for card in cards], who, stamp.made_at, same)
    return _after(session, [target, *cards], fact("wants.merged", count=len(cards), into=into))


def reopen(session: Session, numbers: Sequence[int], *, by: str = "") -> Wants:
    """Want again what was struck out by mistake.

    Raises:
        UnknownName: for a number that no want has.
        Refused: for a want that is open already.
    """
    with session.writing():
        stamp_for(session, by)
        cards = _named(session, numbers)
        still = [card.id for card in cards if card.status == "open"]
        if still:
            message = f"want {still[0]} is open already"
            raise Refused(message, way_out=saying(act("wants"), " lists what is open"))
        open_again(session, [card.id for card in cards])
    return _after(session, cards, fact("wants.reopened", count=len(cards)))


def _named(session: Session, numbers: Sequence[int]) -> list[WantCard]:
    found = wants_numbered(session, numbers)
    unknown = [number for number in numbers if number not in found]
    if unknown or not numbers:
        message = f"no want {unknown[0]}" if unknown else "no want named"
        every = act("wants.all")
        raise UnknownName(message, way_out=saying(every, " lists them with their numbers"))
    return [found[number] for number in dict.fromkeys(numbers)]


def _require_open(cards: Sequence[WantCard]) -> None:
    for card in cards:
        if card.status != "open":
            gone = f"struck out by {card.struck_by}" if card.struck_by else f"marked {card.status}"
            message = f"want {card.id}, {card.ask}, is not open: {gone}"
            again = act("wants.reopen", wants=(str(card.id),))
            raise Refused(message, way_out=saying("to want it again: ", again))


def _after(session: Session, cards: Sequence[WantCard], done: Fact) -> Wants:
    """The wants as they are stored now, read again."""
    stored = wants_numbered(session, [card.id for card in cards])
    return Wants(_wants(session, [stored[card.id] for card in cards]).lines, done)


def _wants(session: Session, cards: Iterable[WantCard]) -> Wants:
    say = Speech(shop_rules(session))
    return Wants(tuple(WantLine(card, _lacks(card, say)) for card in cards))


def _lacks(card: WantCard, say: Speech) -> tuple[str, ...] | None:
    tools = read_missing(card.missing)
    return None if tools is None else tuple(short_text(tool.spec, say) for tool in tools)
