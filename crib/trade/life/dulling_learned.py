"""What a shop's own edges teach of how long an edge lasts, from the settings through a kind's like.

A kind's count lies about that of its like, theirs about that of all kinds, and that about the
setting; how much of its error they have in common is learned with the rest. The shape is learned as
well, about the usual one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import exp, expm1, fsum, log, sqrt

from crib.trade.common.guards import require_positive
from crib.trade.life.dulling import DullingBelief, ShapeRow, hazard_of
from crib.trade.life.dulling_grid import LEAST, BeliefGrid
from crib.trade.life.edge_life import Observation, Prior, require_sound
from crib.trade.life.gamma import require_share, trigamma
from crib.trade.life.silence import NOTHING, Silence, log_at, silence_table

# What the words at a grind say of when it was dull, as shares of its count: "right" about then,
# "overdue" before that. Shop rule.
RIGHT_AT, OVERDUE_BEFORE = 0.95, 0.85
# Shares of the interval beyond which an edge is far: it counts, and how far it was does not, so
# that one count typed wrong neither bends the shape nor stretches the life.
EARLY, LATE = 0.2, 4.0

# Shapes as multiples of the usual one, even in their logarithm: at 2.5 from 1.2 to 5.2, four in
# five of the belief from 1.5 to 4.
_SHAPES = tuple(0.48 * (2.08 / 0.48) ** (step / 8) for step in range(9))
_SHAPE_SPREAD = 0.4
# Logarithms of the count over the interval of the settings.
_STEP = 0.1
_COUNTS = tuple(_STEP * step for step in range(-24, 27))
_KERNEL_REACH = 3.5
# The share of the settings' uncertainty that kinds have in common; which one, their edges tell.
_IN_COMMON = (0.25, 0.75)
# How far a kind's like is trusted with its shape: pools of unlike kinds look flatter than each.
_SHAPE_SHARED = 0.5
_HALVINGS = 60
_DIGITS = 12

Kinds = Sequence[Sequence[Observation]]
_Shares = tuple[tuple[float, str], ...]


def learned_dulling(
    prior: Prior, pools: Sequence[Kinds], silence: Silence = NOTHING
) -> DullingBelief:
    """What is believed of a kind's edges after its own and those of other kinds were seen.

    Source: Bayes' rule on a grid, with a normal hierarchy of logarithms (Gelman and others,
    Bayesian Data Analysis, 3rd ed., chapter 5; from memory); what is far and what the words say of
    the count are shop rules; ``log_silence`` for edges of its own that nobody told of.

    The setting is a normal distribution of the count's logarithm whose width is that of a gamma
    distributed rate of ``prior.weight`` events at ``prior.shape``, laid so that the settings' share
    is dull by the interval. At a weight of 1.1 and a shape of 2.5 the count is within a factor of
    two six times in seven. Shapes are log-normal about ``prior.shape``.

    Args:
        prior: The settings; the interval in [strokes].
        pools: From the widest to the kind itself, each the edges of its kinds [strokes].
        silence: Of the kind's own edges those that nobody told of; they are in no pool [strokes].

    Returns:
        The belief; its counts in [strokes].

    Raises:
        BadValue: When a setting is out of its limits or an observation cannot be.
        UnknownName: When it is not known how an edge was found.

    Example:
        >>> from crib.trade.life.dulling import count_at_risk
        >>> belief = learned_dulling(Prior(5000.0), [])
        >>> round(count_at_risk(belief, 0.0, 0.1))
        5000
        >>> own = [Observation(3000.0, "dull")] * 8
        >>> round(count_at_risk(learned_dulling(Prior(5000.0), [[own]]), 0.0, 0.1))
        1807
    """
    require_positive(
        interval_strokes=prior.interval_strokes, shape=prior.shape, weight=prior.weight
    )
    require_share(dull_at_share=prior.dull_at_share)
    *wide, own = [[_near(edges, prior) for edges in kinds] for kinds in pools] or [[]]
    like = _of_like(prior, [[edges for edges in kinds if edges] for kinds in wide])
    seen = _Seen.of(tuple(edge for edges in own for edge in edges), silence, prior)
    return _learned(like, seen, prior)


def setting_off(prior: Prior, times: float) -> DullingBelief:
    """What would be believed if the interval were known to be so many times too long.

    Source: ``learned_dulling`` with the count known and the shape as usual.

    Args:
        prior: The settings; the interval in [strokes].
        times: How many times too long the interval is [-].

    Returns:
        The belief; its counts in [strokes].

    Raises:
        BadValue: When the interval, the shape or the times are not above zero.

    Example:
        >>> round(setting_off(Prior(5000.0), 2.0).sharp(2500.0), 6)
        0.9
    """
    interval = prior.interval_strokes
    require_positive(interval_strokes=interval, shape=prior.shape, times=times)
    count, pairs = log(interval / times), zip(_shapes(prior), _shape_weights(), strict=True)
    rows = tuple(ShapeRow.of(shape, [count], [weight]) for shape, weight in pairs)
    return DullingBelief(rows, prior.dull_at_share, _STEP)


def setting_spread(prior: Prior) -> float:
    """How far the settings may be off: the standard deviation of the count's logarithm.

    Source: shop rule (that of a gamma distributed rate of the settings' weight at their shape).

    Args:
        prior: The settings [-].

    Returns:
        The standard deviation [-].

    Raises:
        BadValue: When the weight or the shape is not above zero.

    Example:
        >>> round(setting_spread(Prior(5000.0, weight=1.1)), 3)
        0.479
    """
    require_positive(shape=prior.shape, weight=prior.weight)
    return sqrt(trigamma(prior.weight)) / prior.shape


def _shapes(prior: Prior) -> tuple[float, ...]:
    return tuple(times * prior.shape for times in _SHAPES)


@lru_cache(maxsize=1)
def _shape_weights() -> tuple[float, ...]:
    heights = [exp(-((log(times) / _SHAPE_SPREAD) ** 2) / 2) for times in _SHAPES]
    return tuple(height / sum(heights) for height in heights)


def _near(edges: Iterable[Observation], prior: Prior) -> _Shares:
    """Edges as shares of the interval, by what the words say of them; the far ones brought near."""
    near = []
    for one in edges:
        require_sound(one)
        share = one.strokes / prior.interval_strokes
        share *= {"dull": RIGHT_AT, "left": OVERDUE_BEFORE, "right": 1.0}[one.kind]
        if one.kind != "right" and share < EARLY:
            near.append((EARLY, "left"))
        elif one.kind != "left" and share > LATE:
            near.append((LATE, "right"))
        elif share > 0:
            near.append((round(share, _DIGITS), one.kind))
    return tuple(near)


def _log_likelihood(
    edges: _Shares, shape: float, counts: Sequence[float], hazard: float
) -> list[float]:
    """Of edges as shares of the interval, at each count of one shape, but for a constant."""
    followed = hazard * fsum(share**shape for share, kind in edges if kind != "left")
    dull = [log(share) for share, kind in edges if kind == "dull"]
    steady = len(dull) * log(shape) + shape * fsum(dull)
    overdue = [hazard * share**shape for share, kind in edges if kind == "left"]
    found = []
    for count in counts:
        rate = exp(-shape * count)
        text = steady - len(dull) * shape * count - followed * rate
        found.append(text + sum(_log_dull(one * rate) for one in overdue))
    return found


def _log_dull(hazard: float) -> float:
    return log(-expm1(-hazard)) if hazard > 1e-300 else -700.0


def _middle(prior: Prior, shape: float) -> float:
    return _middle_of(shape, setting_spread(prior), prior.dull_at_share)


@lru_cache(maxsize=64)
def _middle_of(shape: float, spread: float, share: float) -> float:
    """Where the settings lie, so that the share is dull by the interval."""
    hazard = hazard_of(share)
    dull = [-expm1(-hazard * exp(-shape * count)) for count in _COUNTS]
    low, high = _COUNTS[0], _COUNTS[-1]
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        risk = fsum(map(float.__mul__, _bell(middle, spread), dull))
        low, high = (middle, high) if risk > share else (low, middle)
    return high


def _bell(middle: float, spread: float) -> tuple[float, ...]:
    return _even([exp(-(((count - middle) / spread) ** 2) / 2) for count in _COUNTS])


def _even(weights: Sequence[float]) -> tuple[float, ...]:
    total = fsum(weights)
    return tuple(weight / total for weight in weights)


@lru_cache(maxsize=64)
def _kernel(spread: float) -> tuple[float, ...]:
    reach = max(1, round(_KERNEL_REACH * spread / _STEP))
    steps = range(-reach, reach + 1)
    return _even([exp(-((step * _STEP / spread) ** 2) / 2) for step in steps])


def _blurred(heights: Sequence[float], spread: float) -> list[float]:
    """Heights over the counts, each spread over its neighbours; beyond the grid as at its ends."""
    kernel = _kernel(round(spread, 9))
    reach = len(kernel) // 2
    padded = [heights[0]] * reach + list(heights) + [heights[-1]] * reach
    return [
        sum(map(float.__mul__, kernel, padded[at : at + len(kernel)])) for at in range(len(heights))
    ]


def _of_settings(prior: Prior) -> BeliefGrid:
    spread = setting_spread(prior)
    bells = (_bell(_middle(prior, shape), spread) for shape in _shapes(prior))
    pairs = zip(_shape_weights(), bells, strict=True)
    return _table(prior, [[usual * one for one in bell] for usual, bell in pairs])


def _table(prior: Prior, rows: Sequence[Sequence[float]]) -> BeliefGrid:
    logs = tuple(tuple(log(max(one, LEAST)) for one in row) for row in rows)
    return BeliefGrid(_shapes(prior), _COUNTS, logs)


def _of_like(prior: Prior, wide: Sequence[Sequence[_Shares]]) -> BeliefGrid:
    """What the settings and the kind's like say of it, before its own edges are looked at."""
    if not any(map(len, wide)):
        return _of_settings(prior)
    ways = [
        [_down(prior, shape, common, wide) for shape in _shapes(prior)] for common in _IN_COMMON
    ]
    rows, told = list[tuple[float, ...]](), list[float]()
    for usual, *same in zip(_shape_weights(), *ways, strict=True):
        best = max(evidence for evidence, _row in same)
        shares = [exp(evidence - best) for evidence, _row in same]
        counts = zip(*(row for _evidence, row in same), strict=True)
        rows.append(_even([sum(map(float.__mul__, shares, heights)) for heights in counts]))
        told.append(log(usual * sum(shares)) + best)
    return _shared(prior, rows, _even([exp(one - max(told)) for one in told]))


def _shared(prior: Prior, rows: Sequence[Sequence[float]], told: Sequence[float]) -> BeliefGrid:
    """The kind has the shape of its like, or one of its own with the counts of its like."""
    counts = [sum(map(float.__mul__, told, column)) for column in zip(*rows, strict=True)]
    mixed = [
        [
            _SHAPE_SHARED * share * one + (1 - _SHAPE_SHARED) * usual * other
            for one, other in zip(row, counts, strict=True)
        ]
        for row, share, usual in zip(rows, told, _shape_weights(), strict=True)
    ]
    return _table(prior, mixed)


@lru_cache(maxsize=4096)
def _heights(edges: _Shares, shape: float, share: float) -> tuple[float, tuple[float, ...]]:
    """The likelihood at each count over its greatest, and the logarithm of that."""
    logs = _log_likelihood(edges, shape, _COUNTS, hazard_of(share))
    top = max(logs)
    return top, tuple(exp(one - top) for one in logs)


@lru_cache(maxsize=4096)
def _message(edges: _Shares, shape: float, share: float, apart: float) -> tuple[float, list[float]]:
    """What a kind's edges say of its like, about which it lies so far apart.

    Kept, because every kind of a shop asks the same of its neighbours when all are learned anew.
    """
    top, heights = _heights(edges, shape, share)
    return top, _blurred(heights, apart)


def _down(
    prior: Prior, shape: float, common: float, wide: Sequence[Sequence[_Shares]]
) -> tuple[float, tuple[float, ...]]:
    """From the setting through the pools to the kind: the evidence for a shape, and its counts.

    A kind's like has ``common`` of the settings' variance, in even parts from pool to pool; what is
    left lies between the narrowest pool and the kind.
    """
    variance = setting_spread(prior) ** 2
    part, evidence = common * variance / len(wide), 0.0
    heights: Sequence[float] = _bell(_middle(prior, shape), sqrt(part))
    for at, kinds in enumerate(wide):
        heights = _blurred(heights, sqrt(part)) if at else heights
        apart = sqrt(variance - (at + 1) * part)
        for edges in kinds:
            top, seen = _message(edges, shape, prior.dull_at_share, apart)
            heights = list(map(float.__mul__, heights, seen))
            total = sum(heights)
            evidence += top + log(total)
            heights = [one / total for one in heights]
    return evidence, _even(_blurred(heights, sqrt((1 - common) * variance)))


@dataclass(frozen=True, slots=True)
class _Seen:
    """A kind's own edges as shares of the interval: those told of, and the silent ones."""

    edges: _Shares
    silent: tuple[tuple[float, float], ...]
    telling: tuple[float, ...]
    hazard: float

    @classmethod
    def of(cls, edges: _Shares, silence: Silence, prior: Prior) -> _Seen:
        """Silence counts where something was told beside it."""
        hazard = hazard_of(prior.dull_at_share)
        if not silence.teaches:
            return cls(edges, (), (), hazard)
        shares = silence.shares(prior.interval_strokes, LATE)
        return cls(edges, shares, silence_table(silence), hazard)

    def logs(self, shape: float, counts: Sequence[float]) -> list[float]:
        """Its likelihood at each count of one shape, but for a constant."""
        told = _log_likelihood(self.edges, shape, counts, self.hazard)
        if not self.silent:
            return told
        hazards = [(self.hazard * share**shape, part) for share, part in self.silent]
        found = []
        for count, one in zip(counts, told, strict=True):
            rate = exp(-shape * count)
            sharp = sum(part * exp(-hazard * rate) for hazard, part in hazards)
            found.append(one + log_at(self.telling, sharp))
        return found


def _after(before: BeliefGrid, seen: _Seen) -> BeliefGrid:
    logs = tuple(
        tuple(map(float.__add__, row, seen.logs(shape, before.counts)))
        for shape, row in zip(before.shapes, before.logs, strict=True)
    )
    return BeliefGrid(before.shapes, before.counts, logs)


def _learned(before: BeliefGrid, seen: _Seen, prior: Prior) -> DullingBelief:
    """The belief after a kind's own edges; where the grid is too coarse, on one of its own."""
    after = _after(before, seen)
    near = after.finer()
    if near is not None:
        after = _after(before.laid_out(*near), seen)
    return after.belief(prior.interval_strokes, prior.dull_at_share)
