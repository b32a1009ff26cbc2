"""How urgent a sharpening is: levels in the shop's own limits, and when a reminder is silent."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from crib.desk.common.piece_wear import PieceWear, length_now_mm, piece_wear
from crib.features.common.piece_checks import level_limits
from crib.stock.queries.due_pieces import DueStep, DueSteps
from crib.stock.queries.pieces import PieceCard
from crib.trade.common.verdicts import falls_short
from crib.trade.life.wear import Level, level
from crib.trade.shop.shop_rules import Rules

PAST_DEFERRAL = "past_deferral"
"""Kept as acknowledged when a piece is looked at beyond the share to which it was put off."""

RANK: dict[str, int] = {
    "": 0,
    "fine": 0,
    "plan": 1,
    "after_this_job": 2,
    "before_next_job": 3,
    PAST_DEFERRAL: 4,
    "not_for_finish": 5,
}
_WHEN: dict[Level, str] = {
    "fine": "fine",
    "plan": "plan to {do}",
    "after_this_job": "{do} after this job",
    "before_next_job": "{do} before the next job",
    "not_for_finish": "not for finish work: {do}",
}


@dataclass(frozen=True, slots=True)
class Reminder:
    """One piece that wants attention. Wear and interval are weighted strokes.

    ``do`` is grind, turn or replace; lengths are as known now and as they may be at least [mm].
    """

    tag: str
    kind: str
    role: str
    place: str
    condition: str
    used: float
    wear: float
    interval: float
    level: Level
    words: str
    grinds_left: int | None
    do: str = "grind"
    length_mm: float | None = None
    least_length_mm: float | None = None


@lru_cache(maxsize=4)
def interval_of(card: PieceCard, rules: Rules) -> float:
    """Weighted strokes between grinds of a piece."""
    return card.interval(_usual_interval(rules))


@lru_cache(maxsize=4)
def _usual_interval(rules: Rules) -> float:
    return rules.number("wear.interval_strokes")


def level_of(card: PieceCard, rules: Rules) -> Level:
    """The level that a piece is at."""
    return level(card.wear / interval_of(card, rules), level_limits(rules))


def acknowledged_as(card: PieceCard, rules: Rules) -> str:
    """What to keep when somebody has seen the piece at its level."""
    at = level_of(card, rules)
    return PAST_DEFERRAL if at == "before_next_job" and _past_deferral(card, rules) else at


def is_silent(card: PieceCard, rules: Rules) -> bool:
    """Whether the piece was seen at its level, and the time it was put off to is not over."""
    return RANK.get(card.acknowledged, 0) >= RANK[acknowledged_as(card, rules)]


def due_steps(rules: Rules) -> DueSteps:
    """The levels as a query needs them: `is_silent` and `level_of` say the same of one piece."""
    limits = level_limits(rules)
    rising = (
        DueStep(limits.plan, RANK["plan"]),
        DueStep(limits.after_job, RANK["after_this_job"]),
        DueStep(limits.before_job, RANK["before_next_job"]),
        DueStep(rules.number("wear.defer_to"), RANK[PAST_DEFERRAL], deferred=True),
        DueStep(limits.no_finish, RANK["not_for_finish"]),
    )
    ranks = tuple((name, rank) for name, rank in RANK.items() if rank)
    return DueSteps(rising, ranks, limits.no_finish, _usual_interval(rules))


def reminder(card: PieceCard, rules: Rules) -> Reminder:
    """What to say of a piece."""
    stands = piece_wear(card, rules)
    at = level_of(card, rules)
    return Reminder(
        tag=card.tag,
        kind=card.kind_name,
        role=card.role,
        place=card.place or "",
        condition=card.condition,
        used=stands.used,
        wear=card.wear,
        interval=stands.interval,
        level=at,
        words=_words(card, at, stands),
        grinds_left=stands.grinds_left,
        do=_do(stands),
        length_mm=length_now_mm(card),
        least_length_mm=stands.least_length_mm,
    )


def _past_deferral(card: PieceCard, rules: Rules) -> bool:
    used = card.wear / interval_of(card, rules)
    return card.deferred and not falls_short(used, rules.number("wear.defer_to"))


def _do(stands: PieceWear) -> str:
    """What renews an edge: a fresh one where there is one, a grind while one is left."""
    return "turn" if stands.edges_left else "replace" if stands.grinds_left == 0 else "grind"


def _words(card: PieceCard, at: Level, stands: PieceWear) -> str:
    said, grinds_left = [], stands.grinds_left
    if card.condition == "locked":
        # When to grind it is no question before somebody has unlocked it.
        return "locked: do not use; repair or retire it"
    if card.condition == "inspect":
        said.append("inspect before use")
    if at != "fine":
        said.append(_WHEN[at].format(do=f"{_do(stands)} it"))
    if at != "fine" and not stands.edges_left and grinds_left is not None and grinds_left < 2:
        last = "last grind" if grinds_left else "no grind left"
        said.append(f"{last}: order a replacement")
    return "; ".join(said) or "fine"
