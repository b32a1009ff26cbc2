"""How a piece can lie at a station: which of its sides faces the throat, and a long hole's way.

``along`` the throat means that the long side of the hole points into the throat, ``across`` that it
lies square to that. Either may follow the sizes or the plate: ``slot 13/16 x 2 thru 3/8 across``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from crib.features.common.ask import Hit
from crib.features.common.phrase import Word, Words
from crib.features.common.spoken import require_apart
from crib.features.common.tooling import ToolingSet
from crib.features.holes.distances import Distances
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.key_angles import repeats_every_deg
from crib.trade.metal.shapes import Outline

Lying = Literal["along", "across"]
LYING: dict[str, Lying] = {"along": "along", "across": "across"}
AXIS_DEG: dict[str, float] = {"along": 0.0, "across": 90.0}
EXAMPLE = "slot 13/16 x 2 thru 3/8 A36 along"

_SAME_DEG = 1.0


@dataclass(frozen=True, slots=True)
class WayIn:
    """A side of the piece that may face the throat, and how far the hole's middle is from it.

    ``axis_deg`` is the angle of the hole's long side to the throat then; None where none counts.
    """

    side: str
    reach_mm: float
    axis_deg: float | None


@dataclass(frozen=True, slots=True)
class Stands:
    """The angles to the throat at which a keyed tool stands; it looks alike again every so much."""

    angles: frozenset[int]
    alike_every_deg: int

    def at(self, axis_deg: float) -> bool:
        """Whether the long side can have an angle to the throat, to the left or the right."""
        return any(self._same(axis_deg, sign * angle) for angle in self.angles for sign in (1, -1))

    def turned(self) -> Stands:
        """The angles of the feature's long side where the tool is turned a quarter for it."""
        return Stands(frozenset(angle + 90 for angle in self.angles), self.alike_every_deg)

    def _same(self, one_deg: float, other_deg: float) -> bool:
        half = self.alike_every_deg / 2
        return abs((one_deg - other_deg + half) % self.alike_every_deg - half) <= _SAME_DEG


@dataclass(frozen=True, slots=True)
class Placing:
    """What a phrase says of how the piece lies; ``turned`` tools are turned against the feature."""

    ways: tuple[WayIn, ...] = ()
    lying: Lying | None = None
    turned: bool = False

    def __bool__(self) -> bool:
        """Whether anything was said."""
        return bool(self.ways or self.lying)

    def can(self, stands: Stands | None) -> list[WayIn]:
        """The ways in which the piece can lie for a tool that stands so; None turns any way."""
        return [way for way in self.ways if self._can(way, stands)]

    def of_hits(self, hits: Sequence[Hit]) -> Placing:
        """The same for one tool's hits of a plan: the furthest of them must be reached too."""
        ways = tuple(
            replace(way, reach_mm=way.reach_mm + _furthest_mm(way, hits)) for way in self.ways
        )
        return Placing(ways, self.lying, any(hit.turned for hit in hits))

    def _can(self, way: WayIn, stands: Stands | None) -> bool:
        axis_deg = way.axis_deg
        if axis_deg is None:
            return True
        return (self.lying is None or AXIS_DEG[self.lying] == axis_deg) and (
            stands is None or stands.at(axis_deg)
        )


NO_PLACING = Placing()


def ways_in(outline: Outline, distances: Distances) -> tuple[WayIn, ...]:
    """The sides that a phrase named, as they may face the throat; of a pitch none can."""
    named = (("the edge", distances.edge), ("the end", distances.end))
    counts = outline.shape in ("obround", "rectangle", "square")
    return tuple(
        WayIn(side, one.mm, (90.0 if one.sideways else 0.0) if counts else None)
        for side, one in named
        if one is not None
    )


def tools_stand(tooling: ToolingSet, *, turned: bool = False) -> Stands | None:
    """How the keys of a shaped punch and die let them stand; None for a round pair, or no key."""
    found: Stands | None = None
    for role in ("punch", "die"):
        tool = tooling.tool(role)
        if tool is None or tool.shape == "round" or not tool.key_angles:
            continue
        every = repeats_every_deg(tool.shape)
        angles = frozenset(angle % every for angle in tool.key_angles)
        found = Stands(angles & found.angles if found else angles, every)
    if found is None or not found.angles:
        return None
    return found.turned() if turned else found


def stand_together(several: Iterable[Stands | None]) -> Stands | None:
    """How tools that stand at once let the feature lie, where each has keys of its own."""
    found = [stands for stands in several if stands is not None]
    if not found:
        return None
    least = max(found, key=lambda stands: stands.alike_every_deg)
    angles = frozenset(a for a in least.angles if all(stands.at(a) for stands in found))
    return Stands(angles or least.angles, least.alike_every_deg)


def take_lying(words: Words) -> tuple[Lying, Word] | None:
    """Take ``along`` or ``across``, with ``the throat`` behind it if that is said, out of a phrase.

    Raises:
        BadPhrase: where it is said twice, or what is around it would run together.
    """
    said = words.rest()
    at = [number for number, word in enumerate(said) if word.plain in LYING]
    if not at:
        return None
    word = said[at[0]]
    if len(at) > 1:
        twice = said[at[1]]
        raise words.wrong(twice.start, twice.end, "how it lies is said twice", EXAMPLE)
    rest = said[at[0] + 1 :]
    rest = rest[len(tuple(_throat(rest))) :]
    require_apart(words, rest[:1], word.plain)
    words.say((*said[: at[0]], *rest))
    return LYING[word.plain], word


def _furthest_mm(way: WayIn, hits: Sequence[Hit]) -> float:
    """How much further in the furthest hit is than the middle; x goes along the long side."""
    sizes = [abs(hit.x_mm) for hit in hits if way.axis_deg != AXIS_DEG["across"]]
    sizes += [abs(hit.y_mm) for hit in hits if way.axis_deg != AXIS_DEG["along"]]
    return max(sizes, default=0.0)


def _throat(behind: tuple[Word, ...]) -> Iterator[Word]:
    """The words ``the throat`` at the front of some, or ``throat`` alone."""
    for wanted in (("the", "throat"), ("throat",)):
        first = behind[: len(wanted)]
        if tuple(word.plain for word in first) == wanted:
            yield from first
            return


def is_long(outline: Outline) -> bool:
    """Whether it matters which way an outline lies."""
    return exceeds(outline.length_mm, outline.width_mm)
