"""Plans of several hits for slots and for rectangular openings, from smaller tools of the shelf.

A round or hexagonal hole has none: nibbling a bolt hole is not done on an ironworker, where each
hit beside the last leaves a scallop and pushes the punch into the die.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, product

from crib.features.common.ask import Ask, Hit, HitPlan, Need, SeveralHits
from crib.features.common.bite_checks import (
    bite_findings,
    bite_limits,
    cusp_finding,
    hit_words,
    overlap_finding,
    web_finding,
)
from crib.features.common.findings import Finding, cautions, refusals
from crib.features.common.speech import shape_and_size
from crib.features.common.tooling import Tool
from crib.features.holes.pair_case import PairCase
from crib.features.holes.pair_checks import judge_plate
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal.hits import bite_verdict
from crib.trade.metal.opening_hits import MOST_HITS, opening_layouts
from crib.trade.metal.shapes import Outline, Shape
from crib.trade.metal.slot_hits import Layout, ends_then_bridges, ends_then_middle, obround_chain

LEAST_SHARE = 1 / 3
"""A tool smaller than this share of an opening's width is not tried: it would be nibbling."""
MOST_GOOD, MOST_REFUSED = 4, 3

AskOf = Callable[[Outline, Sequence[Hit]], Ask]


@dataclass(frozen=True, slots=True)
class _Way:
    """One layout with the outlines of its tools, and how it goes in words."""

    layout: Layout
    outlines: tuple[Outline, ...]
    how: str


@dataclass(frozen=True, slots=True)
class OpeningHits(SeveralHits):
    """A slot or an opening by smaller punches; ``ask_of`` asks for the hits of one tool."""

    case: PairCase
    ask_of: AskOf

    def needs(self) -> tuple[Need, ...]:
        """Smaller punches, by the feature's outline."""
        return needs_for_plans(self.case)

    def plans(self, smaller: Sequence[Tool]) -> Iterable[HitPlan]:
        """The ways to make it; none where the plate or the code refuses it."""
        if not smaller or refusals(judge_plate(self.case)):
            return ()
        return plans_for(self.case, smaller, self.ask_of)


def needs_for_plans(case: PairCase) -> tuple[Need, ...]:
    """What smaller punches could make an outline in several hits.

    They are laid out for its very size: a tolerance wider than what the shop calls the same size
    does not count, a closer one does.
    """
    outline, slack_mm = case.outline, case.rules.number("size.tolerance_mm")
    if outline.corner_mm:
        # Side by side, rounded tools leave cusps along the sides and sharp ones sharp corners.
        return ()
    width_mm, long_mm = outline.width_mm, outline.length_mm
    exact = (
        max(width_mm - slack_mm, case.least_mm[0]),
        min(width_mm + slack_mm, case.most_mm[0]),
    )
    if outline.shape == "obround":
        straight_mm = long_mm - width_mm
        needs = [_need("obround", exact, (width_mm + slack_mm, long_mm - slack_mm), width_mm)]
        needs.append(_need("round", exact, exact, width_mm))
        if exceeds(straight_mm, width_mm):
            needs.append(
                _need("rectangle", exact, (width_mm - slack_mm, straight_mm + slack_mm), width_mm)
            )
            needs.append(_need("square", exact, exact, width_mm))
        return tuple(needs)
    if outline.shape in ("rectangle", "square"):
        smaller = (LEAST_SHARE * width_mm, width_mm + slack_mm)
        longer = (LEAST_SHARE * width_mm, long_mm + slack_mm)
        return (
            _need("rectangle", smaller, longer, width_mm),
            _need("square", smaller, smaller, width_mm),
        )
    return ()


def _need(
    shape: Shape, width: tuple[float, float], long: tuple[float, float], aim_mm: float
) -> Need:
    return Need("punch", shape, *width, *long, aim_mm, "smaller, for several hits")


def plans_for(case: PairCase, smaller: Sequence[Tool], ask_of: AskOf) -> Iterator[HitPlan]:
    """The plans for an outline that no limit refuses, the best first; if none, those that tell why.

    Each is worked out when it is looked at: the first is often enough.
    """
    tools = list(dict.fromkeys(_snapped(tool, case) for tool in smaller if not tool.corner_mm))
    slot = case.outline.shape == "obround"
    every = _slot_ways(case, tools) if slot else _box_ways(case, tools)
    ways = [way for way in every if 1 < len(way.layout.hits) <= MOST_HITS]
    good = 0
    telling: dict[frozenset[str], HitPlan] = {}
    for way in sorted(ways, key=lambda way: _order(case, way)):
        if good >= MOST_GOOD or (good and _refused(case, way.layout)):
            break
        plan = _plan(case, way, ask_of)
        why = frozenset(finding.rule for finding in refusals(plan.findings))
        if why:
            telling.setdefault(why, plan)
        else:
            good += 1
            yield plan
    if not good:
        yield from islice(telling.values(), MOST_REFUSED)


def _snapped(tool: Tool, case: PairCase) -> Outline:
    """A tool's outline; a size that is the feature's own within the tolerance counts as that."""
    slack_mm = case.rules.number("size.tolerance_mm")

    def snap(size_mm: float) -> float:
        for own_mm in (case.outline.width_mm, case.outline.length_mm):
            if not exceeds(abs(size_mm - own_mm), slack_mm):
                return own_mm
        return size_mm

    width_mm = snap(tool.width_mm)
    one_size = tool.shape in ("round", "square")
    return Outline(tool.outline.shape, width_mm, width_mm if one_size else snap(tool.long_mm))


def _slot_ways(case: PairCase, tools: Sequence[Outline]) -> Iterator[_Way]:
    """Chains and ends with bridges by one slot punch, and ends by one tool, middle by another."""
    long_mm, width_mm = case.outline.length_mm, case.outline.width_mm
    overlap_mm = case.rules.number("hit.overlap_mm")
    fitting = [tool for tool in tools if tool.width_mm == width_mm and tool.length_mm < long_mm]
    for tool in fitting:
        if tool.shape == "obround":
            chain = obround_chain(long_mm, width_mm, tool.length_mm)
            yield _Way(chain, (tool,), "side by side")
            bridged = ends_then_bridges(long_mm, width_mm, tool.length_mm)
            if bridged is not None:
                yield _Way(bridged, (tool,), "both ends first, then the middle")
    for end in (tool for tool in fitting if tool.shape in ("round", "obround")):
        middles = [tool for tool in fitting if tool != end and tool.shape != "round"]
        for middle, alone in product(middles, (False, True)):
            layout = ends_then_middle(
                long_mm,
                width_mm,
                end.length_mm,
                middle.length_mm,
                rounded=middle.shape == "obround",
                overlap_mm=overlap_mm,
                alone=alone,
            )
            if layout is not None:
                yield _Way(layout, (end, middle), "both ends first, then the middle")


def _box_ways(case: PairCase, tools: Sequence[Outline]) -> list[_Way]:
    """Grids of one tool, as it stands and turned; when none bites enough, those that tell why."""
    limits = bite_limits(case.rules)
    least = min(limits.bridge_refuse, limits.chain_refuse)
    for least_bite in (least, 0.0):
        ways = [way for tool in tools for way in _boxes(case, tool, least_bite)]
        if ways:
            return ways
    return []


def _boxes(case: PairCase, tool: Outline, least_bite: float) -> Iterator[_Way]:
    long_mm, width_mm = case.outline.length_mm, case.outline.width_mm
    overlap_mm = case.rules.number("hit.overlap_mm")
    sides = (tool.length_mm, tool.width_mm)
    for along_mm, across_mm in dict.fromkeys((sides, sides[::-1])):
        for layout in opening_layouts(
            long_mm, width_mm, along_mm, across_mm, overlap_mm, least_bite
        ):
            first = "whole hits first, then between" if layout.web_mm else "side by side"
            yield _Way(layout, (tool,), first)


def _plan(case: PairCase, way: _Way, ask_of: AskOf) -> HitPlan:
    hits = tuple(
        Hit(
            number=number,
            x_mm=placed.x_mm,
            y_mm=placed.y_mm,
            bite=bite.share,
            kind=bite.kind,
            pair=placed.tool,
            turned=exceeds(placed.across_mm, placed.along_mm),
        )
        for number, (placed, bite) in enumerate(
            zip(way.layout.hits, way.layout.bites, strict=True), 1
        )
    )
    findings = tuple(_findings(case, way.layout, hits))
    asks = tuple(
        ask_of(outline, [hit for hit in hits if hit.pair == number])
        for number, outline in enumerate(way.outlines)
    )
    governing = next(iter([*refusals(findings), *cautions(findings), *findings]))
    how = _how(case, way, hits)
    return HitPlan(asks, hits, findings, how, way.layout.cusp_mm, governing)


def _findings(case: PairCase, layout: Layout, hits: Sequence[Hit]) -> Iterator[Finding]:
    yield from bite_findings(hits, case.rules)
    yield overlap_finding(layout.overlap_mm, case.rules)
    if layout.web_mm is not None:
        yield web_finding(layout.web_mm, case.plate.thickness_mm, case.rules)
    if layout.cusp_mm > 0:
        yield cusp_finding(layout.cusp_mm, case.rules)


def _how(case: PairCase, way: _Way, hits: Sequence[Hit]) -> str:
    """What is done with which tools."""
    tools = " and ".join(
        shape_and_size(case.say, tool.shape, tool.width_mm, tool.length_mm) for tool in way.outlines
    )
    return f"{hit_words(hits)} with {tools}, {way.how}"


def _order(case: PairCase, way: _Way) -> tuple[int, int, int, int, float, str]:
    """Not refused, fewest cautions, one pair, few hits, deep bites."""
    verdicts = [*_verdicts(case, way.layout)]
    return (
        verdicts.count("refuse"),
        verdicts.count("caution"),
        len(way.outlines),
        len(way.layout.hits),
        -round(min(bite.share for bite in set(way.layout.bites)), 6),
        way.how,
    )


def _refused(case: PairCase, layout: Layout) -> bool:
    return "refuse" in _verdicts(case, layout)


def _verdicts(case: PairCase, layout: Layout) -> Iterator[Verdict]:
    """What the findings of a layout would say, without their words: there are many layouts."""
    limits = bite_limits(case.rules)
    yield from {bite_verdict(bite.kind, bite.share, limits)[0] for bite in set(layout.bites)}
    least_mm = case.rules.number("hit.web_share") * case.plate.thickness_mm
    if layout.web_mm is not None and falls_short(layout.web_mm, least_mm):
        yield "refuse"
    if layout.cusp_mm > 0:
        yield "refuse" if exceeds(layout.cusp_mm, case.rules.number("hit.cusp_mm")) else "caution"
    if falls_short(layout.overlap_mm, case.rules.number("hit.overlap_mm")):
        yield "refuse"
