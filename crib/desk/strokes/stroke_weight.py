"""Why logged strokes weigh what they weigh, as their entry keeps it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from crib.stock.queries.history import EntryCard
from crib.trade.life.wear import Factor

Record = Literal["kept", "no_thickness", "not_kept"]
"""The factors were kept; nothing was said to weigh by, so each counted 1; or, in older entries, the
factors are not on record."""


@dataclass(frozen=True, slots=True)
class SeverityWhy:
    """What one stroke of an entry weighs, and the factors that make it where they are known."""

    entry: int
    each: float
    factors: tuple[Factor, ...]
    record: Record


def why_latest(entries: Sequence[EntryCard]) -> SeverityWhy | None:
    """Why the latest strokes that still hold weigh what they do; newest entry first."""
    for card in entries:
        if card.action == "strokes" and card.taken_back_by is None:
            return severity_why(card)
    return None


def severity_why(card: EntryCard) -> SeverityWhy | None:
    """What makes up the weight of an entry's strokes; ``None`` when no weight was kept."""
    each = card.severity
    if each is None or each <= 0:
        return None
    unweighed = card.thickness_mm is None and (card.factors is not None or each == 1.0)
    record: Record = "no_thickness" if unweighed else "not_kept" if card.factors is None else "kept"
    return SeverityWhy(card.id, each, card.factors or (), record)
