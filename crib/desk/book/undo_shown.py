"""What taking a whole act back would take, piece by piece, to be looked at before it is done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from crib.acts import Confirmed, act, saying
from crib.desk.book.history import describe
from crib.errors import AskBack
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.history import EntryCard, entries_numbered
from crib.units import System

_MOST_EACH = 3
"""Entries of a piece that are told in full; what is more is counted."""


def require_seen(session: Session, numbers: Sequence[int], confirmed: Confirmed) -> None:
    """Ask before several entries are taken back at once, with what they did to each piece.

    Raises:
        AskBack: unless there is one entry, or somebody said yes to all of it.
    """
    if len(numbers) < 2 or "whole-act" in confirmed:
        return
    cards = entries_numbered(session, numbers)
    pieces = len({card.tag for card in cards if card.tag})
    message = f"nothing was taken back yet: that act is {len(cards):,} entries"
    message += f" of {pieces:,} piece{'s' if pieces != 1 else ''}"
    sure = act("confirm.whole-act")
    some = act("undo.entries", entries=None, why=None)
    raise AskBack(
        message,
        confirm="whole-act",
        told=tuple(_by_piece(cards, shop_rules(session).system)),
        way_out=saying("to take all of it back say it with ", sure, "; or a part: ", some),
    )


def _by_piece(cards: Sequence[EntryCard], unit: System) -> Iterator[str]:
    by_tag = sorted(cards, key=lambda card: (card.tag or "", card.id))
    for tag, own in groupby(by_tag, key=lambda card: card.tag or "the crib"):
        did = [f"{card.id} {describe(card, unit)}" for card in own]
        more = len(did) - _MOST_EACH
        yield f"{tag}: {'; '.join(did[:_MOST_EACH])}{f'; and {more:,} more' if more > 0 else ''}"
