"""How far a hole's centre is from an edge, the end and the next hole, as the phrase says it.

``edge 1-1/4``, ``end 2`` and ``pitch 3`` follow the plate in any order. A hole that is longer than
wide is taken with its long side towards the edge or the next hole, unless ``sideways`` follows.
Behind a pitch ``p1`` says that the next hole stands along the load, ``p2`` across it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading
from crib.features.common.sizes import size_word
from crib.trade.metal.edge_distances import Direction
from crib.units import System

EXAMPLE = "hole 13/16 thru 3/8 edge 1-1/4 pitch 3"
DISTANCE_WORDS = ("edge", "end", "pitch")
SIDEWAYS = "sideways"
LOADS: dict[str, Direction] = {"p1": "along", "p2": "across"}
"""What EN 1993-1-8 calls the pitch in the direction of the load, and the one square to it."""


@dataclass(frozen=True, slots=True)
class Distance:
    """A distance from the hole's centre; ``sideways`` when the narrow side faces it.

    ``load`` is how a pitch lies to the load, None where nobody said.
    """

    mm: float
    sideways: bool = False
    load: Direction | None = None

    def words(self) -> tuple[str, ...]:
        """What stands behind the distance in a phrase."""
        loads = (name for name, load in LOADS.items() if load == self.load)
        return (*((SIDEWAYS,) if self.sideways else ()), *loads)


@dataclass(frozen=True, slots=True)
class Distances:
    """The distances that a phrase named; none of them has to be there."""

    edge: Distance | None = None
    end: Distance | None = None
    pitch: Distance | None = None

    def named(self) -> tuple[tuple[str, Distance], ...]:
        """The distances that are there, by their words."""
        every = zip(DISTANCE_WORDS, (self.edge, self.end, self.pitch), strict=True)
        return tuple((word, distance) for word, distance in every if distance is not None)

    def phrase(self, system: System) -> str:
        """The end of a phrase that reads back as these; empty, or with a space before it."""
        return "".join(
            " ".join(("", word, size_word(distance.mm, system), *distance.words()))
            for word, distance in self.named()
        )

    def as_json(self) -> dict[str, Any]:
        """The distances for programs; only those that are there."""
        made: dict[str, Any] = {}
        for word, distance in self.named():
            made[f"{word}_mm"] = distance.mm
            if distance.sideways:
                made[f"{word}_{SIDEWAYS}"] = True
            if distance.load:
                made[f"{word}_load"] = distance.load
        return made


NO_DISTANCES = Distances()


def read_distances(
    words: Words, reading: Reading, *, long: bool, before: Distances = NO_DISTANCES
) -> Distances:
    """Read what stands of ``edge``, ``end`` and ``pitch``; ``long`` holes may lie sideways.

    ``before`` are those that were read already.

    Raises:
        BadPhrase: for a distance that cannot be read, or is said twice.
    """
    distances = dict(before.named())
    while words.peek() in DISTANCE_WORDS:
        word = words.take()
        if word.plain in distances:
            raise words.wrong(word.start, word.end, f"{word.plain!r} is said twice", EXAMPLE)
        size_mm = words.take_length_mm(reading.system, f"the {word.plain} distance", EXAMPLE)
        sideways = long and words.take_if(SIDEWAYS)
        load = word.plain == "pitch" and words.peek() in LOADS
        distances[word.plain] = Distance(
            size_mm, sideways, LOADS[words.take().plain] if load else None
        )
    return Distances(**distances) if distances else before
