"""A saddle cut into the end of a pipe or tube: ``saddle 1-1/2 pipe sch 40 onto 2 pipe``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar

from crib.errors import BadInput
from crib.features.common.ask import Answers, FeatureKind, HitPlan, Need, Workaround
from crib.features.common.asked_tool import AskedTool
from crib.features.common.case import Circumstances, Plate
from crib.features.common.chain_checks import rating_figures
from crib.features.common.findings import Finding
from crib.features.common.phrase import Words
from crib.features.common.phrase_form import PhraseForm
from crib.features.common.plate_phrase import Reading, read_material
from crib.features.common.sizes import decimal_text, size_word
from crib.features.common.tool_match import NEST_RULE
from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.saddles.saddle_case import STROKES, SaddleCase, SaddleJoint
from crib.features.saddles.saddle_checks import judge_saddle
from crib.features.saddles.saddle_orders import ideal_set, saddle_workarounds, said_of
from crib.features.saddles.saddle_phrase import (
    EXAMPLE,
    SaddleParts,
    branch_of,
    read_saddle_parts,
    wall_of,
)
from crib.features.saddles.tubular import Tubular
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.saddles import saddle_ordinate_mm
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.picture import Picture

PIPE_MATERIAL = "A53-B"
"""What pipe is made of when nobody says (common practice); tube is the shop's usual material."""


@dataclass(frozen=True)
class Saddle(SaddleJoint):
    """The end of a branch, cut to sit on a header."""

    feature: ClassVar[str] = "saddle"
    work: ClassVar[str] = "saddle"

    def phrase(self, system: System) -> str:
        """The ask written the one canonical way."""
        parts = [self.feature, self.branch.phrase(system), self._wall_phrase(system)]
        if self.header != self.branch:
            parts.append(f"onto {self.header.phrase(system)}")
        if self.angle_deg != 90.0:
            parts.append(f"at {self.angle_deg!r}".removesuffix(".0"))
        lengths = {
            "offset": self.offset_mm,
            "centres": self.centres_mm,
            "measured": self.branch.measured_mm,
        }
        parts += [f"{name} {size_word(mm, system)}" for name, mm in lengths.items() if mm]
        return " ".join(part for part in (*parts, self.plate.material.name) if part)

    def _wall_phrase(self, system: System) -> str:
        if not self.wall_named:
            return ""
        if self.schedule:
            return f"sch {self.schedule}"
        return f"{size_word(self.plate.thickness_mm, system)} wall"

    def as_json(self) -> dict[str, Any]:
        """The ask for programs, SI."""
        return {
            "feature": self.feature,
            "shape": "round",
            "size_mm": self.branch.outside_mm,
            "branch": self.branch.sort,
            "nps": self.branch.nps,
            "measured_mm": self.branch.measured_mm,
            "header": self.header.sort,
            "header_mm": self.header.outside_mm,
            "schedule": self.schedule,
            "thickness_mm": self.plate.thickness_mm,
            "wall_assumed": not self.wall_named,
            "angle_deg": self.angle_deg,
            "offset_mm": self.offset_mm,
            "centres_mm": self.centres_mm,
            "material": self.plate.material.name,
            "material_assumed": self.plate.assumed,
        }

    def answers(self, rules: Rules, facts: Circumstances) -> SaddleAnswers:
        """What there is to say of a set for it."""
        return SaddleAnswers(self, SaddleCase(self.plate, rules, facts, self))


class SaddleAnswers(Answers[Saddle, SaddleCase]):
    """What there is to say of a set for a saddle."""

    strokes: ClassVar[int] = STROKES

    def needs(self) -> tuple[Need, ...]:
        """A set whose nest is the branch's outside."""
        outside_mm, slack_mm = self.ask.branch.outside_mm, self.case.tolerance_mm
        least_mm, most_mm = outside_mm - slack_mm, outside_mm + slack_mm
        text = f"with a nest of {self.case.size(outside_mm)}"
        return (
            Need("set", "round", least_mm, most_mm, least_mm, most_mm, outside_mm, text, "saddle"),
        )

    def judge(self, tooling: ToolingSet) -> list[Finding]:
        """What the rules say of a set in a station."""
        return list(judge_saddle(self.case, tooling))

    def closeness_mm(self, tooling: ToolingSet) -> float:
        """How far nest and header are from the outsides, together."""
        chosen, header_mm = tooling.tool("set"), self.ask.header.outside_mm
        if chosen is None:
            return 0.0
        off_mm = abs(chosen.width_mm - self.ask.branch.outside_mm)
        return off_mm + abs((chosen.header_mm or header_mm) - header_mm)

    def figures(self, tooling: ToolingSet) -> dict[str, float]:
        """Force of a stroke, depth and lengths; a figure that is not known is left out."""
        case = self.case
        made = {
            "hits": float(STROKES),
            "force_kn": case.force_n / 1000,
            **rating_figures(tooling, case.force_n),
            "depth_mm": case.depth_mm,
        }
        tips_mm, throat_mm = case.tip_to_tip_mm, case.throat_mm
        if tips_mm is not None and throat_mm is not None:
            made |= {"cut_length_mm": tips_mm, "tip_to_tip_mm": tips_mm, "throat_mm": throat_mm}
        return made

    def ideal(self, seat: Seat, role: str, beside: Mapping[str, Tool]) -> Tool | None:
        """The set one would order for a seat."""
        return ideal_set(self.case, seat) if role == "set" else None

    def order_spec(self, tool: Tool, tooling: ToolingSet) -> ToolSpec:
        """The set with what nest and cut are for, and the force of a stroke."""
        system = self.case.say.system
        return replace(
            super().order_spec(tool, tooling),
            nest_for=said_of(self.ask.branch, system),
            header_for=said_of(self.ask.header, system),
            strokes=STROKES,
            stroke_force_n=self.case.force_n,
        )

    def workarounds(self, refused: frozenset[str]) -> list[Workaround]:
        """What makes the saddle without a set."""
        phrase = self.ask.phrase(self.case.say.system)
        return list(saddle_workarounds(self.case, refused, phrase))

    def picture(self, tooling: ToolingSet, plan: HitPlan | None) -> Picture:
        """End view and side view with depth and lengths."""
        from crib.features.saddles.saddle_picture import draw_saddle

        return draw_saddle(self.case, tooling)


def read(words: Words, reading: Reading) -> Saddle:
    """Read ``SIZE pipe|tube [sch S|T wall] [onto ...] [at ...] [offset ...] [MATERIAL]``.

    Raises:
        BadPhrase: pointing at the word that cannot be read, or does not make a saddle.
    """
    parts = read_saddle_parts(words, reading)
    branch = branch_of(parts, words, reading)
    wall_mm, schedule = wall_of(parts, branch, words, reading)
    saddle = Saddle(
        branch,
        parts.header or branch,
        _plate(parts, branch, wall_mm, words, reading),
        schedule,
        bool(parts.schedule) or parts.wall_mm is not None,
        parts.angle_deg,
        parts.offset_mm,
        parts.centres_mm,
    )
    _require_saddle(saddle, parts, words, reading)
    return saddle


def _plate(
    parts: SaddleParts, branch: Tubular, wall_mm: float, words: Words, reading: Reading
) -> Plate:
    usual = PIPE_MATERIAL if branch.sort == "pipe" else reading.rules.text("material.default")
    name, place = parts.material or usual, parts.place("material")
    material = read_material(name, place, words, reading, EXAMPLE)
    return Plate(wall_mm, material, not parts.material and branch.sort == "tube")


def _require_saddle(saddle: Saddle, parts: SaddleParts, words: Words, reading: Reading) -> None:
    """Refuse what is not a saddle, pointing at the part that makes it so."""

    def said(length_mm: float) -> str:
        return decimal_text(length_mm, reading.system)

    branch_mm, header_mm = saddle.branch.outside_mm, saddle.header.outside_mm
    if exceeds(branch_mm - header_mm, reading.rules.number(NEST_RULE)):
        message = f"not a saddle: branch {said(branch_mm)} is bigger than header {said(header_mm)}"
        hint = "the larger pipe is the header; the smaller one is cut to sit on it"
        raise words.wrong(*parts.place("onto", "measured"), message, way_out=hint)
    if exceeds(saddle.branch_radius_mm + saddle.offset_mm, saddle.header_radius_mm):
        most = said(saddle.header_radius_mm - saddle.branch_radius_mm)
        message = f"offset {said(saddle.offset_mm)}: the branch reaches beside its header"
        hint = f"the offset is at most {most}"
        raise words.wrong(*parts.place("offset"), message, way_out=hint)
    centres_mm = saddle.centres_mm
    if centres_mm is not None and not exceeds(centres_mm, 2 * saddle.header_radius_mm):
        message = f"nothing is left between headers {said(header_mm)} outside"
        hint = "give the distance between the headers' axes"
        raise words.wrong(*parts.place("centres"), message, way_out=hint)
    try:
        saddle_ordinate_mm(0.0, saddle.header_radius_mm, saddle.branch_radius_mm, saddle.angle_deg)
    except BadInput as error:
        message = f"{saddle.angle_deg:g}° between the axes is not 20 to 160"
        raise words.wrong(*parts.place("at"), message, EXAMPLE) from error


FEATURE = FeatureKind(
    "saddle",
    EXAMPLE,
    read,
    "the end of a pipe or tube cut to sit on another",
    tools=(AskedTool("set", "saddle", ("round",), "saddle", ("header_mm", "most_wall_mm")),),
    forms=(
        PhraseForm("saddle-pipe", "saddle {pipe} pipe sch {schedule} {material}"),
        PhraseForm("saddle-tube", "saddle {width} tube {wall} wall {material}", "round"),
    ),
)
