"""Choosing what fits a budget: the parcels that are worth most together.

There is a list of parcels for each thing to decide; one of a list is bought, or none. Up to
``EXACT_UP_TO`` parcels the choice is exact to the cent. Of more, sums of value that differ by less
than one part in ``STEPS`` of the whole are taken as equal. The steps do not depend on the budget,
so that a bigger budget never buys less.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

EXACT_UP_TO = 20
STEPS = 10_000


@dataclass(frozen=True, slots=True)
class Parcel:
    """What is bought together: its cost and its worth a year [cents], and how many lines."""

    cost_cents: int
    value_cents: int
    lines: int = 1


@dataclass(frozen=True, slots=True)
class _State:
    """One choice so far: its cost, its weight, and what was bought last, on what came before."""

    cost: int
    weight: int
    before: _State | None = None
    bought: tuple[int, int] = (-1, -1)


def choose(lists: Sequence[Sequence[Parcel]], budget_cents: int) -> dict[int, int]:
    """Which parcel to buy of which list: most value, then most lines, then least cost."""
    most_lines = sum(max((one.lines for one in parcels), default=0) for parcels in lists)
    exact = sum(len(parcels) for parcels in lists) <= EXACT_UP_TO
    best_each = [max((_weight(one, most_lines) for one in parcels), default=0) for parcels in lists]
    step = 1 if exact else max(1, sum(best_each) // STEPS)
    states = [_State(0, 0)]
    for place, parcels in enumerate(lists):
        more = [
            _State(
                one.cost + parcel.cost_cents,
                one.weight + _weight(parcel, most_lines),
                one,
                (place, option),
            )
            for option, parcel in enumerate(parcels)
            for one in states
            if one.cost + parcel.cost_cents <= budget_cents
        ]
        states = _undominated(states + more, step)
    return _bought(max(states, key=lambda one: (one.weight, -one.cost)))


def _weight(parcel: Parcel, most_lines: int) -> int:
    """Value before the number of lines, in one whole number."""
    return max(parcel.value_cents, 0) * (most_lines + 1) + parcel.lines


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


def _bought(state: _State) -> dict[int, int]:
    found: dict[int, int] = {}
    at: _State | None = state
    while at is not None and at.before is not None:
        found[at.bought[0]] = at.bought[1]
        at = at.before
    return found
