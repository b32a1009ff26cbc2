"""The shape of dulling as the shop's edges show it. Only who asks for a life waits for the fit."""

from __future__ import annotations

from dataclasses import replace

from crib.desk.life.how_sure import how_sure
from crib.desk.life.learning import (
    MORE,
    SHAPE_DIGITS,
    SURE,
    LifeOf,
    ShapeTold,
    learn_kind,
    life_of,
    pools_around,
    surer_by,
)
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import EdgeKind, edge_kind
from crib.stock.queries.kinds import kind_called
from crib.trade.life.estimate import Pool
from crib.trade.life.weibull_fit import LEAST_SHAPE, MOST_SHAPE, shape_seen
from crib.trade.shop.shop_rules import Rules

SHAPE, LEAST = "life.shape", "life.least_events_for_shape"


def life_with_shape(session: Session, name: str, more: int = MORE) -> LifeOf:
    """What ``life_of`` says, the shape that the edges show, and what would make both surer.

    Raises:
        BadInput: what ``life_of`` raises.
    """
    life, rules = life_of(session, name, more), shop_rules(session)
    kind = edge_kind(session, kind_called(session, life.kind) or 0)
    surer = surer_by(session, kind, rules, life.interval)
    life = replace(life, shape=shape_told(session, kind, rules), surer=surer)
    return replace(life, sure=tuple(how_sure(life, rules)))


def shape_told(session: Session, kind: EdgeKind, rules: Rules) -> ShapeTold:
    """The shape by maximum likelihood, from the narrowest pool with enough edges found dull."""
    least = int(rules.number(LEAST))
    pool = _narrowest(pools_around(session, kind, rules), least)
    dull = _dull(pool)
    told = ShapeTold(rules.number(SHAPE), least, pool.name, dull, max(0, least - dull))
    seen = None if told.missing else shape_seen(pool.edges, least, SURE)
    if seen is None:
        return told
    told = replace(told, shape=seen.shape, low=seen.low, high=seen.high)
    if not LEAST_SHAPE <= seen.shape <= MOST_SHAPE:
        return told
    estimate = learn_kind(
        session, kind, rules.with_changes({SHAPE: shape_text(seen.shape)})
    ).estimate
    return replace(told, at_10=estimate.scale_10, at_50=estimate.scale_50)


def _narrowest(pools: list[Pool], least: int) -> Pool:
    return next((pool for pool in pools if _dull(pool) >= least), pools[-1])


def _dull(pool: Pool) -> int:
    """Edges of which it is said when they were dull; one overdue only says that it was before."""
    return sum(edge.kind == "dull" for edge in pool.edges)


def shape_text(shape: float) -> str:
    """A shape as the shop rule ``life.shape`` holds it."""
    return f"{round(shape, SHAPE_DIGITS):g}"
