"""What the drawings say of the features that are planned: metal beside them, room for tooling.

A feature that a drawing refuses whatever tool is taken is not planned; where only some stations
cannot come to it, the others are taken. What allows with a caution is said with the plan.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf

from crib.desk.parts.opening_checks import PartPlan, check_part, reach_findings
from crib.desk.parts.shown_phrase import part_system
from crib.desk.plan.phrase_picks import Option
from crib.desk.plan.planned_parts import PlanFeature, PlanJob, PlanPart
from crib.features.common.findings import Finding
from crib.features.holes.lying import Stands
from crib.trade.shop.shop_rules import Rules

NO_REACH = "no station that would make it can come to it"
_Sizes = tuple[float | None, float | None, float | None]
_Reached = tuple[int, int, _Sizes, Stands | None, tuple[complex, ...]]
"""Drawing, number of the feature, what is known of throat, die and nut, the keys and the hits."""


@dataclass(frozen=True, slots=True)
class Told:
    """What a drawing says of some features of one phrase on a part; ``verdict`` as of findings."""

    job: str
    mark: str
    phrase: str
    each: int
    verdict: str
    rule: str
    text: str


@dataclass
class Drawings:
    """The drawings of a plan's parts, each worked out once."""

    rules: Rules
    _plans: dict[int, PartPlan] = field(default_factory=dict)
    _findings: dict[_Reached, tuple[Finding, ...]] = field(default_factory=dict)
    _reached: dict[tuple[int, str, tuple[int, ...], int, frozenset[str]], list[Told]] = field(
        default_factory=dict
    )

    def judge(self, jobs: Sequence[PlanJob]) -> tuple[list[PlanJob], list[Told]]:
        """The jobs without the features that are refused, and what is said of the features."""
        told: list[Told] = []
        kept = []
        for job in jobs:
            parts = [self._judged(part, told) for part in job.parts]
            kept.append(replace(job, parts=tuple(part for part in parts if part.features)))
        return kept, told

    def _judged(self, part: PlanPart, told: list[Told]) -> PlanPart:
        if part.drawn is None:
            return part
        plan = self._plan(part)
        found = check_part(plan, self._speaking(plan))
        features = []
        for feature in part.features:
            said = [[f for f in found[number] if f.verdict != "ok"] for number in feature.drawn]
            stopped = [any(f.verdict == "refuse" for f in some) for some in said]
            told += _counted(part, feature, (f for some in said for f in some))
            kept = tuple(n for n, stop in zip(feature.drawn, stopped, strict=True) if not stop)
            if kept:
                features.append(replace(feature, each=len(kept), drawn=kept))
        return replace(part, features=tuple(features))

    def reaches(self, part: PlanPart, feature: PlanFeature, option: Option) -> bool:
        """Whether a station and its die come to a feature wherever it is on the part."""
        return all(one.verdict != "refuse" for one in self.reach(part, feature, option))

    def reach(self, part: PlanPart, feature: PlanFeature, option: Option) -> list[Told]:
        """What station and die have to say to a feature wherever it is on the part."""
        if part.drawn is None or option.candidate.tooling.station.work != "punch":
            return []
        key = (id(part.drawn), feature.phrase, feature.drawn, option.station.id, option.tags)
        if key not in self._reached:
            self._reached[key] = list(_counted(part, feature, self._reach(part, feature, option)))
        return self._reached[key]

    def within_reach(
        self, jobs: Sequence[PlanJob], options: Mapping[str, Sequence[Option]]
    ) -> tuple[list[PlanJob], list[Told]]:
        """The jobs without the features that no option comes to, and why the best one does not."""
        told: list[Told] = []
        kept = []
        for job in jobs:
            parts = [self._parted(part, options, told) for part in job.parts]
            kept.append(replace(job, parts=tuple(part for part in parts if part.features)))
        return kept, told

    def _parted(
        self, part: PlanPart, options: Mapping[str, Sequence[Option]], told: list[Told]
    ) -> PlanPart:
        if part.drawn is None:
            return part
        features = []
        for feature in part.features:
            some = options.get(feature.phrase, ())
            stopped = {n: self._stopped(part, n, some) for n in feature.drawn}
            why = Counter(found for found in stopped.values() if found is not None)
            told += [
                Told(
                    part.job, part.mark, feature.phrase, each, "refuse", rule, f"{NO_REACH}; {text}"
                )
                for (rule, text), each in why.items()
            ]
            left = tuple(n for n, found in stopped.items() if found is None)
            if left:
                features.append(replace(feature, each=len(left), drawn=left))
        return replace(part, features=tuple(features))

    def _stopped(
        self, part: PlanPart, number: int, options: Sequence[Option]
    ) -> tuple[str, str] | None:
        """Why no option comes to a feature, in the words of the one that is least short of it."""
        first: tuple[float, str, str] | None = None
        for option in options:
            if option.candidate.tooling.station.work != "punch":
                return None
            refused = [f for f in self._found(part, number, option) if f.verdict == "refuse"]
            if not refused:
                return None
            short = max((one.limit or 0.0) - (one.value or 0.0) for one in refused)
            text = f"nearest to it is {option.station.label}: {refused[0].text}"
            first = min(first or (inf, "", ""), (short, refused[0].rule, text))
        return None if first is None else first[1:]

    def _reach(self, part: PlanPart, feature: PlanFeature, option: Option) -> Iterator[Finding]:
        for number in feature.drawn:
            yield from (f for f in self._found(part, number, option) if f.verdict != "ok")

    def _found(self, part: PlanPart, number: int, option: Option) -> tuple[Finding, ...]:
        """What station and die have to say to one feature of a part."""
        tools = [tool for pair in option.pairs for tool in pair.tools if tool.seat]
        dies = [one.seat.die_diameter_mm for one in tools if one.role == "die" and one.seat]
        nuts = [one.seat.nut_diameter_mm for one in tools if one.role == "punch" and one.seat]
        sizes = (option.station.throat_mm, _widest(dies), _widest(nuts))
        stands, hits = option.stands, option.hit_places
        key = (id(part.drawn), number, sizes, stands, hits)
        if key not in self._findings:
            plan = self._plan(part)
            throat_mm, die_mm, nut_mm = sizes
            self._findings[key] = reach_findings(
                plan,
                plan.part.features[number],
                self._speaking(plan),
                throat_mm=throat_mm,
                die_diameter_mm=die_mm,
                above_diameter_mm=nut_mm,
                stands=stands,
                hits=hits,
            )
        return self._findings[key]

    def _speaking(self, plan: PartPlan) -> Rules:
        """The shop's rules in the unit in which the part's sizes are shown."""
        return self.rules.speaking(part_system(plan.part, self.rules.system))

    def _plan(self, part: PlanPart) -> PartPlan:
        assert part.drawn is not None
        return self._plans.setdefault(id(part.drawn), PartPlan(part.drawn))


def _widest(diameters_mm: Sequence[float | None]) -> float | None:
    """The widest of some; None as soon as one is not known."""
    known = [one for one in diameters_mm if one is not None]
    return max(known, default=None) if len(known) == len(diameters_mm) else None


def _counted(part: PlanPart, feature: PlanFeature, found: Iterable[Finding]) -> Iterator[Told]:
    """The findings, those that say the same once with how many features of a part they are of."""
    counted = Counter((one.verdict, one.rule, one.text) for one in found)
    for (verdict, rule, text), each in counted.items():
        yield Told(part.job, part.mark, feature.phrase, each, verdict, rule, text)
