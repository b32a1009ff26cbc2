"""How worn a piece is: how much of its edge is used, its state, what is left to grind."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING

from crib.stock.queries.pieces import PieceCard
from crib.trade.life.edge_state import edge_state
from crib.trade.life.grinding import grinds_left
from crib.trade.shop.shop_rules import Rules

if TYPE_CHECKING:
    from crib.stock.queries.demand import KindStock

EDGED = ("punch", "die", "blade", "set")
"""The roles whose edge wears and is sharpened."""


@dataclass(frozen=True, slots=True)
class PieceWear:
    """The figures of one piece. ``state`` is empty for a piece without a cutting edge."""

    interval: float
    used: float
    state: str
    least_length_mm: float | None
    grinds_left: int | None
    edges_left: int


def piece_wear(card: PieceCard, rules: Rules) -> PieceWear:
    """How worn a piece is by the shop's rules, and what is left of it."""
    interval = card.interval(rules.number("wear.interval_strokes"))
    used = card.wear / interval
    least_mm = _least_length_mm(card, rules)
    left = _grinds_left(card, least_mm, rules)
    fresh = card.edges - card.edge if card.edges > 1 else 0
    edged = card.role in EDGED
    state = (
        edge_state(
            used, rules.number("wear.plan"), rules.number("wear.before_job"), left + max(fresh, 0)
        )
        if edged
        else ""
    )
    return PieceWear(interval, used, state, least_mm, left if edged else None, max(fresh, 0))


def edges_in_life(kind: KindStock, rules: Rules) -> int:
    """The edges of a piece from new to spent: its own, and one for each usual grind."""
    allowance_mm = rules.number("grind.most_total_mm")
    if kind.regrind_mm is not None:
        allowance_mm = kind.regrind_mm
    elif kind.length_mm is not None and kind.least_length_mm is not None:
        allowance_mm = max(kind.length_mm - kind.least_length_mm, 0.0)
    return kind.edges + floor(allowance_mm / rules.number("grind.typical_mm") + 1e-6)


def size_now_mm(card: PieceCard) -> tuple[float | None, float | None]:
    """Width and long side that count: measured ones beat nominal ones."""
    return (card.measured_width_mm or card.width_mm, card.measured_long_mm or card.long_mm)


def length_now_mm(card: PieceCard) -> float | None:
    """The length as measured, else the length when new less what was ground off."""
    if card.length_mm is not None or card.new_length_mm is None:
        return card.length_mm
    return max(card.new_length_mm - card.ground_um / 1000, 0.0) or None


def _allowance_mm(card: PieceCard, rules: Rules) -> float:
    return rules.number("grind.most_total_mm") if card.regrind_mm is None else card.regrind_mm


def _least_length_mm(card: PieceCard, rules: Rules) -> float | None:
    if card.least_length_mm is not None or card.new_length_mm is None:
        return card.least_length_mm
    least_mm = card.new_length_mm - _allowance_mm(card, rules)
    return least_mm if least_mm > 0 else None


def _grinds_left(card: PieceCard, least_mm: float | None, rules: Rules) -> int:
    """From the length when it is known, else from what was ground off."""
    typical_mm = rules.number("grind.typical_mm")
    length_mm = length_now_mm(card)
    if length_mm is not None and least_mm is not None:
        # What is longer than new was measured with something on it, or wrong: it gives no grinds.
        length_mm = min(length_mm, card.new_length_mm or length_mm)
        return grinds_left(length_mm, least_mm, typical_mm)
    left_mm = max(0.0, _allowance_mm(card, rules) - card.ground_um / 1000)
    return floor(left_mm / typical_mm + 1e-6)
