"""How long the edges of a kind last, as the shop's own ledger teaches it.

The shape of dulling is not known either: ``trade.life.dulling_learned`` integrates over it, about
``life.shape``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

from crib.acts import Fact, act, saying
from crib.desk.common.piece_wear import EDGED
from crib.desk.life.edges_seen import Edge, Known, edges_of, silence_of
from crib.desk.life.followed import followed
from crib.desk.life.level_risks import LevelRisk, level_risks
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import (
    MOST_PIECES,
    POOLS,
    EdgeKind,
    edge_kind,
    nearest_kinds,
    worked_pieces,
)
from crib.stock.queries.kinds import all_kinds, kind_called
from crib.stock.queries.pieces import PieceCard, piece_by_tag, pieces_of_kinds
from crib.trade.life.dulling import count_at_risk
from crib.trade.life.edge_life import (
    Observation,
    as_breakage,
    breakage_belief,
)
from crib.trade.life.estimate import LifeEstimate, Pool, life_estimate, pooled_belief
from crib.trade.life.kept_life import life_in_force
from crib.trade.life.surer import MoreEdges, edges_to_halve
from crib.trade.shop.life_settings import prior_of
from crib.trade.shop.shop_rules import Rules

MOST_LISTED = 20
MORE = 1000
MOST_MORE = 1_000_000
SURE = 0.9
SHAPE_DIGITS = 2
USABLE = ("sound", "inspect", "locked")

_LIKE = 6
"""So many of a pool hear of an edge at once: each costs what learning the kind itself does."""
_SIZE_CLASS = 1.25
"""Sizes up to this many times larger or smaller are taken together."""


@dataclass(frozen=True, slots=True)
class PoolSeen:
    """What was seen in a pool. ``capped``: it has more pieces than are looked at.

    Of the edges so many were ``ground``, turned or broken, and of these somebody ``told`` how they
    were.
    """

    name: str
    pieces: int
    edges: int
    dull: int
    broken: int
    strokes: float
    capped: bool
    ground: int
    told: int


@dataclass(frozen=True, slots=True)
class Learned:
    """How long a fresh edge lasts, in weighted strokes; the pools from the widest on.

    ``interval`` is the one of the settings. ``own`` counts the kind's own edges of which somebody
    saw how they were; ``follow`` is where reminders would stand by today's ledger. Of its edges
    that were ground without a word so many were dull as ``silent_dull``, by what told ones teach.
    """

    estimate: LifeEstimate
    interval: float
    pools: tuple[PoolSeen, ...]
    own: int
    follow: float
    silent_dull: float

    @property
    def edges(self) -> int:
        """The edges of all pools."""
        return sum(pool.edges for pool in self.pools)

    def as_json(self) -> dict[str, Any]:
        """The counts at both risks with their ranges, and what they rest on."""
        seen = self.estimate
        return {
            "interval": self.interval,
            "own_edges": self.own,
            "reminders_today": self.follow,
            "ground": self.pools[-1].ground,
            "told": self.pools[-1].told,
            "silent_dull": self.silent_dull,
            "shape": seen.shape,
            "sure": SURE,
            "at_10": {"strokes": seen.scale_10, "low": seen.low_10, "high": seen.high_10},
            "at_50": {"strokes": seen.scale_50, "low": seen.low_50, "high": seen.high_50},
            "rests_on": seen.rests_on,
            "edges": self.edges,
            "dull": seen.events,
            "broken": seen.broken,
            "pools": self.pools,
        }


@dataclass(frozen=True, slots=True)
class PieceLife:
    """What a piece risks in ``more`` strokes to come, if its edge is sharp now.

    ``left_10`` are the strokes to come until one such edge in ten is dull.
    """

    tag: str
    place: str
    condition: str
    wear: float
    chance_dull: float
    chance_broken: float
    chance_lost: float
    left_10: float


@dataclass(frozen=True, slots=True)
class ShapeTold:
    """The shape that edges show beside the one that is ``held``; None while it is open.

    ``pool`` is the widest that was needed to have ``least`` edges said to be ``dull``, and
    ``missing`` what they lack. ``at_10`` and ``at_50`` are the counts with that shape, in weighted
    strokes; None where the shape is not one to hold.
    """

    held: float
    least: int
    pool: str
    dull: int
    missing: int
    shape: float | None = None
    low: float | None = None
    high: float | None = None
    at_10: float | None = None
    at_50: float | None = None

    @property
    def is_held(self) -> bool:
        """Whether it is the one that is held, to the digits that a rule keeps of it."""
        return self.shape is not None and round(self.shape, SHAPE_DIGITS) == self.held


@dataclass(frozen=True, slots=True)
class LifeOf:
    """What is known of a kind's edges, and what its pieces risk. Strokes are weighted.

    ``interval`` is the one that reminders use, ``kept`` says that it was learned; ``levels`` are
    the reminders on it. ``shape`` and ``surer`` are for those who ask for them, as
    is how ``sure`` it is.
    """

    kind: str
    learned: Learned
    interval: float
    kept: bool
    levels: tuple[LevelRisk, ...]
    more: int
    pieces: tuple[PieceLife, ...]
    pieces_more: int
    shape: ShapeTold | None = None
    surer: MoreEdges | None = None
    sure: tuple[Fact, ...] = ()


@dataclass(frozen=True, slots=True)
class SeenPool:
    """The edges of a pool, and how many pieces were looked at for them."""

    name: str
    pieces: int
    edges: list[Edge]

    def pool(self, interval: float) -> Pool:
        """What they teach a kind that is to last an interval [strokes]."""
        edges = tuple(edge.dulling(interval) for edge in self.edges)
        return Pool(self.name, edges, tuple(edge.kind_id for edge in self.edges))

    def as_they_were(self) -> Pool:
        """Their own strokes, for breakage."""
        return Pool(self.name, tuple(edge.breaking() for edge in self.edges))

    def said(self) -> PoolSeen:
        """What is told of the pool."""
        pool, capped = self.as_they_were(), self.pieces >= MOST_PIECES
        return PoolSeen(
            *(self.name, self.pieces, len(pool.edges), pool.dull, pool.broken, pool.strokes),
            *(capped, sum(not edge.is_running for edge in self.edges)),
            told=sum(edge.told and not edge.is_running for edge in self.edges),
        )

    def silent_dull(self, estimate: LifeEstimate) -> float:
        """How many were dull of those ground without a word, sharp when last looked at."""
        looked_at = sum(
            estimate.chance_dull(edge.known_for, edge.worked - edge.known_for)
            for edge in self.edges
            if not edge.said and edge.told and not edge.is_running
        )
        return looked_at + estimate.silent_dull(silence_of(self.edges))


def life_of(session: Session, name: str, more: int = MORE) -> LifeOf:
    """How long the edges of a piece's kind, or of a kind, last; what each piece risks.

    Raises:
        UnknownName: when neither a piece nor a kind is called so.
        BadValue: for strokes to come that make no sense.
        Refused: for a kind without a cutting edge.
    """
    if not 1 <= more <= MOST_MORE:
        message = f"more={more} must be 1 to {MOST_MORE:,}"
        example = act("say.more", more=500)
        raise BadValue(message, way_out=saying("say the weighted strokes to come: ", example))
    kind_id, cards = _asked(session, name)
    kind = edge_kind(session, kind_id)
    if kind.role not in EDGED:
        message = f"{kind.name} is a {kind.role.replace('_', ' ')}: it has no edge that dulls"
        raise Refused(message, way_out=f"edges are those of: {', '.join(EDGED)}")
    rules = shop_rules(session)
    learned = kept_of(session, kind, rules)
    lives = [
        _piece_life(card, learned.estimate, more) for card in cards if card.condition in USABLE
    ]
    lives.sort(key=lambda one: (-one.chance_lost, one.tag))
    shown = tuple(lives[:MOST_LISTED])
    interval = float(kind.learned_strokes or learned.interval)
    return LifeOf(
        kind=kind.name,
        learned=learned,
        interval=interval,
        kept=kind.learned_strokes is not None,
        levels=level_risks(interval, learned.estimate, rules),
        more=more,
        pieces=shown,
        pieces_more=len(lives) - len(shown),
    )


def kept_of(session: Session, kind: EdgeKind, rules: Rules) -> Learned:
    """What is known of a kind's edges, its chances told by the life that is kept of it.

    The ranges and what they rest on are today's; what other kinds taught since the kind learned
    last is in them, and in its chances with its own next edge.
    """
    learned = learn_kind(session, kind, rules)
    in_force = prior_of(kind.learned_strokes or kind.interval_strokes, rules)
    life = life_in_force(kind.learned_life, in_force)
    return replace(learned, estimate=learned.estimate.told_by(life))


def learn_kind(
    session: Session, kind: EdgeKind, rules: Rules, known: Known | None = None
) -> Learned:
    """What the ledger teaches of a kind's edges, from wider to narrower pools.

    The edges of another kind count by the share of their own interval that they did; for breakage,
    which has nothing to do with an interval, by their strokes.
    """
    usual = rules.number("wear.interval_strokes")
    prior = prior_of(kind.interval_strokes, rules)
    interval = prior.interval_strokes
    seen = pools_seen(session, kind, usual, known)
    per_break = rules.number("buy.strokes_per_break")
    pools, silence = [one.pool(interval) for one in seen], silence_of(seen[-1].edges)
    estimate = life_estimate(pools, prior, per_break, SURE, silence)
    breaking = [as_breakage(one.as_they_were().edges) for one in seen]
    estimate = replace(
        estimate,
        breakage=pooled_belief(breakage_belief(per_break), breaking),
        exposure=sum(one.as_they_were().strokes for one in seen),
    )
    own = told_edges(seen[-1].edges)
    at = count_at_risk(estimate.dulling, 0.0, prior.dull_at_share)
    follow = followed(at, prior, own, rules)
    silent = seen[-1].silent_dull(estimate)
    return Learned(estimate, interval, tuple(one.said() for one in seen), own, follow, silent)


def surer_by(session: Session, kind: EdgeKind, rules: Rules, at: float) -> MoreEdges:
    """How many more edges of the kind, ground at a count or run until dull, halve its range."""
    prior = prior_of(kind.interval_strokes, rules)
    seen = pools_seen(session, kind, rules.number("wear.interval_strokes"), None)
    pools = [one.pool(prior.interval_strokes).by_kind for one in seen]
    return edges_to_halve(prior, pools, at, silence_of(seen[-1].edges))


def pools_around(session: Session, kind: EdgeKind, rules: Rules) -> list[Pool]:
    """The edges of the kind and of wider and wider pools, as shares of the kind's own interval.

    From the narrowest on; a wider pool has the edges of the narrower ones in it.
    """
    usual, interval = (
        rules.number("wear.interval_strokes"),
        prior_of(kind.interval_strokes, rules).interval_strokes,
    )
    wider, edges = [], tuple[Observation, ...]()
    for pool in reversed(pools_seen(session, kind, usual, None)):
        edges += pool.pool(interval).edges
        wider.append(Pool(pool.name, edges))
    return wider


def told_edges(edges: Iterable[Edge]) -> int:
    """How many edges there are of which somebody saw how they were."""
    return sum(edge.told for edge in edges)


def pools_seen(
    session: Session, kind: EdgeKind, usual: float, known: Known | None
) -> list[SeenPool]:
    """All other kinds, the same steel, the same size, the kind itself; each edge stands once."""
    found = []
    for name in POOLS:
        kind_ids = nearest_kinds(session, kind, name, EDGED, _SIZE_CLASS)
        found.append(_seen(session, name, kind_ids, usual, known))
    return [*found, _seen(session, "this kind", [kind.id], usual, known)]


def own_edges(session: Session, kind: EdgeKind, rules: Rules, known: Known) -> list[Edge]:
    """The kind's own edges."""
    usual = rules.number("wear.interval_strokes")
    return _seen(session, "this kind", [kind.id], usual, known).edges


def like_kinds(session: Session, kind: EdgeKind) -> set[int]:
    """The few kinds nearest to one, of the same steel and of the same shape and size."""
    return {
        one
        for name in POOLS[1:]
        for one in nearest_kinds(session, kind, name, EDGED, _SIZE_CLASS)[:_LIKE]
    }


def _seen(
    session: Session, name: str, kind_ids: list[int], usual: float, known: Known | None
) -> SeenPool:
    pieces = worked_pieces(session, kind_ids)
    return SeenPool(name, len(pieces), edges_of(session, pieces, usual, known))


def _asked(session: Session, name: str) -> tuple[int, list[PieceCard]]:
    """The kind that is meant, and the pieces to tell of: the one with a tag, or all of a kind."""
    wanted = " ".join(name.split())
    try:
        card = piece_by_tag(session, wanted)
    except UnknownName as error:
        kind_id = kind_called(session, wanted)
        if kind_id is not None:
            return kind_id, pieces_of_kinds(session, [kind_id])
        message = f"no piece with tag and no kind called {wanted[:60]!r}"
        near = get_close_matches(
            wanted, [kind.name for kind in all_kinds(session)], n=2, cutoff=0.6
        )
        way_out = f"did you mean {' or '.join(map(repr, near))}?" if near else error.way_out
        raise UnknownName(message, way_out=way_out) from None
    return card.kind_id, [card]


def _piece_life(card: PieceCard, estimate: LifeEstimate, more: int) -> PieceLife:
    return PieceLife(
        tag=card.tag,
        place=card.place or "",
        condition=card.condition,
        wear=card.wear,
        chance_dull=estimate.chance_dull(card.wear, more),
        chance_broken=estimate.chance_broken(more),
        chance_lost=estimate.chance_lost(card.wear, more),
        left_10=estimate.strokes_at_risk(card.wear, 0.1),
    )
