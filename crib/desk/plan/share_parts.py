"""Which part is worked at which machine, so that the last to finish finishes early.

A part's work of one sort (punching, say) stays together. Jobs are shared out in their turn, the
longest work of a turn first, each to the machine that would end soonest with it among those that
serve all of it; the time of new tools counts twice, for the machine and for whoever puts them in.
Work that no machine serves whole is shared feature by feature. A piece works at one machine only
where there is any other way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from crib.desk.plan.phrase_picks import Option, Served, fewest_pieces, tags_taken
from crib.desk.plan.planned_parts import PlanFeature, PlanJob, PlanPart
from crib.trade.shop.shop_rules import Rules

Reaches = Callable[[PlanPart, PlanFeature, Option], bool]


@dataclass(frozen=True)
class Chunk:
    """The work of one sort on one part; ``given`` is its turn in the order that was given."""

    job: PlanJob
    part: PlanPart
    given: int
    work: str
    features: tuple[PlanFeature, ...]


@dataclass(frozen=True)
class Assigned:
    """A chunk at a machine, with the option that makes each of its features."""

    chunk: Chunk
    machine: str
    options: Mapping[str, Option]
    alone: bool = False


@dataclass(frozen=True, slots=True)
class Minutes:
    """What work takes, by the shop's rules: a hit of a punch, and of any other tool."""

    change: float
    part: float
    punch: float
    other: float

    @staticmethod
    def of(rules: Rules) -> Minutes:
        """The shop's own figures."""
        return Minutes(
            rules.number("make.tool_setup_minutes"),
            rules.number("plan.part_minutes"),
            rules.number("buy.punch_minutes"),
            rules.number("make.tool_minutes"),
        )

    def of_stroke(self, work: str) -> float:
        """One stroke of a sort of work."""
        return self.punch if work == "punch" else self.other

    def of_chunk(self, chunk: Chunk, options: Mapping[str, Option]) -> float:
        """Handling and strokes of a chunk."""
        each = sum(feature.each * options[feature.phrase].hits for feature in chunk.features)
        return chunk.part.pieces * (self.part + each * self.of_stroke(chunk.work))


@dataclass
class _Bench:
    """A machine while work is shared out."""

    machine: str
    usual: dict[str, Option]
    ends: float = 0.0
    tools: set[frozenset[str]] = field(default_factory=set)
    pieces: set[str] = field(default_factory=set)


def phase_of(work: str) -> int:
    """Cutting to length comes before punching, notching after it, bending last."""
    if work.endswith("shear"):
        return 0
    return {"punch": 1, "brake": 3}.get(work, 2)


def chunks_of(jobs: Sequence[PlanJob], served: Mapping[str, Served]) -> list[Chunk]:
    """Every part's work by sort, in the order given; what nothing serves is left out."""
    found: list[Chunk] = []
    for job in jobs:
        for part in job.parts:
            sorts: dict[str, list[PlanFeature]] = {}
            for feature in part.features:
                if served[feature.phrase].at and feature.each:
                    sorts.setdefault(served[feature.phrase].search.ask.work, []).append(feature)
            found += [
                Chunk(job, part, len(found) + number, work, tuple(sorts[work]))
                for number, work in enumerate(sorted(sorts, key=phase_of))
            ]
    return found


def share_out(
    chunks: Sequence[Chunk], served: Mapping[str, Served], minutes: Minutes, reaches: Reaches
) -> list[Assigned]:
    """Each chunk at a machine, with the fewest pieces that make what came to each machine."""
    names = sorted({name for one in served.values() for name in one.at})
    benches = {name: _Bench(name, _usual(served, name)) for name in names}
    shared: list[tuple[Chunk, str, bool]] = []
    for chunk in sorted(chunks, key=lambda one: (one.job.turn, -_longest(one, served, minutes))):
        for part, alone in _servable(chunk, served, reaches):
            bench, options = _soonest(part, benches, served, minutes, reaches)
            ends, tools = _with(bench, part, options, minutes)
            bench.ends, bench.tools = ends, bench.tools | tools
            bench.pieces |= tags_taken(options.values())
            shared.append((part, bench.machine, alone))
    return _settled(shared, benches, served, reaches)


def _usual(served: Mapping[str, Served], machine: str) -> dict[str, Option]:
    at = {phrase: one.at[machine] for phrase, one in served.items() if machine in one.at}
    return fewest_pieces(at)


def _longest(chunk: Chunk, served: Mapping[str, Served], minutes: Minutes) -> float:
    options = {
        feature.phrase: next(iter(served[feature.phrase].at.values()))[0]
        for feature in chunk.features
    }
    return minutes.of_chunk(chunk, options)


def _servable(
    chunk: Chunk, served: Mapping[str, Served], reaches: Reaches
) -> Iterator[tuple[Chunk, bool]]:
    """The chunk whole where some machine serves all of it, else feature by feature.

    Holes of one size that no one station comes to are split by the stations that do.
    """
    machines = [_machines(chunk.part, feature, served, reaches) for feature in chunk.features]
    if set.intersection(*machines):
        yield chunk, False
        return
    for one, at in zip(chunk.features, machines, strict=True):
        for some in [one] if at else _split(chunk.part, one, served[one.phrase], reaches):
            yield replace(chunk, features=(some,)), True


def _split(
    part: PlanPart, feature: PlanFeature, served: Served, reaches: Reaches
) -> Iterator[PlanFeature]:
    """A feature by its places on the part: first as many as one option comes to, then the rest."""
    options = [one for some in served.at.values() for one in some]
    single = {number: replace(feature, each=1, drawn=(number,)) for number in feature.drawn}
    ways = [[n for n in single if reaches(part, single[n], option)] for option in options]
    left = set(single)
    while left:
        most = max(([n for n in way if n in left] for way in ways), key=len, default=[])
        if not most:
            return
        yield replace(feature, each=len(most), drawn=tuple(most))
        left -= set(most)


def _machines(
    part: PlanPart, feature: PlanFeature, served: Mapping[str, Served], reaches: Reaches
) -> set[str]:
    at = served[feature.phrase].at
    return {name for name, some in at.items() if any(reaches(part, feature, one) for one in some)}


def _soonest(
    chunk: Chunk,
    benches: Mapping[str, _Bench],
    served: Mapping[str, Served],
    minutes: Minutes,
    reaches: Reaches,
) -> tuple[_Bench, dict[str, Option]]:
    """The machine that ends soonest with the chunk; first those that need no other's pieces."""
    machines = set.intersection(
        *(_machines(chunk.part, feature, served, reaches) for feature in chunk.features)
    )
    ways = []
    for name in sorted(machines):
        bench = benches[name]
        taken = set().union(*(one.pieces for one in benches.values() if one is not bench))
        options = _options(chunk, bench, served, taken, reaches)
        borrowed = len(tags_taken(options.values()) & taken)
        ends, tools = _with(bench, chunk, options, minutes)
        # A set that goes in must save more than the time it takes, or it is only work.
        late = ends + len(tools - bench.tools) * minutes.change
        ways.append((borrowed, round(late, 6), name, options))
    _borrowed, _late, name, options = min(ways, key=lambda way: way[:3])
    return benches[name], options


def _options(
    chunk: Chunk,
    bench: _Bench,
    served: Mapping[str, Served],
    taken: set[str],
    reaches: Reaches,
) -> dict[str, Option]:
    """The machine's usual option for each phrase, unless its pieces are taken or do not reach."""
    found = {}
    for feature in chunk.features:
        usual = bench.usual[feature.phrase]
        some = [
            option
            for option in served[feature.phrase].at[bench.machine]
            if reaches(chunk.part, feature, option)
        ]
        found[feature.phrase] = min(
            some,
            key=lambda option: (
                len(option.tags & taken),
                option is not usual,
                len(option.new - bench.pieces),
                option.rank,
            ),
        )
    return found


def _with(
    bench: _Bench, chunk: Chunk, options: Mapping[str, Option], minutes: Minutes
) -> tuple[float, set[frozenset[str]]]:
    """When the machine ends with a chunk, and the sets of tools to put in for it."""
    tools = {
        frozenset(pair.tags)
        for option in options.values()
        for pair in option.pairs
        if pair.tools and set(pair.tags) & option.new
    }
    changes = len(tools - bench.tools) * minutes.change
    return bench.ends + minutes.of_chunk(chunk, options) + changes, tools


def _settled(
    shared: Sequence[tuple[Chunk, str, bool]],
    benches: Mapping[str, _Bench],
    served: Mapping[str, Served],
    reaches: Reaches,
) -> list[Assigned]:
    """Choose the pieces of each machine again, now that it is known what comes to it."""
    found: list[Assigned] = []
    for bench in benches.values():
        own = [(chunk, alone) for chunk, name, alone in shared if name == bench.machine]
        taken = set().union(*(one.pieces for one in benches.values() if one is not bench))
        at = {
            feature.phrase: served[feature.phrase].at[bench.machine]
            for chunk, _alone in own
            for feature in chunk.features
        }
        chosen = fewest_pieces(at, taken)
        bench.usual = bench.usual | chosen
        bench.pieces = set()
        for chunk, alone in own:
            options = _options(chunk, bench, served, taken, reaches)
            bench.pieces |= tags_taken(options.values())
            found.append(Assigned(chunk, bench.machine, options, alone))
    return found
