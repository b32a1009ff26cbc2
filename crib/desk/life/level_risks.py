"""What the levels of a reminder risk: how many edges are dull by then, as is believed of them."""

from __future__ import annotations

from dataclasses import dataclass

from crib.features.common.piece_checks import level_limits
from crib.trade.life.estimate import LifeEstimate
from crib.trade.life.wear import Level
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class LevelRisk:
    """One level: its share of the interval, the weighted strokes, the chance of a dull edge."""

    level: Level
    share: float
    strokes: float
    chance: float


def level_risks(interval: float, estimate: LifeEstimate, rules: Rules) -> tuple[LevelRisk, ...]:
    """The shop's levels on an interval, the mildest first."""
    limits = level_limits(rules)
    shares: tuple[tuple[Level, float], ...] = (
        ("plan", limits.plan),
        ("after_this_job", limits.after_job),
        ("before_next_job", limits.before_job),
        ("not_for_finish", limits.no_finish),
    )
    return tuple(
        LevelRisk(name, share, share * interval, estimate.chance_dull(0.0, share * interval))
        for name, share in shares
    )
