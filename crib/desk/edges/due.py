"""What needs grinding, turning or replacing: a short list, the greatest risk first.

Days are never counted: a tool that is not used is never on the list for being old.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from crib.desk.common.reminder_levels import Reminder, due_steps, reminder
from crib.desk.common.ways import OnTheWay, on_the_way
from crib.stock.book.people import person_called
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.due_pieces import due_pieces
from crib.stock.queries.shop_names import machine_called
from crib.stock.queries.strokes import Whereabouts


@dataclass(frozen=True, slots=True)
class DueList:
    """The lines that are shown, and how many more come after them.

    ``silent`` counts the pieces that somebody has seen at their level; ``by`` and ``machine`` are
    the full names of whose pieces these are, empty for the whole shop's.
    """

    lines: tuple[Reminder, ...]
    more: int
    silent: int
    by: str = ""
    machine: str = ""


@dataclass(frozen=True, slots=True)
class DueAtSite(DueList):
    """The list of a company of several sites, with what is on the way from or to the asker's."""

    on_the_way: tuple[OnTheWay, ...] = ()


@dataclass(frozen=True, slots=True)
class DueRequest:
    """Which pieces: all lines or a few; in one person's hands; at one machine.

    ``first`` lines are left out, ``most`` are shown; 0 is as many as the shop's rule says.
    """

    everything: bool = False
    by: str = ""
    machine: str = ""
    first: int = 0
    most: int = 0


def list_due(
    session: Session, request: DueRequest, now: datetime | None = None
) -> DueList | DueAtSite:
    """The pieces that want attention; those seen at their level stay silent until the next.

    With several sites those of the asker's, and what is on the way.

    Raises:
        UnknownName: for a person or a machine that is not known.
    """
    rules = shop_rules(session)
    by = person_called(session, request.by) if request.by.strip() else ""
    machine = machine_called(session, request.machine)
    most = None if request.everything else request.most or int(rules.number("due.most_lines"))
    found = due_pieces(
        session,
        due_steps(rules),
        first=request.first,
        most=most,
        where=Whereabouts(by, machine),
    )
    lines = tuple(reminder(card, rules) for card in found.cards)
    more = max(0, found.count - request.first - len(lines))
    due = (lines, more, found.silent, by, machine)
    if session.at is not None and session.at.several:
        return DueAtSite(*due, on_the_way(session, now))
    return DueList(*due)
