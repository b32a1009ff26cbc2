"""What needs grinding, turning or replacing: a short list, the greatest risk first.

Days are never counted: a tool that is not used is never on the list for being old.
"""

from __future__ import annotations

from dataclasses import dataclass

from crib.desk.common.reminder_levels import Reminder, interval_of, is_silent, reminder
from crib.features.common.piece_checks import level_limits
from crib.stock.book.people import person_called
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.shop_names import machine_called
from crib.stock.queries.strokes import Whereabouts, pieces_in_condition, worn_pieces
from crib.trade.shop.shop_rules import Rules

TO_LOOK_AT = ("inspect", "locked")


@dataclass(frozen=True, slots=True)
class DueList:
    """The lines that are shown, and how many more there are.

    ``silent`` counts the pieces that somebody has seen at their level; ``by`` and ``machine`` are
    the full names of whose pieces these are, empty for the whole shop's.
    """

    lines: tuple[Reminder, ...]
    more: int
    silent: int
    by: str = ""
    machine: str = ""


@dataclass(frozen=True, slots=True)
class DueRequest:
    """Which pieces: all lines or the first few; in one person's hands; at one machine."""

    everything: bool = False
    by: str = ""
    machine: str = ""


def list_due(session: Session, request: DueRequest) -> DueList:
    """The pieces that want attention; those seen at their level stay silent until the next.

    Raises:
        UnknownName: for a person or a machine that is not known.
    """
    rules = shop_rules(session)
    by = person_called(session, request.by) if request.by.strip() else ""
    machine = machine_called(session, request.machine)
    where = Whereabouts(by, machine)
    share, interval = rules.number("wear.plan"), rules.number("wear.interval_strokes")
    worn = worn_pieces(session, share, interval, where)
    found = {card.id: card for card in worn if not is_silent(card, rules)}
    silent = len(worn) - len(found)
    for card in pieces_in_condition(session, TO_LOOK_AT, where):
        silent -= card.id not in found and any(card.id == one.id for one in worn)
        found[card.id] = card
    ordered = sorted(found.values(), key=lambda card: (-_risk(card, rules), card.tag))
    most = len(ordered) if request.everything else int(rules.number("due.most_lines"))
    lines = tuple(reminder(card, rules) for card in ordered[:most])
    return DueList(lines, len(ordered) - len(lines), silent, by, machine)


def _risk(card: PieceCard, rules: Rules) -> float:
    """The used share; a piece to look at counts at least as one that is not for finish work."""
    used = card.wear / interval_of(card, rules)
    return max(used, level_limits(rules).no_finish) if card.condition in TO_LOOK_AT else used
