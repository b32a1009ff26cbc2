"""What grinding takes from a punch and a die together: how far the one still enters the other."""

from __future__ import annotations

from collections.abc import Iterable

from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool
from crib.trade.common.verdicts import falls_short
from crib.trade.life.grinding import entry_after_grinding_mm
from crib.trade.shop.shop_rules import Rules

_CP = "common practice, no source"


def judge_entry(tools: Iterable[Tool], rules: Rules) -> list[Finding]:
    """A caution where punch and die are ground so far that the slug may not leave the hole.

    It depends on the two pieces, not on their designs, so it is judged for each pair of them.
    """
    pair = {tool.role: tool for tool in tools}
    punch, die = pair.get("punch"), pair.get("die")
    if punch is None or die is None:
        return []
    ground_mm = punch.ground_mm + die.ground_mm
    least_mm = rules.number("grind.least_entry_mm")
    entry_mm = entry_after_grinding_mm(rules.number("grind.entry_new_mm"), ground_mm)
    if not falls_short(entry_mm, least_mm):
        return []
    say = Speech(rules).near(Speech.length, entry_mm, least_mm)
    enters = f"enters the die {say.length(entry_mm)}" if entry_mm > 0 else "does not reach the die"
    text = (
        f"{punch.tag} and {die.tag} are ground {say.length(ground_mm)} together: the punch {enters}"
        f" at the bottom, at least {say.length(least_mm)}; set the stroke, or shim the die as far"
        " as the machine's manual allows"
    )
    return [Finding("entry", "caution", text, entry_mm, least_mm, "mm", _CP)]
