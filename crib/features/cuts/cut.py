"""A cut across a bar, a plate or a section: ``cut flat 4 x 3/8``, ``cut angle 3 x 3 x 1/4 at 45``.

The sizes are the section's own and the last one is its thickness: ``cut round 3/4``, ``cut square
1``, ``cut plate 12 x 1/4``, ``cut tube 1 x 16ga`` (square), ``cut tube 1 x 2 x 0.120``, ``cut tube
round 1-1/2 x 0.120``, ``cut channel 4 x 1-5/8 x 3/16`` (depth, flange, thickness, and the flange's
own thickness where it differs). The angle is counted from a square cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, ClassVar

from crib.features.common.ask import Circumstances, FeatureKind, Need, Plate, Reading, Workaround
from crib.features.common.chain_checks import weakest_link
from crib.features.common.findings import Finding
from crib.features.common.one_hit import OneHit
from crib.features.common.pair_wear import hit_severity
from crib.features.common.phrase import Words
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.cuts.cut_case import CutCase
from crib.features.cuts.cut_checks import comparable_load, judge_cut
from crib.features.cuts.cut_phrase import EXAMPLE, read_cut
from crib.features.cuts.cut_sections import WORK, Section
from crib.features.cuts.cut_set import ideal_tube_set, tube_set_need, tube_set_order
from crib.features.cuts.cut_ways import blade_order, cut_workarounds
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.hit_plan import HitPlan
    from crib.features.common.picture import Picture


@dataclass(frozen=True)
class Cut(OneHit):
    """A cut across a section, at an angle from square."""

    section: Section
    plate: Plate
    angle_deg: float = 0.0

    feature: ClassVar[str] = "cut"
    part_word: ClassVar[str] = "cut"

    @property
    def work(self) -> str:
        """The shear for this section."""
        return WORK[self.section.word]

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        at = f" at {self.angle_deg:g}" if self.angle_deg else ""
        return f"cut {self.section.phrase(system)}{at} {self.plate.material.name}"

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, SI."""
        return {
            "feature": self.feature,
            **self.section.as_json(),
            "cut_angle_deg": self.angle_deg,
            "material": self.plate.material.name,
            "material_assumed": self.plate.assumed,
        }

    def case(self, rules: Rules, facts: Circumstances) -> CutCase:
        """The cut as the rules look at it."""
        return _case(self.section, self.plate, self.angle_deg, rules, facts)

    def needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """A matched set for a tube; for anything else the shear's own blades."""
        if self.section.word != "tube":
            return ()
        return (tube_set_need(self.case(rules, facts)),)

    def mounted_need(self) -> tuple[str, str] | None:
        """The blades for this section."""
        return None if self.section.word == "tube" else ("blade", self.section.word)

    def judge(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> list[Finding]:
        """What the rules say of a shear, with what stands in it."""
        return list(judge_cut(self.case(rules, facts), tooling))

    def closeness_mm(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> float:
        """Nothing is closer: a set fits, or it does not."""
        del tooling, rules, facts
        return 0.0

    def figures(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> dict[str, float]:
        """Force on the whole area, its share of the rating where comparable, the blade gap."""
        case = self.case(rules, facts)
        made = {
            "hits": 1.0,
            "force_kn": case.force_n / 1000,
            "area_mm2": case.area_mm2,
            "cut_length_mm": case.along_mm,
        }
        limit_n, _weakest = weakest_link(tooling)
        if limit_n is not None and tooling.station.rated_force_n is not None:
            made["rated_kn"] = tooling.station.rated_force_n / 1000
            made["limit_kn"] = limit_n / 1000
        share = comparable_load(case, tooling)
        if share is not None:
            made["load"] = share
        if case.gap_mm is not None:
            made["blade_gap_least_mm"], made["blade_gap_most_mm"] = case.gap_mm
        return made

    def ideal(
        self, seat: Seat, role: str, beside: dict[str, Tool], rules: Rules, facts: Circumstances
    ) -> Tool | None:
        """The tube set one would order for a seat."""
        del beside
        case = self.case(rules, facts)
        if role != "set" or self.section.word != "tube" or case.material.multiplier is None:
            return None
        return ideal_tube_set(case, seat)

    def order_text(
        self, tool: Tool, quantity: int, tooling: ToolingSet, rules: Rules, facts: Circumstances
    ) -> str:
        """The complete order line of a tube set, or of blades."""
        case, station = self.case(rules, facts), tooling.station.label
        if tool.role == "set":
            return tube_set_order(case, tool, quantity, station)
        return blade_order(case, quantity, station)

    def severity_each(
        self, tooling: ToolingSet, role: str, rules: Rules, facts: Circumstances
    ) -> float:
        """One cut on the edge that is in use."""
        del tooling, role
        return hit_severity(self.plate, rules, facts).total

    def workarounds(
        self, refused: frozenset[str], rules: Rules, facts: Circumstances
    ) -> list[Workaround]:
        """Saw it, cut it elsewhere, or order what is missing."""
        case = self.case(rules, facts)
        return cut_workarounds(case, refused, self._straight_phrase(case))

    def picture(
        self, tooling: ToolingSet, plan: HitPlan | None, rules: Rules, facts: Circumstances
    ) -> Picture:
        """The section, and the job's point under the staircase of what the shear is proven for."""
        from crib.features.cuts.cut_picture import cut_picture

        del plan
        return cut_picture(self.case(rules, facts), tooling)

    def _straight_phrase(self, case: CutCase) -> str | None:
        if not case.mitred:
            return None
        return Cut(self.section, self.plate).phrase(case.say.system)


@lru_cache(maxsize=64)
def _case(
    section: Section, plate: Plate, angle_deg: float, rules: Rules, facts: Circumstances
) -> CutCase:
    return CutCase(section, plate, angle_deg, rules, facts)


def read(words: Words, reading: Reading) -> Cut:
    """Read ``SECTION SIZES [at ANGLE] [MATERIAL]``.

    Raises:
        BadPhrase: pointing at the section, size, angle or material that cannot be read.
    """
    return Cut(*read_cut(words, reading))


FEATURE = FeatureKind("cut", EXAMPLE, read, "a cut across a bar, a plate or a section", ("shear",))
