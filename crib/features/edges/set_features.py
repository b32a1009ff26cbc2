"""What the features share that a matched set cuts from an edge: notch, vee and corner.

A kind is a subclass that says how its phrase reads, which set suits it and what one hit cuts.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from crib.features.common.ask import Circumstances, Need, Plate, Workaround
from crib.features.common.chain_checks import weakest_link
from crib.features.common.findings import Finding
from crib.features.common.one_hit import OneHit
from crib.features.common.pair_wear import hit_severity
from crib.features.common.speech import Speech
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.edges.set_checks import Cut, chain_findings, cut_force_n, material_findings
from crib.trade.metal import force
from crib.trade.shop.shop_rules import Rules
from crib.units import System

ANY_MM = 1e6
"""Larger than any set: a size that a need does not look at."""

MOST_HITS = 12
"""More hits than this are no plan: a saw is quicker."""


@dataclass(frozen=True)
class SetFeature(OneHit, ABC):
    """Something cut from the edge of a plate by a matched set."""

    plate: Plate

    feature: ClassVar[str] = ""
    work: ClassVar[str] = ""
    shape: ClassVar[str] = "rectangle"

    @property
    @abstractmethod
    def cut(self) -> Cut:
        """What one hit cuts."""

    @abstractmethod
    def sizes_phrase(self, system: System) -> str:
        """The size part of the phrase."""

    @abstractmethod
    def sizes_json(self) -> dict[str, Any]:
        """The sizes for programs, mm and degrees."""

    @abstractmethod
    def need(self, rules: Rules) -> Need:
        """The sets whose width could serve in one hit."""

    @abstractmethod
    def set_findings(self, tool: Tool, rules: Rules) -> Iterator[Finding]:
        """What the sizes of a set say."""

    @abstractmethod
    def excess_mm(self, tool: Tool) -> float:
        """How much larger a set is than it need be."""

    @abstractmethod
    def set_to_order(self, seat: Seat) -> Tool:
        """The set one would order in a seat."""

    @abstractmethod
    def order_sizes(self, tool: Tool, say: Speech) -> str:
        """The sizes of a set as an order line says them."""

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        return f"{self.feature} {self.sizes_phrase(system)} {self.plate.phrase(system)}"

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, SI."""
        return {
            "feature": self.feature,
            "shape": self.shape,
            **self.sizes_json(),
            "thickness_mm": self.plate.thickness_mm,
            "material": self.plate.material.name,
            "material_assumed": self.plate.assumed,
        }

    def needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """One matched set."""
        del facts
        return (self.need(rules),)

    def judge(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> list[Finding]:
        """What the rules say of a set in a station."""
        found = [*material_findings(self.plate, self.cut.operation)]
        tool = tooling.tool("set")
        if tool is not None:
            found += self.set_findings(tool, rules)
        found += chain_findings(self.cut, self.plate, tooling, rules, facts)
        return [*found, *self.judge_feature(rules, facts)]

    def closeness_mm(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> float:
        """How much larger the set is than it need be."""
        del rules, facts
        tool = tooling.tool("set")
        return 0.0 if tool is None else self.excess_mm(tool)

    def figures(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> dict[str, float]:
        """Length of cut, the force of a flat blade over it, and the load where it is known."""
        force_n = cut_force_n(self.cut.length_mm, self.plate, rules, facts)
        made = {"hits": 1.0, "force_kn": force_n / 1000, "cut_mm": self.cut.length_mm}
        limit_n, _weakest = weakest_link(tooling)
        if limit_n is not None and tooling.station.rated_force_n is not None:
            made["rated_kn"] = tooling.station.rated_force_n / 1000
            made["limit_kn"] = limit_n / 1000
            made["load"] = force.load(force_n, limit_n)
        return made

    def ideal(
        self, seat: Seat, role: str, beside: dict[str, Tool], rules: Rules, facts: Circumstances
    ) -> Tool | None:
        """The set one would order for a seat."""
        del beside, rules, facts
        return self.set_to_order(seat) if role == "set" else None

    def order_text(
        self, tool: Tool, quantity: int, tooling: ToolingSet, rules: Rules, facts: Circumstances
    ) -> str:
        """The complete order line: both sides of the set as one."""
        say = Speech(rules)
        parts = [
            f"{quantity} {self.feature} set{'s' if quantity > 1 else ''}",
            "punch and die sides matched as one set",
            self.order_sizes(tool, say),
            _seat_text(tool, say),
            f"to cut {say.length(self.plate.thickness_mm)} {self.plate.material.name}",
            "clearance to suit that thickness",
            "its list of proven sizes and thicknesses with it",
            f"for {tooling.station.label}",
            f"our job {facts.job}" if facts.job else "",
        ]
        return ", ".join(part for part in parts if part)

    def severity_each(
        self, tooling: ToolingSet, role: str, rules: Rules, facts: Circumstances
    ) -> float:
        """The weight of one hit, which wears the set as a whole."""
        del tooling, role
        return hit_severity(self.plate, rules, facts).total

    def workarounds(
        self, refused: frozenset[str], rules: Rules, facts: Circumstances
    ) -> list[Workaround]:
        """Another machine, saw, thermal cut, mill: what cuts an edge without the set."""
        del rules, facts
        found = []
        if refused & {"force", "envelope", "rating", "daylight"}:
            text = f"the next machine: one whose plate lists this {self.feature}"
            found.append(Workaround(text, None, 20))
        if "material" not in refused:
            text = f"drill the inner corners and saw the {self.feature} between them"
            if self.feature == "vee":
                text = "saw the vee along its two legs"
            found.append(Workaround(text, None, 40))
        text = "cut it thermally (plasma or oxygen) and grind, where code and engineer allow"
        found.append(Workaround(text, None, 50))
        found.append(Workaround(f"mill the {self.feature}", None, 60))
        found.append(Workaround("have it cut outside: ask price, freight and days", None, 70))
        return found


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


def _seat_text(tool: Tool, say: Speech) -> str:
    if tool.seat is None:
        return ""
    numbers = [*tool.seat.numbers("punch"), *tool.seat.numbers("die")]
    told = ", ".join(f"{name} {say.length(number)}" for name, number in numbers)
    return f"seat {tool.seat.name}: {told}" if told else f"seat {tool.seat.name}"
