"""A saddle cut into the end of a pipe or tube: ``saddle 1-1/2 pipe sch 40 onto 2 pipe``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, ClassVar

from crib.errors import BadInput
from crib.features.common.ask import Circumstances, FeatureKind, Need, Plate, Reading, Workaround
from crib.features.common.chain_checks import weakest_link
from crib.features.common.findings import Finding
from crib.features.common.one_hit import OneHit
from crib.features.common.pair_wear import hit_severity
from crib.features.common.phrase import Words
from crib.features.common.sizes import size_word
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.saddles.saddle_case import STROKES, SaddleCase
from crib.features.saddles.saddle_checks import judge_saddle
from crib.features.saddles.saddle_orders import ideal_set, saddle_workarounds, set_order_text
from crib.features.saddles.saddle_phrase import EXAMPLE, Parts, branch_of, read_parts, wall_of
from crib.features.saddles.tubular import NEST_RULE, Tubular, decimal_text
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.force import load
from crib.trade.metal.saddles import saddle_ordinate_mm
from crib.trade.shop.shop_rules import Rules
from crib.units import System

if TYPE_CHECKING:
    from crib.features.common.hit_plan import HitPlan
    from crib.features.common.picture import Picture

PIPE_MATERIAL = "A53-B"
"""What pipe is made of when nobody says (common practice); tube is the shop's usual material."""
MOST_CASES = 64


@dataclass(frozen=True)
class Saddle(OneHit):
    """The end of a branch, cut to sit on a header; ``plate`` is the branch's wall and material.

    ``schedule`` is empty for a wall that was given by its thickness.
    """

    branch: Tubular
    header: Tubular
    plate: Plate
    schedule: str = ""
    wall_named: bool = True
    angle_deg: float = 90.0
    offset_mm: float = 0.0
    centres_mm: float | None = None

    feature: ClassVar[str] = "saddle"
    work: ClassVar[str] = "saddle"

    @property
    def square(self) -> bool:
        """Whether both axes meet at a right angle."""
        return self.angle_deg == 90.0 and not self.offset_mm

    @property
    def branch_radius_mm(self) -> float:
        """The branch's outside radius."""
        return self.branch.outside_mm / 2

    @property
    def header_radius_mm(self) -> float:
        """The header's outside radius; for size on size a measured branch may be a hair larger."""
        return max(self.header.outside_mm, self.branch.outside_mm) / 2

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

    def case(self, rules: Rules, facts: Circumstances) -> SaddleCase:
        """The saddle as its rules look at it."""
        return _case(self, rules, facts)

    def needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """A set whose nest is the branch's outside."""
        del facts
        outside_mm, slack_mm = self.branch.outside_mm, rules.number(NEST_RULE)
        least_mm, most_mm = outside_mm - slack_mm, outside_mm + slack_mm
        text = f"with a nest of {decimal_text(outside_mm, Reading(rules).system)}"
        return (
            Need("set", "round", least_mm, most_mm, least_mm, most_mm, outside_mm, text, "saddle"),
        )

    def judge(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> list[Finding]:
        """What the rules say of a set in a station."""
        return list(judge_saddle(self.case(rules, facts), tooling))

    def closeness_mm(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> float:
        """How far nest and header are from the outsides, together."""
        del rules, facts
        chosen = tooling.tool("set")
        if chosen is None:
            return 0.0
        header_mm = chosen.header_mm or self.header.outside_mm
        off_mm = abs(chosen.width_mm - self.branch.outside_mm)
        return off_mm + abs(header_mm - self.header.outside_mm)

    def figures(self, tooling: ToolingSet, rules: Rules, facts: Circumstances) -> dict[str, float]:
        """Force of a stroke, depth and lengths; a figure that is not known is left out."""
        case = self.case(rules, facts)
        made = {"hits": float(STROKES), "force_kn": case.force_n / 1000}
        limit_n, _weakest = weakest_link(tooling)
        if limit_n is not None and tooling.station.rated_force_n is not None:
            made["rated_kn"] = tooling.station.rated_force_n / 1000
            made["limit_kn"] = limit_n / 1000
            made["load"] = load(case.force_n, limit_n)
        made["depth_mm"] = case.depth_mm
        tips_mm, throat_mm = case.tip_to_tip_mm, case.throat_mm
        if tips_mm is not None and throat_mm is not None:
            lengths = {"cut_length_mm": tips_mm, "tip_to_tip_mm": tips_mm, "throat_mm": throat_mm}
            made.update(lengths)
        return made

    def ideal(
        self, seat: Seat, role: str, beside: dict[str, Tool], rules: Rules, facts: Circumstances
    ) -> Tool | None:
        """The set one would order for a seat."""
        del beside
        return ideal_set(self.case(rules, facts), seat) if role == "set" else None

    def order_text(
        self, tool: Tool, quantity: int, tooling: ToolingSet, rules: Rules, facts: Circumstances
    ) -> str:
        """The complete order line."""
        return set_order_text(self.case(rules, facts), tool, quantity, tooling)

    def severity_each(
        self, tooling: ToolingSet, role: str, rules: Rules, facts: Circumstances
    ) -> float:
        """The weight of both strokes on the set."""
        del tooling, role
        return STROKES * hit_severity(self.plate, rules, facts).total

    def workarounds(
        self, refused: frozenset[str], rules: Rules, facts: Circumstances
    ) -> list[Workaround]:
        """What makes the saddle without a set."""
        return list(saddle_workarounds(self.case(rules, facts), refused))

    def picture(
        self, tooling: ToolingSet, plan: HitPlan | None, rules: Rules, facts: Circumstances
    ) -> Picture:
        """End view and side view with depth and lengths."""
        from crib.features.saddles.saddle_picture import draw_saddle

        del plan
        return draw_saddle(self.case(rules, facts), tooling)


@lru_cache(maxsize=MOST_CASES)
def _case(saddle: Saddle, rules: Rules, facts: Circumstances) -> SaddleCase:
    return SaddleCase(saddle, rules, facts)


def read(words: Words, reading: Reading) -> Saddle:
    """Read ``SIZE pipe|tube [sch S|T wall] [onto ...] [at ...] [offset ...] [MATERIAL]``.

    Raises:
        BadPhrase: pointing at the word that cannot be read, or does not make a saddle.
    """
    parts = read_parts(words, reading)
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


def _plate(parts: Parts, branch: Tubular, wall_mm: float, words: Words, reading: Reading) -> Plate:
    usual = PIPE_MATERIAL if branch.sort == "pipe" else reading.rules.text("material.default")
    try:
        material = reading.rules.material(parts.material or usual)
    except BadInput as error:
        hint = error.way_out or EXAMPLE
        raise words.wrong(*parts.place("material"), error.message, hint) from error
    return Plate(wall_mm, material, not parts.material and branch.sort == "tube")


def _require_saddle(saddle: Saddle, parts: Parts, words: Words, reading: Reading) -> None:
    """Refuse what is not a saddle, pointing at the part that makes it so."""

    def said(length_mm: float) -> str:
        return decimal_text(length_mm, reading.system)

    branch_mm, header_mm = saddle.branch.outside_mm, saddle.header.outside_mm
    if exceeds(branch_mm - header_mm, reading.rules.number(NEST_RULE)):
        message = f"not a saddle: branch {said(branch_mm)} is bigger than header {said(header_mm)}"
        hint = "The larger pipe is the header; the smaller one is cut to sit on it"
        raise words.wrong(*parts.place("onto", "measured"), message, hint)
    if exceeds(saddle.branch_radius_mm + saddle.offset_mm, saddle.header_radius_mm):
        most = said(saddle.header_radius_mm - saddle.branch_radius_mm)
        message = f"offset {said(saddle.offset_mm)}: the branch reaches beside its header"
        raise words.wrong(*parts.place("offset"), message, f"The offset is at most {most}")
    centres_mm = saddle.centres_mm
    if centres_mm is not None and not exceeds(centres_mm, 2 * saddle.header_radius_mm):
        message = f"nothing is left between headers {said(header_mm)} outside"
        hint = "Give the distance between the headers' axes"
        raise words.wrong(*parts.place("centres"), message, hint)
    try:
        saddle_ordinate_mm(0.0, saddle.header_radius_mm, saddle.branch_radius_mm, saddle.angle_deg)
    except BadInput as error:
        message = f"{saddle.angle_deg:g}° between the axes is not 20 to 160"
        raise words.wrong(*parts.place("at"), message, EXAMPLE) from error


FEATURE = FeatureKind("saddle", EXAMPLE, read, "the end of a pipe or tube cut to sit on another")
