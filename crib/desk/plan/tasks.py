"""Work made ready to be put in order: which tools a machine must hold at once for each task.

A magazine is what holds tools at one machine: stations alike in work, seats, force and reach. A
turret's stations are one magazine, a shear is another that holds one set. A part whose work wants
more tools at once than the magazine holds is split, and run through once for each set of tools.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from crib.desk.plan.phrase_picks import Option, Pair, station_traits
from crib.desk.plan.planned_parts import PlanFeature
from crib.desk.plan.share_parts import Assigned, Chunk, phase_of
from crib.features.common.tooling import Station

Tools = frozenset[str]


@dataclass(frozen=True, slots=True)
class Magazine:
    """Stations alike at one machine. ``mounted`` are the tags that stand in each."""

    key: tuple[object, ...]
    machine: str
    stations: tuple[Station, ...]
    mounted: tuple[Tools, ...]

    @property
    def slots(self) -> int:
        """How many sets of tools it holds."""
        return len(self.stations)


@dataclass(frozen=True, slots=True)
class FeatureUse:
    """A feature of a part made by one pair of an option."""

    feature: PlanFeature
    option: Option
    pair: Pair

    @property
    def tools(self) -> Tools:
        """The tags of the pair as a set; empty where the station's own tools do it.

        A shear has its blades for one section beside those for another, so none is put in.
        """
        return frozenset() if set(self.pair.roles) == {"blade"} else frozenset(self.pair.tags)

    @property
    def magazine(self) -> tuple[object, ...]:
        """The magazine that must hold the pair."""
        return magazine_key(self.option.station)


@dataclass(frozen=True)
class Task:
    """Work on one part at one machine that is done at a stretch."""

    chunk: Chunk
    machine: str
    uses: tuple[FeatureUse, ...]
    split: bool = False

    @property
    def phase(self) -> int:
        """Its turn among the sorts of work on a part."""
        return phase_of(self.chunk.work)

    def needs(self, key: tuple[object, ...]) -> frozenset[Tools]:
        """The sets of tools that a magazine must hold for it at once."""
        return frozenset(use.tools for use in self.uses if use.tools and use.magazine == key)


def magazine_key(station: Station) -> tuple[object, ...]:
    """The magazine that a station belongs to."""
    return (station.machine, *station_traits(station))


def magazines_of(
    assigned: Sequence[Assigned],
    every: Sequence[Station],
    mounted: Mapping[int, Tools],
) -> dict[tuple[object, ...], Magazine]:
    """The magazines that some work uses, with what stands in them now."""
    wanted = {magazine_key(option.station) for work in assigned for option in work.options.values()}
    alike: dict[tuple[object, ...], list[Station]] = {}
    for station in every:
        if station.in_service and magazine_key(station) in wanted:
            alike.setdefault(magazine_key(station), []).append(station)
    return {
        key: Magazine(
            key,
            stations[0].machine,
            tuple(stations),
            tuple(mounted.get(station.id, frozenset()) for station in stations),
        )
        for key, stations in alike.items()
    }


def tasks_of(
    assigned: Sequence[Assigned], magazines: Mapping[tuple[object, ...], Magazine]
) -> list[Task]:
    """The tasks in the order given."""
    ordered = sorted(assigned, key=lambda one: one.chunk.given)
    return [task for one in ordered for task in _tasks(one, magazines)]


def _tasks(one: Assigned, magazines: Mapping[tuple[object, ...], Magazine]) -> Iterator[Task]:
    uses = [
        FeatureUse(feature, one.options[feature.phrase], pair)
        for feature in one.chunk.features
        for pair in one.options[feature.phrase].pairs
    ]
    together: list[FeatureUse] = []
    apart: dict[Tools, list[FeatureUse]] = {}
    for key in dict.fromkeys(use.magazine for use in uses):
        own = [use for use in uses if use.magazine == key]
        sets = dict.fromkeys(use.tools for use in own if use.tools)
        if len(sets) > magazines[key].slots or _shared(list(sets)):
            for use in own:
                apart.setdefault(use.tools, []).append(use)
        else:
            together += own
    split = len(apart) + bool(together) > 1
    for some in [*([together] if together else []), *apart.values()]:
        yield Task(one.chunk, one.machine, tuple(some), split)


def _shared(sets: Sequence[Tools]) -> bool:
    """Whether two sets want the same piece, which can only be in one place."""
    return len(frozenset().union(*sets)) < sum(len(tool_set) for tool_set in sets)
