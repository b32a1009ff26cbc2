"""Who acts and for which day, from what was typed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime

from crib.acts import Said, act, saying
from crib.errors import AskBack, BadValue, Refused
from crib.stock.book.ledger import Stamp, new_stamp
from crib.stock.book.people import person_id
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.strokes import came_after
from crib.stock.queries.tags import with_joined_tags
from crib.trade.shop.shop_rules import Rules
from crib.words import FOUND

_LONGEST_REASON = 300


def read_day(text: str, what: str) -> date | None:
    """A day written YYYY-MM-DD; None for nothing.

    Raises:
        BadValue: for anything else.
    """
    tidy = text.strip()
    if not tidy:
        return None
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", tidy):
            raise ValueError
        return date.fromisoformat(tidy)
    except ValueError:
        message = f"{what} {tidy[:40]!r} is not a day"
        raise BadValue(message, way_out="write it like 2026-03-31") from None


def today_of(now: datetime | None) -> date:
    """The day at the window."""
    return (now or datetime.now(UTC)).astimezone().date()


def stamp_for(session: Session, by: str, on: str = "", now: datetime | None = None) -> Stamp:
    """The stamp of one act by a badge name, for a shift's day when one is typed.

    Raises:
        Refused: for a day to come, or one longer ago than the shop's rule.
    """
    day = read_day(on, "the shift's date")
    stamp = new_stamp(person_id(session, by), shift_on=day, now=now)
    if day is not None:
        _require_recent(shop_rules(session), day, today_of(now))
    return stamp


def _require_recent(rules: Rules, day: date, today: date) -> None:
    most_days = rules.number("log.oldest_days")
    if (today - day).days > most_days:
        message = f"shift date {day.isoformat()} is {(today - day).days:,} days ago,"
        message = f"{message} at most {most_days:g} are taken; nothing was recorded"
        rule = act("rules.change", key="log.oldest_days", value=None, why=None)
        raise Refused(message, way_out=saying("check the year; for old papers: ", rule))


def require_came(session: Session, cards: Iterable[PieceCard], on: str, stamp: Stamp) -> None:
    """Refuse a day that was typed and on which a piece had not come yet.

    Raises:
        Refused: naming every such piece and the day it came.
    """
    later = came_after(session, [card.id for card in cards], stamp.shift_on) if on.strip() else []
    if later:
        said = "; ".join(f"{tag} came on {day}" for _id, tag, day in later)
        message = f"{said}: nothing was done to it on {stamp.shift_on}"
        way_out = saying("give the right day, or leave out ", act("say.on"))
        raise Refused(message, way_out=way_out)


def before_it_came(said: str) -> AskBack:
    """The doubt about a day that is before a piece was entered here."""
    sure = act("confirm.before-it-came")
    way_out = saying("check the day; if it was so before it was entered, say ", sure)
    return AskBack(said, confirm="before-it-came", way_out=way_out)


def tags_named(session: Session, words: Sequence[str]) -> list[str]:
    """The tags that were typed, of which ``p 120`` is one; each may still be unknown."""
    return with_joined_tags(session, words)


def read_found(text: str) -> str | None:
    """How an edge was found; None when it was not said.

    Raises:
        BadValue: for a word that is not known.
    """
    tidy = text.strip().casefold()
    if not tidy:
        return None
    if tidy not in FOUND:
        message = f"found {text.strip()[:40]!r} is not known"
        raise BadValue(message, way_out=f"say one of: {', '.join(FOUND)}; or leave it out")
    return tidy


def still_marked(card: PieceCard) -> Said:
    """How to clear what a piece is marked as: locked needs a reason, to be inspected does not."""
    look = act("look.inspected", tag=card.tag)
    if card.condition == "locked":
        look = act("look.inspected", tag=card.tag, why=None)
    return saying(f"{card.tag} is still marked {card.condition}: ", look, " clears that")


def require_reason(why: str, what: str) -> str:
    """A reason that can stand in the ledger.

    Raises:
        BadValue: when there is none, or it is longer than a line.
    """
    tidy = " ".join(why.split())
    if not tidy:
        message = f"{what}: no reason given"
        raise BadValue(message, way_out=saying("say it with ", act("say.why")))
    if len(tidy) > _LONGEST_REASON:
        message = f"{what}: the reason has {len(tidy)} letters, at most {_LONGEST_REASON}"
        raise BadValue(message, way_out="say it shorter")
    return tidy
