"""The shape of dulling as the shop's edges show it, and how to have the reminders hold it.

Only who asks for a life waits for the fit. Reminders hold ``life.shape``, so what was fitted
reaches them as a shop rule, with who and why.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from crib.desk.learning import (
    MORE,
    SHAPE_DIGITS,
    SURE,
    LifeOf,
    ShapeTold,
    learn_kind,
    life_of,
    pools_around,
)
from crib.desk.rules import RuleChange, change_rule
from crib.errors import Refused
from crib.stock.edge_ends import EdgeKind, edge_kind, kind_called
from crib.stock.session import Session
from crib.stock.settings import shop_rules
from crib.trade.life_estimate import Pool
from crib.trade.life_shape import LEAST_SHAPE, MOST_SHAPE, shape_seen
from crib.trade.rules import Rules

SHAPE, LEAST = "life.shape", "life.least_events_for_shape"


def life_with_shape(session: Session, name: str, more: int = MORE) -> LifeOf:
    """What ``life_of`` says, and the shape that the edges show.

    Raises:
        BadInput: what ``life_of`` raises.
    """
    life = life_of(session, name, more)
    kind = edge_kind(session, kind_called(session, life.kind) or 0)
    return replace(life, shape=shape_told(session, kind, shop_rules(session)))


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
    estimate = learn_kind(session, kind, rules.with_changes({SHAPE: _text(seen.shape)})).estimate
    return replace(told, at_10=estimate.scale_10, at_50=estimate.scale_50)


def keep_shape(
    session: Session, name: str, *, by: str = "", now: datetime | None = None
) -> RuleChange:
    """Hold the shape that the edges of a kind show: for the reminders of every kind.

    Raises:
        BadInput: what ``life_of`` raises.
        Refused: while the edges leave the shape open, show one that none have, or the one held.
    """
    life = life_with_shape(session, name)
    told = life.shape
    if told is None or told.shape is None or told.low is None or told.high is None:
        message = f"{life.kind}: the edges leave the shape open"
        raise Refused(message, way_out=_until_then(told))
    if told.at_10 is None:
        message = f"{life.kind}: a shape of {told.shape:.1f} is not {LEAST_SHAPE:g}"
        message = f"{message} to {MOST_SHAPE:g}: were its edges ground by the count?"
        raise Refused(message, way_out=_until_then(None))
    if told.is_held:
        message = f"{SHAPE} is {told.held:g} already"
        raise Refused(message, way_out="nothing to do")
    why = f"fitted to {told.dull} dull edges, {told.low:.1f} to {told.high:.1f}:"
    return change_rule(
        session, SHAPE, _text(told.shape), f"{why} {life.kind}, {told.pool}", by=by, now=now
    )


def _until_then(told: ShapeTold | None) -> str:
    if told is None or not told.missing:
        return f"set one by hand: `crib rules {SHAPE} VALUE --why TEXT`"
    say = "say at each grind how it was: `crib grind TAG --found right`"
    return f"{told.missing} more are needed; {say}"


def _narrowest(pools: list[Pool], least: int) -> Pool:
    return next((one for one in pools if _dull(one) >= least), pools[-1])


def _dull(pool: Pool) -> int:
    """Edges of which it is said when they were dull; one overdue only says that it was before."""
    return sum(one.kind == "dull" for one in pool.edges)


def _text(shape: float) -> str:
    return f"{round(shape, SHAPE_DIGITS):g}"
