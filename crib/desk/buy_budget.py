"""Choosing what fits a budget: the parcels that are worth most together.

Parcels are lines that are bought together or not at all. Up to ``EXACT_UP_TO`` of them the choice
is exact to the cent. Of more, sums of value that differ by less than one part in ``STEPS`` of the
whole are taken as equal. The steps do not depend on the budget, so that a bigger budget never
buys less.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

EXACT_UP_TO = 20
STEPS = 10_000


@dataclass(frozen=True, slots=True)
class Parcel:
    """What is bought together: its cost [cents] and what it is worth a year [cents]."""

    cost_cents: int
    value_cents: int


@dataclass(frozen=True, slots=True)
class _State:
    """One choice so far: its cost, its weight, and the parcels in it as bits."""

    cost: int
    weight: int
    chosen: int


def choose(parcels: Sequence[Parcel], budget_cents: int) -> list[int]:
    """The parcels to buy, by their place: most value, then most parcels, then least cost."""
    count = len(parcels)
    weights = [max(one.value_cents, 0) * (count + 1) + 1 for one in parcels]
    step = 1 if count <= EXACT_UP_TO else max(1, sum(weights) // STEPS)
    states = [_State(0, 0, 0)]
    for place, (parcel, weight) in enumerate(zip(parcels, weights, strict=True)):
        more = [
            _State(one.cost + parcel.cost_cents, one.weight + weight, one.chosen | 1 << place)
            for one in states
            if one.cost + parcel.cost_cents <= budget_cents
        ]
        states = _undominated(states + more, step)
    best = max(states, key=lambda one: (one.weight, -one.cost))
    return [place for place in range(count) if best.chosen >> place & 1]


def _undominated(states: list[_State], step: int) -> list[_State]:
    """The states of which none other costs no more and is worth a step more."""
    states.sort(key=lambda one: (one.cost, -one.weight))
    kept: list[_State] = []
    best_step = -1
    for one in states:
        if one.weight // step > best_step:
            kept.append(one)
            best_step = one.weight // step
    return kept
