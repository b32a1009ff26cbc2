"""What the features share that a matched set cuts from an edge: notch, vee and corner.

A kind is an ask that says how its phrase reads, and answers that say which set suits it and what
its sizes say.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from crib.features.common.ask import Answers, HitPlan, Need, Workaround
from crib.features.common.case import Circumstances, Plate
from crib.features.common.chain_checks import rating_figures
from crib.features.common.findings import Finding
from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading
from crib.features.common.sizes import size_word
from crib.features.common.speech import Speech
from crib.features.common.spoken import RADIUS_WORDS
from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import EnvelopeRow, Seat, Tool, ToolingSet
from crib.features.edges.set_case import SetCase, SetStroke
from crib.features.edges.set_checks import chain_findings, material_findings
from crib.trade.common.verdicts import remains
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.corner_radius import SaidRadius
    from crib.features.common.picture import Picture, Shape

ANY_MM = 1e6
"""Larger than any set: a size that a need does not look at."""

MOST_HITS = 12
"""More hits than this are no plan: a saw is quicker."""


@dataclass(frozen=True)
class SetFeature(ABC):
    """Something cut from the edge of a plate by a matched set."""

    plate: Plate
    corner_radius_mm: float = field(default=0.0, kw_only=True)

    feature: ClassVar[str] = ""
    work: ClassVar[str] = ""
    shape: ClassVar[str] = "rectangle"

    @property
    @abstractmethod
    def cut(self) -> SetStroke:
        """What one hit cuts."""

    @abstractmethod
    def sizes_phrase(self, system: System) -> str:
        """The size part of the phrase."""

    @abstractmethod
    def sizes_json(self) -> dict[str, Any]:
        """The sizes for programs, mm and degrees."""

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        radius_mm = self.corner_radius_mm
        rounded = f" radius {size_word(radius_mm, system)}" if radius_mm else ""
        return f"{self.feature} {self.sizes_phrase(system)}{rounded} {self.plate.phrase(system)}"

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, SI."""
        return {
            "feature": self.feature,
            "shape": self.shape,
            **self.sizes_json(),
            **({"corner_radius_mm": self.corner_radius_mm} if self.corner_radius_mm else {}),
            "thickness_mm": self.plate.thickness_mm,
            "material": self.plate.material.name,
            "material_assumed": self.plate.assumed,
        }

    def rounded_ways(self, case: SetCase) -> Iterator[Workaround]:
        """What does instead of a set with a rounded point: drill it, and saw."""
        drilled = case.say.size(2 * case.corner_radius_mm)
        yield Workaround(f"drill its point {drilled} first, then saw both legs", None)

    @abstractmethod
    def answers(self, rules: Rules, facts: Circumstances) -> SetAnswers[SetFeature]:
        """What there is to say of a set for it."""


@dataclass(frozen=True)
class SquareSetFeature(SetFeature):
    """Something with square corners: its width along the edge, and its depth."""

    width_mm: float
    depth_mm: float

    def sizes_phrase(self, system: System) -> str:
        """Along one edge x along the other, or into the plate."""
        return f"{size_word(self.width_mm, system)} x {size_word(self.depth_mm, system)}"

    def case(self, rules: Rules, facts: Circumstances) -> SetCase:
        """What the rules look at."""
        sizes_mm = (self.width_mm, self.depth_mm, self.corner_radius_mm)
        return SetCase(self.plate, rules, facts, self.cut, *sizes_mm)

    def sizes_json(self) -> dict[str, Any]:
        """Along the edge as the size, and the depth."""
        return {"size_mm": self.width_mm, "depth_mm": self.depth_mm}

    def rounded_ways(self, case: SetCase) -> Iterator[Workaround]:
        """Drill the inner corners, then two cuts of sharp sets that leave the rounds whole.

        One is as wide and less deep by the radius, the other as deep and narrower.
        """
        radius_mm, say = case.corner_radius_mm, case.say
        sides = 2 if self.feature == "notch" else 1
        narrow_mm, low_mm = self.width_mm - sides * radius_mm, self.depth_mm - radius_mm
        if not (remains(narrow_mm) and remains(low_mm)):
            return
        wide = replace(self, depth_mm=low_mm, corner_radius_mm=0.0)
        deep = replace(self, width_mm=narrow_mm, corner_radius_mm=0.0)
        two = " and ".join(one.sizes_phrase(say.system) for one in (wide, deep))
        corners = "both inner corners" if sides == 2 else "the inner corner"
        drilled = say.size(2 * radius_mm)
        text = f"drill {corners} {drilled} first, then cut {two}: no sharp one is left"
        yield Workaround(text, wide.phrase(say.system), 30)


SetAsk = TypeVar("SetAsk", bound=SetFeature, covariant=True)


class SetAnswers(Answers[SetAsk, SetCase], ABC):
    """What there is to say of a matched set for something at an edge."""

    @property
    @abstractmethod
    def need(self) -> Need:
        """The sets whose width could serve in one hit."""

    @abstractmethod
    def set_findings(self, tool: Tool) -> Iterator[Finding]:
        """What the sizes of a set say."""

    @abstractmethod
    def excess_mm(self, tool: Tool) -> float:
        """How much larger a set is than it need be."""

    @abstractmethod
    def shapes(self, tooling: ToolingSet, plan: HitPlan | None) -> Iterable[Shape]:
        """What is drawn of the edge, what is cut from it, and the set hit by hit."""

    def needs(self) -> tuple[Need, ...]:
        """One matched set."""
        return (self.need,)

    def judge(self, tooling: ToolingSet) -> list[Finding]:
        """What the rules say of a set in a station."""
        said = [*material_findings(self.case)]
        tool = tooling.tool("set")
        if tool is not None:
            said += self.set_findings(tool)
            if tool.corner_radius_mm or self.case.corner_radius_mm:
                said += self._corners(tool)
        said += chain_findings(self.case, tooling)
        return [*said, *self.feature_findings]

    def _corners(self, tool: Tool) -> Iterator[Finding]:
        """Whether the set leaves the inner corners that are wanted."""
        from crib.features.common.corner_radius import radius_finding

        own_mm = tool.corner_radius_mm or 0.0
        found = radius_finding("the set", own_mm, self.case.corner_radius_mm, self.case.say)
        if found is not None:
            yield found

    def closeness_mm(self, tooling: ToolingSet) -> float:
        """How much larger the set is than it need be."""
        tool = tooling.tool("set")
        return 0.0 if tool is None else self.excess_mm(tool)

    def figures(self, tooling: ToolingSet) -> dict[str, float]:
        """Length of cut, the force of a flat blade over it, and the load where it is known."""
        force_n = self.case.force_n
        made = {"hits": 1.0, "force_kn": force_n / 1000, "cut_mm": self.case.cut.length_mm}
        return made | rating_figures(tooling, force_n)

    def ideal(self, seat: Seat, role: str, beside: Mapping[str, Tool]) -> Tool | None:
        """The set one would order for a seat."""
        return self.set_to_order(seat) if role == "set" else None

    def set_to_order(self, seat: Seat) -> Tool:
        """The set one would order in a seat: of what is cut, in its own sizes."""
        return Tool(
            role="set",
            shape=self.ask.shape,
            width_mm=self.case.width_mm,
            long_mm=self.case.width_mm,
            seat=seat,
            kind=f"{self.ask.feature} set to order",
            to_order=True,
            profile=self.ask.feature,
            depth_mm=self.case.depth_mm,
            corner_radius_mm=self.case.corner_radius_mm or None,
        )

    def order_spec(self, tool: Tool, tooling: ToolingSet) -> ToolSpec:
        """The set with the cut that its list of proven sizes must cover."""
        cut, plate = self.case.cut, self.case.plate
        name, depth_mm = plate.material.name, self.case.depth_mm
        proven = EnvelopeRow(cut.operation, 0.0, cut.size_mm, plate.thickness_mm, name, depth_mm)
        return replace(super().order_spec(tool, tooling), envelope=(proven,))

    def workarounds(self, refused: frozenset[str]) -> list[Workaround]:
        """Another machine, saw, thermal cut, mill: what cuts an edge without the set."""
        feature, ways = self.ask.feature, []
        if refused & {"force", "envelope", "rating", "daylight"}:
            text = f"the next machine: one whose plate lists this {feature}"
            ways.append(Workaround(text, None, 20))
        if "material" not in refused:
            if self.case.corner_radius_mm:
                ways += self.ask.rounded_ways(self.case)
            text = f"drill the inner corners and saw the {feature} between them"
            if feature == "vee":
                text = "saw the vee along its two legs"
            ways.append(Workaround(text, None, 40))
        text = "cut it thermally (plasma or oxygen) and grind, where code and engineer allow"
        ways.append(Workaround(text, None, 50))
        ways.append(Workaround(f"mill the {feature}", None, 60))
        ways.append(Workaround("have it cut outside: ask price, freight and days", None, 70))
        return ways

    def picture(self, tooling: ToolingSet, plan: HitPlan | None) -> Picture:
        """The edge with what is cut from it, and the set where it stands at each hit."""
        from crib.features.common.picture import Picture

        tool, title = tooling.tool("set"), tooling.station.label
        if tool is not None:
            title = f"{tool.tag} in {title}"
        told = [finding.text for finding in self.feature_findings]
        notes = [plan.text, *told] if plan else told
        return Picture(title, tuple(self.shapes(tooling, plan)), tuple(notes))


def set_need(
    feature: str,
    shape: str,
    least_mm: float,
    most_mm: float,
    aim_mm: float,
    text: str,
) -> Need:
    """A need for a set by its width only: its other sizes are for the rules."""
    return Need("set", shape, least_mm, most_mm, 0.0, ANY_MM, aim_mm, text, feature)


@dataclass(frozen=True, slots=True)
class InnerRadius:
    """The radius of inner corners as a phrase says it; none said is sharp."""

    said: SaidRadius | None
    reading: Reading
    example: str

    def within(self, most_mm: float) -> float:
        """The radius [mm], 0 for sharp corners.

        Raises:
            BadPhrase: for one above the most that fits.
        """
        if self.said is None:
            return 0.0
        too_large = self.said.too_large(most_mm, Speech(self.reading.rules), self.example)
        if too_large is not None:
            raise too_large
        return self.said.radius_mm


def take_inner_radius(words: Words, reading: Reading, example: str) -> InnerRadius:
    """Take the radius of the inner corners out of a phrase; most are sharp and say none.

    Raises:
        BadPhrase: for a radius that cannot be read.
    """
    if not any(word.plain in RADIUS_WORDS for word in words.rest()):
        return InnerRadius(None, reading, example)
    from crib.features.common.corner_radius import take_radius

    return InnerRadius(take_radius(words, reading, example), reading, example)
