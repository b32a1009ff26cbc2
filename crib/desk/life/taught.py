"""What the ledger teaches of a kind, as it is kept beside it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from crib.desk.common.piece_wear import EDGED
from crib.desk.life.edges_seen import Known, silence_of
from crib.desk.life.followed import followed
from crib.desk.life.learning import SeenPool, pools_seen, told_edges
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import EdgeKind
from crib.trade.life.dulling import DullingBelief, count_at_risk
from crib.trade.life.dulling_learned import Kinds, learned_dulling
from crib.trade.life.edge_life import Observation, Prior
from crib.trade.life.kept_life import kept_life, life_text, scaled
from crib.trade.life.silence import NOTHING as NOTHING_SILENT
from crib.trade.life.silence import Silence
from crib.trade.shop.life_settings import prior_of
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class Taught:
    """The interval, None where the settings hold; the life, empty where no edge said anything."""

    strokes: int | None = None
    life: str = ""


NOTHING = Taught()


def taught(session: Session, kind: EdgeKind, rules: Rules, known: Known | None = None) -> Taught:
    """What the ledger teaches today.

    The interval is that of the settings where the shop says so, and for a kind without an edge of
    its own of which somebody saw how it was; its life is that of its like all the same.
    """
    if kind.role not in EDGED:
        return NOTHING
    prior = prior_of(kind.interval_strokes, rules)
    seen = pools_seen(session, kind, rules.number("wear.interval_strokes"), known)
    if not any(told_edges(pool.edges) for pool in seen):
        return NOTHING
    own = seen[-1].edges
    belief = _in_shares(
        replace(prior, interval_strokes=1.0),
        tuple(_told_kinds(pool) for pool in seen),
        _shares(silence_of(own), prior.interval_strokes),
    )
    life = life_text(scaled(kept_life(belief), prior.interval_strokes))
    if not told_edges(own) or rules.text("life.follow") == "no":
        return Taught(life=life)
    at = prior.interval_strokes * count_at_risk(belief, 0.0, prior.dull_at_share)
    return Taught(max(1, round(followed(at, prior, told_edges(own), rules))), life)


def _told_kinds(pool: SeenPool) -> tuple[tuple[Observation, ...], ...]:
    """The edges of each kind, as shares of its interval; kinds that tell nothing are left out."""
    kinds = (tuple(edges) for edges in pool.pool(1.0).by_kind)
    return tuple(edges for edges in kinds if any(one.strokes > 0 for one in edges))


def _shares(silence: Silence, interval: float) -> Silence:
    if not silence.teaches:
        return NOTHING_SILENT
    return replace(silence, strokes=tuple(one / interval for one in silence.strokes))


@lru_cache(maxsize=256)
def _in_shares(prior: Prior, pools: tuple[Kinds, ...], silence: Silence) -> DullingBelief:
    """The belief in shares of an interval: kinds that saw the same believe the same of them."""
    return learned_dulling(prior, pools, silence)
