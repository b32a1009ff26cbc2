"""A corner larger than the set: hits in L order, each of them a corner again."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from crib.features.common.ask import Ask, Hit, HitPlan, Need, SeveralHits
from crib.features.common.bite_checks import overlap_finding
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool
from crib.features.edges.set_case import CP, SetCase
from crib.features.edges.set_features import ANY_MM, MOST_HITS, set_need
from crib.trade.common.verdicts import exceeds
from crib.trade.metal import hits

Edges = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class HeldWay:
    """A set held one way: its two sizes, straight or with the plate turned face down."""

    width_mm: float
    depth_mm: float
    turned: bool = False


@dataclass(frozen=True, slots=True)
class CornerHits(SeveralHits):
    """A corner by smaller sets; ``ask_of`` asks for what a set, held one way, cuts in one hit."""

    case: SetCase
    shape: str
    ask_of: Callable[[HeldWay], Ask]

    def needs(self) -> tuple[Need, ...]:
        """Corner sets of any size that a few hits could do with."""
        sides_mm = (self.case.width_mm, self.case.depth_mm)
        least_mm = min(sides_mm) / MOST_HITS
        text = "smaller than it"
        return (set_need("corner", self.shape, least_mm, ANY_MM, max(sides_mm), text),)

    def plans(self, smaller: Sequence[Tool]) -> Sequence[HitPlan]:
        """One plan for each size of set, the one with the fewest hits first."""
        made: dict[tuple[float, float], HitPlan] = {}
        for tool in smaller:
            plans = [self._plan(way) for way in ways_of(tool)]
            fitting = [plan for plan in plans if plan and 1 < len(plan.hits) <= MOST_HITS]
            if fitting:
                size = (round(tool.width_mm, 1), round(tool.depth_mm or 0.0, 1))
                made.setdefault(size, min(fitting, key=lambda plan: len(plan.hits)))
        return sorted(made.values(), key=lambda plan: len(plan.hits))

    def _plan(self, way: HeldWay) -> HitPlan | None:
        case = self.case
        if not exceeds(min(way.width_mm, way.depth_mm), case.rules.number("hit.overlap_mm")):
            return None
        across = _far_edges(case.width_mm, way.width_mm, case)
        inward = _far_edges(case.depth_mm, way.depth_mm, case)
        made = tuple(self._hits(across, inward, way))
        said = (_bite(made), *_overlaps(across, inward, way, case))
        ask = self.ask_of(way)
        return HitPlan((ask,), made, said, self._text(across, inward, way))

    def _hits(self, across: Edges, inward: Edges, way: HeldWay) -> Iterator[Hit]:
        """Each cell of the grid once its outer neighbours are gone."""
        width_mm, depth_mm = self.case.width_mm, self.case.depth_mm
        reach_mm, deep_mm = min(width_mm, way.width_mm), min(depth_mm, way.depth_mm)
        widths, depths = _strips(across), _strips(inward)
        for number, (column, row) in enumerate(_in_l_order(len(across), len(inward)), 1):
            yield Hit(
                number,
                across[column] - reach_mm / 2 - width_mm / 2,
                inward[row] - deep_mm / 2 - depth_mm / 2,
                widths[column] * depths[row] / (way.width_mm * way.depth_mm),
                turned=way.turned,
            )

    def _text(self, across: Edges, inward: Edges, way: HeldWay) -> str:
        say = self.case.say
        most_mm = max(_strips(across)) + max(_strips(inward))
        force = say.force(self.case.force_over_n(most_mm))
        stops = [
            f"{name} {', '.join(say.length(edge_mm) for edge_mm in edges)}"
            for name, edges in (("along one edge", across), ("along the other", inward))
        ]
        return (
            f"{len(across) * len(inward)} hits of a {by_text(way.width_mm, way.depth_mm, say)} set"
            f" in L order, the outer corner first; stops {' and '.join(stops)};"
            f" each cuts at most {say.length(most_mm)} of edge ({force} flat-blade equivalent)"
        )


def ways_of(tool: Tool) -> tuple[HeldWay, ...]:
    """Both ways to hold a set; none while its depth is not known."""
    if tool.depth_mm is None:
        return ()
    return (
        HeldWay(tool.width_mm, tool.depth_mm),
        HeldWay(tool.depth_mm, tool.width_mm, turned=True),
    )


def by_text(width_mm: float, depth_mm: float, say: Speech) -> str:
    """Along one edge by along the other."""
    return f"{say.length(width_mm).rsplit(' ', 1)[0]} x {say.length(depth_mm)}"


def _far_edges(length_mm: float, tool_mm: float, case: SetCase) -> Edges:
    """How far each hit reaches in, by even steps: no hit is left to cut a sliver."""
    if not exceeds(length_mm - tool_mm, case.tolerance_mm):
        return (length_mm,)
    overlap_mm = case.rules.number("hit.overlap_mm")
    count = len(hits.cover_length(length_mm, tool_mm, overlap_mm))
    step_mm = min(length_mm / count, tool_mm - overlap_mm)
    return tuple(length_mm - step_mm * (count - 1 - number) for number in range(count))


def _strips(edges: Edges) -> Edges:
    """What each hit newly cuts."""
    return tuple(far - near for near, far in pairwise((0.0, *edges)))


def _in_l_order(columns: int, rows: int) -> Iterator[tuple[int, int]]:
    """Shell by shell: along one edge, along the other, then the inner corner of the two."""
    for shell in range(max(columns, rows)):
        yield from ((shell, row) for row in range(min(shell, rows)) if shell < columns)
        yield from ((column, shell) for column in range(min(shell, columns)) if shell < rows)
        if shell < columns and shell < rows:
            yield (shell, shell)


def _bite(made: Sequence[Hit]) -> Finding:
    """A corner set takes any size up to its own, so a small bite is told and not refused."""
    least = min(hit.bite for hit in made)
    text = f"each hit is a corner again and cuts at least {100 * least:.0f} % of the set"
    return Finding("bite", "ok", text, least, None, "-", CP)


def _overlaps(across: Edges, inward: Edges, way: HeldWay, case: SetCase) -> Iterator[Finding]:
    shared = [
        tool_mm - (far - near)
        for edges, tool_mm in ((across, way.width_mm), (inward, way.depth_mm))
        for near, far in pairwise(edges)
    ]
    if shared:
        yield overlap_finding(min(shared), case.rules)
