"""How sure a life is, as facts: who told how edges were, and what would make it surer."""

from __future__ import annotations

from collections.abc import Iterator

from crib.acts import Fact, Saying, act, fact, saying
from crib.desk.life.learning import LifeOf
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import ends_told
from crib.stock.queries.pieces import PieceCard
from crib.trade.life.dulling import chance_dull_by
from crib.trade.life.dulling_learned import setting_off
from crib.trade.life.edge_life import Prior
from crib.trade.shop.life_settings import prior_of
from crib.trade.shop.shop_rules import Rules

TWICE_TOO_LONG = 2.0
TOLD_AT = 5
"""Grinds of a kind without a word after which it is told what that costs."""


def how_sure(life: LifeOf, rules: Rules) -> Iterator[Fact]:
    """How many of the kind's edges were told of, and how many more halve the range."""
    learned = life.learned
    own = learned.pools[-1]
    if own.told:
        yield fact("life.told", told=own.told, ground=own.ground, dull=learned.silent_dull)
    elif own.ground:
        yield silence(own.ground, prior_of(learned.interval, rules))
    if life.surer is not None:
        yield fact("life.surer", told=life.surer.told, run=life.surer.run)


def silence_told(session: Session, card: PieceCard, rules: Rules) -> Iterator[Saying]:
    """What silence costs, once: at the grind by which a few were ground and none told of."""
    if ends_told(session, card.kind_id) == (TOLD_AT, 0):
        way_out = act("grind.found", tag=card.tag, found="right")
        cost = silence(TOLD_AT, prior_of(card.interval_strokes, rules))
        yield saying(cost, "; say at the grind how it was: ", way_out)


def silence(ground: int, prior: Prior) -> Fact:
    """What it costs that nobody told of any edge: the setting holds, however far off it is."""
    setting = prior.interval_strokes
    dull = chance_dull_by(setting_off(prior, TWICE_TOO_LONG), 0.0, setting)
    return fact("life.silent", ground=ground, setting=setting, dull=dull, meant=prior.dull_at_share)
