"""How sure a life is, as facts: who told how edges were, and what would make it surer."""

from __future__ import annotations

from collections.abc import Iterator

from crib.acts import Fact, fact
from crib.desk.life.learning import Learned, LifeOf
from crib.trade.life.chances import chance_at_level
from crib.trade.shop.shop_rules import Rules

TWICE_TOO_LONG = 2.0


def how_sure(life: LifeOf, rules: Rules) -> Iterator[Fact]:
    """How many of the kind's edges were told of, and how many more halve the range."""
    learned = life.learned
    own = learned.pools[-1]
    if own.told:
        yield fact("life.told", told=own.told, ground=own.ground, dull=learned.silent_dull)
    elif own.ground:
        yield silence(own.ground, learned, rules)
    if life.surer is not None:
        yield fact("life.surer", told=life.surer.told, run=life.surer.run)


def silence(ground: int, learned: Learned, rules: Rules) -> Fact:
    """What it costs that nobody told of any edge: the setting holds, however far off it is."""
    dull = chance_at_level(
        TWICE_TOO_LONG, rules.number("life.shape"), rules.number("life.dull_at_share")
    )
    share = rules.number("life.dull_at_share")
    return fact("life.silent", ground=ground, setting=learned.interval, dull=dull, meant=share)
