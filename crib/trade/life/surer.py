"""What would make a belief of edge life surer: how many more edges until its range halves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from crib.trade.life.dulling import DullingBelief, chance_dull_by, hazard_of
from crib.trade.life.dulling_learned import Kinds, learned_dulling
from crib.trade.life.edge_life import Observation, Prior
from crib.trade.life.silence import NOTHING, Silence

MOST_MORE = 256
"""More edges than a kind sees in years; beyond it nobody is told to wait."""
_EXACT_TO = 8


@dataclass(frozen=True, slots=True)
class MoreEdges:
    """Edges until the range is half as wide; None where even many more do not.

    ``told`` are ground at the count and told sharp or dull, ``run`` are used until they are dull.
    """

    told: int | None
    run: int | None


def edges_to_halve(
    prior: Prior, pools: Sequence[Kinds], at: float, silence: Silence = NOTHING
) -> MoreEdges:
    """How many more edges of the kind halve the range of the count, as far as can be foreseen.

    Source: shop rule (the belief as it would be after edges that come out just as believed: as many
    dull at the count as its chance says, and those run until dull at evenly spread shares).

    A range goes with the standard deviation of the count's logarithm: half as wide, its upper count
    is the root of as many times its lower one.

    Args:
        prior: The settings; the interval in [strokes].
        pools: From the widest to the kind itself, each the edges of its kinds [strokes].
        at: Weighted strokes at which the told edges are ground [strokes].
        silence: Of the kind's own edges those that nobody told of [strokes].

    Returns:
        The edges of either sort [edges].

    Raises:
        BadValue: When a setting is out of its limits or an observation cannot be.
        UnknownName: When it is not known how an edge was found.

    Example:
        >>> edges_to_halve(Prior(5000.0), [], 5000.0)
        MoreEdges(told=48, run=10)
    """
    belief = learned_dulling(prior, pools, silence)
    wide, own = list(pools[:-1]), [edge for kind in pools[-1:] for some in kind for edge in some]
    half, dull = belief.spread / 2, chance_dull_by(belief, 0.0, at)

    def is_enough(more: list[Observation]) -> bool:
        return learned_dulling(prior, [*wide, [[*own, *more]]], silence).spread <= half

    return MoreEdges(
        told=_fewest(lambda number: is_enough(_ground(number, at, dull))),
        run=_fewest(lambda number: is_enough(_until_dull(number, belief))),
    )


def _ground(number: int, at: float, dull: float) -> list[Observation]:
    """Edges ground at a count; what is dull comes evenly among the sharp ones."""
    found = [int((one + 1) * dull + 0.5) > int(one * dull + 0.5) for one in range(number)]
    return [Observation(at, "left" if one else "right") for one in found]


def _until_dull(number: int, belief: DullingBelief) -> list[Observation]:
    middle, hazard = belief.middle, hazard_of(belief.dull_at_share)
    times = (hazard_of((one + 0.5) / number) / hazard for one in range(number))
    return [Observation(middle * more ** (1 / belief.shape), "dull") for more in times]


def _fewest(is_enough: Callable[[int], bool]) -> int | None:
    """The fewest that are enough: exactly of few, to a tenth of many."""
    low, high = 0, 1
    while not is_enough(high):
        low, high = high, 2 * high
        if high > MOST_MORE:
            return None
    while high - low > max(1, low // _EXACT_TO):
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(middle) else (middle, high)
    return high
