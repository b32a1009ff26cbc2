"""What an ask answers when it has nothing special to say; a kind of feature overrides its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, Self

from crib.features.common.ask import Circumstances, Need, Plate, Reading
from crib.features.common.findings import Finding
from crib.features.common.hole_method import HoleMethod
from crib.features.common.phrase import Words
from crib.features.common.piece_checks import judge_one
from crib.features.common.tooling import Tool, ToolingSet
from crib.trade.shop.shop_rules import Rules

if TYPE_CHECKING:
    from crib.features.common.hit_plan import HitPlan
    from crib.features.common.picture import Picture


class OneHit:
    """The defaults: tools from the shelf, one hit, no plan, no tool that must stand mounted."""

    plate: Plate
    part_word: ClassVar[str] = "hole"

    def with_tail(self, words: Words, reading: Reading) -> Self:
        """Nothing more belongs to it after the plate."""
        del words, reading
        return self

    def method(self, rules: Rules, facts: Circumstances) -> HoleMethod | None:
        """No code rules how it is made."""
        del rules, facts
        return None

    def judge_feature(self, rules: Rules, facts: Circumstances) -> tuple[Finding, ...]:
        """Nothing is said of the feature where it stands."""
        del rules, facts
        return ()

    def mounted_need(self) -> tuple[str, str] | None:
        """Nothing has to stand mounted."""
        return None

    def plan_needs(self, rules: Rules, facts: Circumstances) -> tuple[Need, ...]:
        """No smaller tool makes it."""
        del rules, facts
        return ()

    def plans(
        self, smaller: Sequence[Tool], rules: Rules, facts: Circumstances
    ) -> Sequence[HitPlan]:
        """No plan of several hits."""
        del smaller, rules, facts
        return ()

    def judge_piece(
        self, tool: Tool, severity_each: float, rules: Rules, facts: Circumstances
    ) -> list[Finding]:
        """What the rules say of one piece by itself."""
        material = self.plate.material
        return list(judge_one(tool, material, severity_each, rules, facts, self.part_word))

    def picture(
        self, tooling: ToolingSet, plan: HitPlan | None, rules: Rules, facts: Circumstances
    ) -> Picture:
        """A picture without a drawing: the words only."""
        from crib.features.common.picture import Picture

        del plan, facts
        words = tuple(f"{tool.role} {tool.tag}" for tool in tooling.tools.values())
        return Picture(tooling.station.label, (), (*words, rules.text("crib.name")))
