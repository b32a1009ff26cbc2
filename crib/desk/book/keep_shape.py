"""Have the reminders hold the shape of dulling that the shop's edges show.

Reminders hold ``life.shape``, so what was fitted reaches them as a shop rule, with who and why.
"""

from __future__ import annotations

from datetime import datetime

from crib.acts import Said, act, saying
from crib.desk.book.shop_rules import RuleChange, change_rule
from crib.desk.life.fitted_shape import SHAPE, life_with_shape, shape_text
from crib.desk.life.learning import ShapeTold
from crib.errors import Refused
from crib.stock.engine.session import Session
from crib.trade.life.weibull_fit import LEAST_SHAPE, MOST_SHAPE


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
        session, SHAPE, shape_text(told.shape), f"{why} {life.kind}, {told.pool}", by=by, now=now
    )


def _until_then(told: ShapeTold | None) -> Said:
    if told is None or not told.missing:
        return saying("set one by hand: ", act("rules.change", key=SHAPE, value=None, why=None))
    grind = act("grind.found", tag=None, found="right")
    return saying(f"{told.missing} more are needed; say at each grind how it was: ", grind)
