"""The picks for every phrase of a plan, and the few tools among them that do all of it.

Every phrase is looked up once. Of the answers that are as good as the best one at a machine (none
with more cautions), those are taken that need the fewest pieces together; what stands mounted
costs nothing. It begins once with the pair that serves most phrases for the fewest new pieces,
again and again, and once with the best answer to each; then whatever needs fewer still is taken,
phrase by phrase, until nothing changes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from crib.desk.answer.find import Found, find_each
from crib.desk.answer.lookup import Lookup
from crib.desk.answer.other_sites import from_elsewhere
from crib.desk.answer.rank import Candidate, ranked
from crib.desk.answer.search import Search
from crib.desk.answer.several_hits import planned
from crib.desk.answer.together import look_ahead
from crib.desk.common.blade_pairs import cutting_with
from crib.desk.plan.planned_parts import Phrases, PlanJob
from crib.features.common.case import Plate
from crib.features.common.findings import cautions
from crib.features.common.tooling import Station, Tool, ToolingSet
from crib.features.holes.lying import Stands, stand_together, tools_stand
from crib.words import CUTS_TOGETHER

MOST_OPTIONS = 24
"""Answers to one phrase at one machine that are looked at."""
_SECOND = "second "
_PASSES = 20


@dataclass(frozen=True, slots=True)
class Pair:
    """The tools that make some hits of a feature together: the one that strikes comes first.

    ``hits`` are those of one feature, ``weights`` what one feature costs each tool.
    """

    tools: tuple[Tool, ...]
    roles: tuple[str, ...]
    hits: int
    weights: tuple[float, ...]
    adapters: tuple[str, ...] = ()

    @property
    def tags(self) -> tuple[str, ...]:
        """The tags, the striking tool's first."""
        return tuple(tool.tag for tool in self.tools)


@dataclass(frozen=True)
class Option:
    """One way to make a phrase's feature: a pick, and its pairs.

    ``beside`` stand at its station and cut with the tool, such as the other blades; ``own`` are
    pieces that the job has in hand, and so need no fetching.
    """

    candidate: Candidate
    rank: int
    beside: tuple[Tool, ...] = ()
    own: frozenset[str] = frozenset()

    @property
    def station(self) -> Station:
        """Where it is made."""
        return self.candidate.tooling.station

    @cached_property
    def pairs(self) -> tuple[Pair, ...]:
        """The pairs, one unless the feature takes hits of two sizes."""
        first = {r: t for r, t in self.candidate.tooling.tools.items() if not _is_second(r)}
        second = {r: t for r, t in self.candidate.tooling.tools.items() if _is_second(r)}
        return tuple(
            self._pair(number, tools)
            for number, tools in enumerate((first, second))
            if tools or not number
        )

    @cached_property
    def tags(self) -> frozenset[str]:
        """Every piece it takes."""
        return frozenset(tool.tag for tool in (*self.candidate.tools, *self.beside))

    @cached_property
    def new(self) -> frozenset[str]:
        """The pieces that do not stand in its station yet, adapters among them."""
        here = self.station
        tools = {tool.tag for tool in self.candidate.tools if tool.station_id != here.id}
        adapters = self.candidate.tooling.adapters.values()
        return (
            frozenset(tools | {adapter.tag for adapter in adapters if adapter.place != here.label})
            - self.own
        )

    @cached_property
    def stands(self) -> Stands | None:
        """How the keys of all its tools let the feature lie to the throat; None for any way."""
        plan = self.candidate.plan
        return stand_together(
            tools_stand(
                ToolingSet(dict(zip(pair.roles, pair.tools, strict=True)), self.station),
                turned=plan is not None and any(hit.turned for hit in plan.of_pair(number)),
            )
            for number, pair in enumerate(self.pairs)
        )

    @cached_property
    def hit_places(self) -> tuple[complex, ...]:
        """Where the hits are from the feature's middle [mm]."""
        plan = self.candidate.plan
        return tuple(complex(hit.x_mm, hit.y_mm) for hit in plan.hits) if plan else (0j,)

    @property
    def hits(self) -> int:
        """Strokes for one feature."""
        return sum(pair.hits for pair in self.pairs)

    def _pair(self, number: int, tools: Mapping[str, Tool]) -> Pair:
        pick = self.candidate
        hits = int(pick.figures.get("hits", 1))
        if pick.plan is not None:
            hits = len(pick.plan.of_pair(number))
        weights = tuple(pick.severities.get(role, 0.0) for role in tools)
        beside = () if number else self.beside
        # Whatever cuts with a tool is worn by every stroke as much as the tool itself.
        weights += weights[:1] * len(beside)
        adapters = tuple(
            adapter.tag for role, adapter in pick.tooling.adapters.items() if role in tools
        )
        roles = tuple(role.removeprefix(_SECOND) for role in tools)
        roles += tuple(tool.role for tool in beside)
        return Pair((*tools.values(), *beside), roles, hits, weights, adapters)


@dataclass(frozen=True)
class Served:
    """What the crib has for one phrase: the options by machine, or what is missing."""

    phrase: str
    search: Search
    at: Mapping[str, tuple[Option, ...]]
    missing: Found | None = None

    @property
    def plate(self) -> Plate:
        """What is worked."""
        return self.search.case.plate


@dataclass(frozen=True)
class SearchScope:
    """What is looked at: one machine or all, and the pieces that are promised to other jobs.

    ``own`` are the pieces that the jobs have out already.
    """

    lookup: Lookup
    phrases: Phrases
    machine: str = ""
    promised: Collection[str] = ()
    own: frozenset[str] = frozenset()
    days_left: Mapping[str, int] = field(default_factory=dict)
    """Days until the first job that wants a phrase is due, where it has a date."""


def look_up(shelf: SearchScope, jobs: Sequence[PlanJob]) -> dict[str, Served]:
    """Every phrase of some jobs with its options."""
    wanted: Counter[str] = Counter()
    for job in jobs:
        for part in job.parts:
            for feature in part.features:
                wanted[feature.phrase] += feature.each * part.pieces
    searches = {phrase: _search(shelf, phrase, count) for phrase, count in wanted.items()}
    look_ahead(list(searches.values()), misses=False)
    served = {phrase: _served(shelf, phrase, search) for phrase, search in searches.items()}
    return served | _missing(shelf, [one for one in served.values() if not one.at])


def _search(shelf: SearchScope, phrase: str, count: int) -> Search:
    facts = replace(shelf.phrases.facts[phrase], quantity=count)
    answers = shelf.phrases.asks[phrase].answers(shelf.phrases.rules, facts)
    search = Search(shelf.lookup.shelf, answers)
    if shelf.machine:
        at_machine = [place for place in search.stations if place.machine == shelf.machine]
        search.stations = at_machine
    return search


def _missing(shelf: SearchScope, unserved: Sequence[Served]) -> dict[str, Served]:
    """What is missing for the phrases that nothing serves."""
    asks = [(one.phrase, one.search.case.facts) for one in unserved]
    missing = {}
    for one, answer in zip(unserved, find_each(shelf.lookup, asks), strict=True):
        if not isinstance(answer, Found):
            raise answer
        missing[one.phrase] = replace(one, missing=answer)
    return missing


def _served(shelf: SearchScope, phrase: str, search: Search) -> Served:
    picks = ranked(search.candidates(), search.case)
    if not picks:
        picks = ranked(planned(search)[0], search.case)
    picks = picks or _in_time(shelf, phrase, search)
    # Few changes are never worth a punch over a die of another seat.
    picks = [pick for pick in picks if not pick.tooling.mixed] or picks
    # What is promised to another job is taken only where nothing else would do, and said.
    free = [pick for pick in picks if not {tool.tag for tool in pick.tools} & set(shelf.promised)]
    return Served(phrase, search, _by_machine(search, free or picks, shelf.own))


def _in_time(shelf: SearchScope, phrase: str, search: Search) -> list[Candidate]:
    """The answers with tools of other sites that can be here before the work is due."""
    left = shelf.days_left.get(phrase)
    return [
        pick
        for pick in (from_elsewhere(search) if search.shelf.beyond is not None else ())
        if left is None or max(tool.site_days for tool in pick.tools) <= left
    ]


def _beside(search: Search, pick: Candidate) -> tuple[Tool, ...]:
    """What stands at a pick's station and cuts with its tool."""
    lead = pick.tools[0] if pick.tools else None
    if lead is None or lead.role not in CUTS_TOGETHER:
        return ()
    standing = search.shelf.standing(lead.role, lead.profile)
    own = next((card for card in standing if card.tag == lead.tag), None)
    return () if own is None else tuple(search.tools(cutting_with(own, standing)))


def _by_machine(
    search: Search, picks: Sequence[Candidate], own: frozenset[str]
) -> dict[str, tuple[Option, ...]]:
    """At each machine the answers as good as its best, each set of pieces once.

    A machine that only serves with a caution is left out where another serves without.
    """
    calm = any(not heavy_cautions(pick) for pick in picks)
    at: dict[str, dict[tuple[object, ...], Option]] = {}
    best: dict[str, int] = {}
    for rank, pick in enumerate(picks):
        told = heavy_cautions(pick)
        machine = pick.tooling.station.machine
        if (calm and told) or told > best.setdefault(machine, told):
            continue
        key = (station_traits(pick.tooling.station), frozenset(tool.tag for tool in pick.tools))
        options = at.setdefault(machine, {})
        if len(options) < MOST_OPTIONS:
            options.setdefault(key, Option(pick, rank, _beside(search, pick), own))
    return {machine: tuple(options.values()) for machine, options in at.items()}


def heavy_cautions(pick: Candidate) -> int:
    """Cautions beside that of an edge that will not last: the plan swaps or grinds in time."""
    return sum(finding.rule != "lasting" for finding in cautions(pick.findings))


def station_traits(station: Station) -> tuple[object, ...]:
    """What makes two stations of a machine as good as one another."""
    return (
        station.work,
        tuple(sorted(station.seats)),
        station.rated_force_n,
        station.derate,
        station.throat_mm,
        station.daylight_mm,
        station.stroke_mm,
    )


def fewest_pieces(
    options: Mapping[str, Sequence[Option]], taken: Collection[str] = ()
) -> dict[str, Option]:
    """One option for each phrase so that few pieces are needed together.

    ``taken`` are pieces that work elsewhere meanwhile: they are used only where nothing else will.
    """
    free = {phrase: _without(some, taken) for phrase, some in options.items()}
    starts = [_cover(free), {phrase: some[0] for phrase, some in free.items()}]
    for chosen in starts:
        for _pass in range(_PASSES):
            if not _improved(free, chosen):
                break
    return min(starts, key=_cost)


def _cost(chosen: Mapping[str, Option]) -> tuple[int, int]:
    """Pieces to put in, then how far down the ranking."""
    new = set().union(*(option.new for option in chosen.values()))
    return len(new), sum(option.rank for option in chosen.values())


def _without(options: Sequence[Option], taken: Collection[str]) -> list[Option]:
    least = min(len(option.tags & set(taken)) for option in options)
    return [option for option in options if len(option.tags & set(taken)) == least]


def _cover(options: Mapping[str, Sequence[Option]]) -> dict[str, Option]:
    chosen: dict[str, Option] = {}
    have: set[str] = set()
    keyed: dict[tuple[int, frozenset[str]], dict[str, Option]] = {}
    for phrase, some in options.items():
        for option in some:
            keyed.setdefault((option.station.id, option.tags), {}).setdefault(phrase, option)
    while len(chosen) < len(options):
        left = [
            (key, {phrase: option for phrase, option in of.items() if phrase not in chosen})
            for key, of in keyed.items()
        ]
        _key, best = min(
            ((key, of) for key, of in left if of),
            key=lambda entry: (
                len(next(iter(entry[1].values())).new - have) / len(entry[1]),
                sum(option.rank for option in entry[1].values()) / len(entry[1]),
                sorted(entry[0][1]),
            ),
        )
        chosen |= best
        have |= set().union(*(option.new for option in best.values()))
    return {phrase: chosen[phrase] for phrase in options}


def _improved(options: Mapping[str, Sequence[Option]], chosen: dict[str, Option]) -> bool:
    used = Counter(tag for option in chosen.values() for tag in option.new)
    changed = False
    for phrase, some in options.items():
        now = chosen[phrase]
        used.subtract(now.new)
        best = min(
            some, key=lambda option: (sum(used[tag] == 0 for tag in option.new), option.rank)
        )
        if _new(best, used) < _new(now, used):
            chosen[phrase], changed = best, True
        used.update(chosen[phrase].new)
    return changed


def _new(option: Option, used: Mapping[str, int]) -> int:
    return sum(used.get(tag, 0) == 0 for tag in option.new)


def tags_taken(options: Iterable[Option]) -> set[str]:
    """Every piece that some options take."""
    return set().union(*(option.tags for option in options))


def _is_second(role: str) -> bool:
    return role.startswith(_SECOND)
