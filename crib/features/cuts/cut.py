"""A cut across a bar, a plate or a section: ``cut flat 4 x 3/8``, ``cut angle 3 x 3 x 1/4 at 45``.

The sizes are the section's own and the last one is its thickness: ``cut round 3/4``, ``cut square
1``, ``cut plate 12 x 1/4``, ``cut tube 1 x 16ga`` (square), ``cut tube 1 x 2 x 0.120``, ``cut tube
round 1-1/2 x 0.120``, ``cut channel 4 x 1-5/8 x 3/16`` (depth, flange, thickness, and the flange's
own thickness where it differs). The angle is counted from a square cut.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar

from crib.features.common.ask import Answers, FeatureKind, HitPlan, Need, Workaround
from crib.features.common.asked_tool import AskedTool
from crib.features.common.case import Circumstances, Plate
from crib.features.common.chain_checks import rating_figures
from crib.features.common.findings import Finding
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import PhraseForm
from crib.features.common.plate_phrase import Reading
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.cuts.cut_case import CutCase
from crib.features.cuts.cut_checks import judge_cut
from crib.features.cuts.cut_phrase import EXAMPLE, TUBES, read_cut
from crib.features.cuts.cut_sections import WORK, Section
from crib.features.cuts.cut_set import ideal_tube_set, tube_set_need
from crib.features.cuts.cut_ways import cut_workarounds
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.picture import Picture


@dataclass(frozen=True)
class Cut:
    """A cut across a section, at an angle from square."""

    section: Section
    plate: Plate
    angle_deg: float = 0.0

    feature: ClassVar[str] = "cut"

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

    def answers(self, rules: Rules, facts: Circumstances) -> CutAnswers:
        """What there is to say of a shear for it."""
        case = CutCase(self.plate, rules, facts, self.section, self.angle_deg)
        return CutAnswers(self, case)


class CutAnswers(Answers[Cut, CutCase]):
    """What there is to say of a shear for a cut; a set fits or does not, and none is closer."""

    part_word: ClassVar[str] = "cut"

    def needs(self) -> tuple[Need, ...]:
        """A matched set for a tube; for anything else the shear's own blades."""
        return (tube_set_need(self.case),) if self._of_tube else ()

    @property
    def mounted_need(self) -> tuple[str, str] | None:
        """The blades for this section."""
        return None if self._of_tube else ("blade", self.case.section.word)

    @property
    def _of_tube(self) -> bool:
        return self.case.section.word == "tube"

    def judge(self, tooling: ToolingSet) -> list[Finding]:
        """What the rules say of a shear, with what stands in it."""
        return list(judge_cut(self.case, tooling))

    def figures(self, tooling: ToolingSet) -> dict[str, float]:
        """Force on the whole area, its share of the rating where comparable, the blade gap."""
        case = self.case
        made = {
            "hits": 1.0,
            "force_kn": case.force_n / 1000,
            "area_mm2": case.area_mm2,
            "cut_length_mm": case.along_mm,
            **rating_figures(tooling, None if case.raked else case.force_n),
        }
        if case.gap_mm is not None:
            made["blade_gap_least_mm"], made["blade_gap_most_mm"] = case.gap_mm
        return made

    def ideal(self, seat: Seat, role: str, beside: Mapping[str, Tool]) -> Tool | None:
        """The tube set one would order for a seat."""
        if role != "set" or not self._of_tube or self.case.material.multiplier is None:
            return None
        return ideal_tube_set(self.case, seat)

    def workarounds(self, refused: frozenset[str]) -> list[Workaround]:
        """Saw it, cut it elsewhere, or order what is missing."""
        straight = replace(self.ask, angle_deg=0.0).phrase(self.case.say.system)
        return cut_workarounds(self.case, refused, straight if self.case.mitred else None)

    def picture(self, tooling: ToolingSet, plan: HitPlan | None) -> Picture:
        """The section, and the job's point under the staircase of what the shear is proven for."""
        from crib.features.cuts.cut_picture import cut_picture

        return cut_picture(self.case, tooling)


def read(words: Words, reading: Reading) -> Cut:
    """Read ``SECTION SIZES [at ANGLE] [MATERIAL]``.

    Raises:
        BadPhrase: pointing at the section, size, angle or material that cannot be read.
    """
    return Cut(*read_cut(words, reading))


TOOLS = (
    *(
        AskedTool("blade", work, profile=word, mounted=True)
        for word, work in WORK.items()
        if word != "tube"
    ),
    AskedTool("set", WORK["tube"], TUBES, "tube", ("least_wall_mm", "most_wall_mm")),
)
"""Blades of the section's own word; a tube is cut by a matched set."""

FORMS = (
    PhraseForm("cut-flat", "cut flat {flat} x {thickness} {material}"),
    PhraseForm("cut-angle", "cut angle {leg} x {other_leg} x {thickness} {material}"),
    PhraseForm("cut-channel", "cut channel {height} x {flange} x {thickness} {material}"),
    PhraseForm("cut-round", "cut round {bar} {material}"),
    PhraseForm("cut-square", "cut square {bar} {material}"),
    PhraseForm("cut-tube", "cut tube {width} x {wall} {material}", "square"),
)

FEATURE = FeatureKind(
    "cut", EXAMPLE, read, "a cut across a bar, a plate or a section", ("shear",), TOOLS, FORMS
)
