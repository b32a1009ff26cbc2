"""A corner cut off a plate: ``corner 3 x 3 thru 1/4``, along one edge by along the other.

A corner is cut from two edges, so a set cuts any size up to its own. A larger one is made in
several hits, each of them a corner again: the outer one first, the inner one last.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any, ClassVar

from crib.features.common.ask import Circumstances, FeatureKind, Need, Reading, read_plate
from crib.features.common.bite_checks import overlap_finding
from crib.features.common.findings import Finding
from crib.features.common.hit_plan import Hit, HitPlan
from crib.features.common.phrase import Words
from crib.features.common.sizes import size_word
from crib.features.common.speech import Speech
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.edges.set_checks import CP, Cut, corner_finding, cut_force_n, within
from crib.features.edges.set_features import ANY_MM, MOST_HITS, SetFeature, set_need
from crib.trade.common.verdicts import Verdict, exceeds
from crib.trade.metal import hits
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.picture import Picture

EXAMPLE = "corner 3 x 3 thru 1/4"
Edges = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """A set held one way: its two sizes, straight or with the plate turned face down."""

    width_mm: float
    depth_mm: float
    turned: bool = False


@dataclass(frozen=True)
class Corner(SetFeature):
    """A corner cut square."""

    width_mm: float
    depth_mm: float

    feature: ClassVar[str] = "corner"
    work: ClassVar[str] = "corner_notch"

    @property
    def cut(self) -> Cut:
        """Both inner sides; a list goes by the longer one."""
        longer_mm = max(self.width_mm, self.depth_mm)
        return Cut("corner", longer_mm, self.width_mm + self.depth_mm)

    def sizes_phrase(self, system: System) -> str:
        """Along one edge x along the other."""
        return f"{size_word(self.width_mm, system)} x {size_word(self.depth_mm, system)}"

    def sizes_json(self) -> dict[str, Any]:
        """Along one edge as the size, along the other as the depth."""
        return {"size_mm": self.width_mm, "depth_mm": self.depth_mm}

    def judge_feature(self, rules: Rules, facts: Circumstances) -> tuple[Finding, ...]:
        """Its inner corner should be curved."""
        return (corner_finding(facts, rules),)

    def need(self, rules: Rules) -> Need:
        """A set that is large enough one way round or the other."""
        aim_mm = min(self.width_mm, self.depth_mm)
        least_mm = aim_mm - rules.number("size.tolerance_mm")
        return set_need("corner", self.shape, least_mm, ANY_MM, self.width_mm, "large enough")

    def plan_needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """Corner sets of any size that a few hits could do with."""
        del rules, facts
        aim_mm = max(self.width_mm, self.depth_mm)
        least_mm = min(self.width_mm, self.depth_mm) / MOST_HITS
        return (set_need("corner", self.shape, least_mm, ANY_MM, aim_mm, "smaller than it"),)

    def set_findings(self, tool: Tool, rules: Rules) -> Iterator[Finding]:
        """Both sizes must reach, one way round or the other."""
        if tool.depth_mm is None:
            text = "the set has no depth entered: measure it and enter it"
            yield Finding("size", "refuse", text, None, self.depth_mm, "mm", "measured by the shop")
            return
        say = Speech(rules)
        tolerance_mm = rules.number("size.tolerance_mm")
        way = min(_ways(tool), key=self._short_mm)
        short_mm = self._short_mm(way)
        verdict: Verdict = "ok" if within(0.0, short_mm, rules) else "refuse"
        text = f"{_by(self.width_mm, self.depth_mm, say)}, the set takes"
        text += f" {_by(way.width_mm, way.depth_mm, say)}"
        text += " with the plate face down" if way.turned else ""
        yield Finding("size", verdict, text, short_mm, tolerance_mm, "mm", CP)

    def turns(self, tool: Tool) -> bool:
        """Whether a set of two sizes does better with the plate face down."""
        return min(_ways(tool), key=self._short_mm).turned

    def one_hit(self, plan: HitPlan | None) -> Corner:
        """The corner of a single hit, of a plan or its own."""
        one = plan.asks[0] if plan else self
        return one if isinstance(one, Corner) else self

    def _short_mm(self, way: Way) -> float:
        return max(self.width_mm - way.width_mm, self.depth_mm - way.depth_mm, 0.0)

    def excess_mm(self, tool: Tool) -> float:
        """How much larger the set is on its two sides together."""
        return max(0.0, tool.width_mm + (tool.depth_mm or 0.0) - self.width_mm - self.depth_mm)

    def set_to_order(self, seat: Seat) -> Tool:
        """A set of the corner's own sizes."""
        return Tool(
            role="set",
            shape=self.shape,
            width_mm=self.width_mm,
            long_mm=self.width_mm,
            seat=seat,
            kind="corner set to order",
            to_order=True,
            profile="corner",
            depth_mm=self.depth_mm,
        )

    def order_sizes(self, tool: Tool, say: Speech) -> str:
        """Its least sizes along the two edges."""
        return f"square corner, at least {_by(tool.width_mm, tool.depth_mm or 0.0, say)}"

    def plans(
        self, smaller: Sequence[Tool], rules: Rules, facts: Circumstances
    ) -> Sequence[HitPlan]:
        """One plan for each size of set, the one with the fewest hits first."""
        made: dict[tuple[float, float], HitPlan] = {}
        for tool in smaller:
            plans = [self._plan(way, rules, facts) for way in _ways(tool)]
            fitting = [plan for plan in plans if plan and 1 < len(plan.hits) <= MOST_HITS]
            if fitting:
                size = (round(tool.width_mm, 1), round(tool.depth_mm or 0.0, 1))
                made.setdefault(size, min(fitting, key=lambda plan: len(plan.hits)))
        return sorted(made.values(), key=lambda plan: len(plan.hits))

    def _plan(self, way: Way, rules: Rules, facts: Circumstances) -> HitPlan | None:
        if not exceeds(min(way.width_mm, way.depth_mm), rules.number("hit.overlap_mm")):
            return None
        across = _far_edges(self.width_mm, way.width_mm, rules)
        inward = _far_edges(self.depth_mm, way.depth_mm, rules)
        one = replace(
            self,
            width_mm=min(self.width_mm, way.width_mm),
            depth_mm=min(self.depth_mm, way.depth_mm),
        )
        made = tuple(self._hits(across, inward, one, way))
        found = [_bite(made), *_overlaps(across, inward, way, rules)]
        return HitPlan((one,), made, tuple(found), self._text(across, inward, way, rules, facts))

    def _hits(self, across: Edges, inward: Edges, one: Corner, way: Way) -> Iterator[Hit]:
        """Each cell of the grid once its outer neighbours are gone."""
        widths, depths = _strips(across), _strips(inward)
        for number, (column, row) in enumerate(_in_l_order(len(across), len(inward)), 1):
            yield Hit(
                number,
                across[column] - one.width_mm / 2 - self.width_mm / 2,
                inward[row] - one.depth_mm / 2 - self.depth_mm / 2,
                widths[column] * depths[row] / (way.width_mm * way.depth_mm),
                turned=way.turned,
            )

    def _text(
        self, across: Edges, inward: Edges, way: Way, rules: Rules, facts: Circumstances
    ) -> str:
        say = Speech(rules)
        most_mm = max(_strips(across)) + max(_strips(inward))
        force = say.force(cut_force_n(most_mm, self.plate, rules, facts))
        stops = [
            f"{name} {', '.join(say.length(edge_mm) for edge_mm in edges)}"
            for name, edges in (("along one edge", across), ("along the other", inward))
        ]
        return (
            f"{len(across) * len(inward)} hits of a {_by(way.width_mm, way.depth_mm, say)} set in L"
            f" order, the outer corner first; stops {' and '.join(stops)};"
            f" each cuts at most {say.length(most_mm)} of edge ({force} flat-blade equivalent)"
        )

    def picture(
        self, tooling: ToolingSet, plan: HitPlan | None, rules: Rules, facts: Circumstances
    ) -> Picture:
        """The plate's corner, what is cut from it, and the set hit by hit."""
        from crib.features.edges.notch_picture import corner_picture

        return corner_picture(self, tooling, plan, rules, facts)


def _ways(tool: Tool) -> tuple[Way, ...]:
    if tool.depth_mm is None:
        return ()
    return (Way(tool.width_mm, tool.depth_mm), Way(tool.depth_mm, tool.width_mm, turned=True))


def _by(width_mm: float, depth_mm: float, say: Speech) -> str:
    return f"{say.length(width_mm).rsplit(' ', 1)[0]} x {say.length(depth_mm)}"


def _far_edges(length_mm: float, tool_mm: float, rules: Rules) -> Edges:
    """How far each hit reaches in, by even steps: no hit is left to cut a sliver."""
    if within(tool_mm, length_mm, rules):
        return (length_mm,)
    overlap_mm = rules.number("hit.overlap_mm")
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


def _overlaps(across: Edges, inward: Edges, way: Way, rules: Rules) -> Iterator[Finding]:
    shared = [
        tool_mm - (far - near)
        for edges, tool_mm in ((across, way.width_mm), (inward, way.depth_mm))
        for near, far in pairwise(edges)
    ]
    if shared:
        yield overlap_finding(min(shared), rules)


def read(words: Words, reading: Reading) -> Corner:
    """Read ``SIZE x SIZE thru THICKNESS [MATERIAL]``."""
    width_mm = words.take_length_mm(reading.system, "the corner's size along one edge", EXAMPLE)
    words.expect("x", EXAMPLE)
    depth_mm = words.take_length_mm(reading.system, "its size along the other edge", EXAMPLE)
    return Corner(read_plate(words, reading, EXAMPLE), width_mm, depth_mm)


FEATURE = FeatureKind("corner", EXAMPLE, read, "a corner off a plate: along its two edges")
