"""The rules that judge whether a pair closes: entry at the bottom, room for the plate at the top.

Tools of one seat that stand in a station themselves are taken to suit it, less what was ground off
them. A punch over a die of another seat, and tools in adapters, must be shown to close.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from crib.acts import act
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.holes.pair_stack import LeftHeight, PairStack, length_mm
from crib.trade.common.verdicts import Verdict, exceeds, falls_short, remains
from crib.trade.life.grinding import entry_after_grinding_mm
from crib.trade.metal.tool_stack import opening_mm
from crib.trade.shop.shop_rules import Rules

_CP = "common practice, no source"
_SHIM = "set the stroke, or shim the die as far as the machine's manual allows, and record it"
_STOPS = "set the stops so that the ram travels less, and record the stroke"
_RECORD = act("import.change", file="stations.csv")


def judge_stack(
    tooling: ToolingSet, rules: Rules, thickness_mm: float | None = None
) -> list[Finding]:
    """Whether punch and die close in their station, and a plate of a thickness goes in.

    It depends on the two pieces, not on their designs, so it is judged for each pair of them.
    """
    punch, die = tooling.tool("punch"), tooling.tool("die")
    if punch is None or die is None:
        return []
    stack = PairStack(punch, die, tooling, rules.number("grind.entry_new_mm"))
    say = Speech(rules)
    if not stack.unknown:
        return [*_entry(stack, rules), *_opening(stack, say, thickness_mm)]
    return [_not_shown(stack)] if stack.must_show else list(_entry_by_ground(stack, rules))


def plain_lengths(tooling: ToolingSet) -> Hashable:
    """All that decides whether a pair in no adapters closes in a station; None of any other."""
    punch, die, at = tooling.tool("punch"), tooling.tool("die"), tooling.station
    if punch is None or die is None or tooling.adapters:
        return None
    sides = ((tool.seat, tool.length_mm, tool.ground_mm) for tool in (punch, die))
    return (*sides, at.daylight_mm, at.stroke_mm)


def _not_shown(stack: PairStack) -> Finding:
    """What refuses a stack of which a height is lacking, and how that is recorded."""
    lacking = ", ".join(what for what, _how in stack.unknown)
    text = f"{_names(stack)} {_verb(stack)} not shown to close: measure and record {lacking}"
    return Finding("stack", "refuse", text, source=_CP, remedy=stack.unknown[0][1])


def _entry(stack: PairStack, rules: Rules) -> Iterator[Finding]:
    least_mm = rules.number("grind.least_entry_mm")
    deepest_mm = max(rules.number("grind.deepest_entry_mm"), stack.entry_new_mm)
    if not remains(stack.least_entry_mm):
        stands = _stands(stack, Speech(rules))
        text = f"{stands}: the punch does not reach the die; {_way_out(stack, _SHIM)}"
        yield Finding("entry", "refuse", text, stack.least_entry_mm, 0.0, "mm", _CP, remedy=_RECORD)
    elif exceeds(stack.most_entry_mm, deepest_mm):
        yield _too_deep(stack, rules, deepest_mm)
    elif stack.must_show or stack.measured or falls_short(stack.least_entry_mm, least_mm):
        # Most pairs are plain and well, and nothing has to be worded of them.
        yield from _enters(stack, rules, least_mm)


def _enters(stack: PairStack, rules: Rules, least_mm: float) -> Iterator[Finding]:
    say = Speech(rules).near(Speech.length, stack.least_entry_mm, least_mm)
    stands = _stands(stack, say)
    enters = f"the punch enters the die {say.length(stack.least_entry_mm)} at the bottom"
    figures = (stack.least_entry_mm, least_mm, "mm", _CP)
    if falls_short(stack.least_entry_mm, least_mm):
        text = f"{stands}: {enters}, at least {say.length(least_mm)}; {_SHIM}"
        yield Finding("entry", "caution", text, *figures)
    else:
        yield Finding("entry", "ok", enters, *figures)
    if stack.must_show:
        yield _closes(stack, f"{stands}; {enters}")


def _too_deep(stack: PairStack, rules: Rules, deepest_mm: float) -> Finding:
    say = Speech(rules).near(Speech.length, stack.most_entry_mm, deepest_mm)
    deep = f"the punch goes {say.length(stack.most_entry_mm)} into the die"
    text = (
        f"{_stands(stack, say)}: {deep}, at most {say.length(deepest_mm)};"
        f" {_way_out(stack, _STOPS)}"
    )
    figures = (stack.most_entry_mm, deepest_mm, "mm", "shop rule")
    return Finding("entry", "refuse", text, *figures, remedy=_RECORD)


def _way_out(stack: PairStack, plain: str) -> str:
    """What helps; for a stack that must be shown to close, the figures that could show it."""
    if stack.measured or not stack.must_show:
        return plain
    return f"measure and record the stroke and the daylight of {stack.tooling.station.label}"


def _closes(stack: PairStack, text: str) -> Finding:
    """That it closes: in adapters that is well, with tools of two seats it is to be looked at."""
    verdict: Verdict = "ok"
    if stack.tooling.mixed:
        verdict = "caution"
        text += ". The seats are not the same: jog it down without stock first"
    return Finding("stack", verdict, text, stack.height_mm, None, "mm", _CP)


def _entry_by_ground(stack: PairStack, rules: Rules) -> Iterator[Finding]:
    """What grinding took from two tools of one seat of which no length is on record."""
    ground_mm = stack.punch.ground_mm + stack.die.ground_mm
    least_mm = rules.number("grind.least_entry_mm")
    entry_mm = entry_after_grinding_mm(stack.entry_new_mm, ground_mm)
    if not falls_short(entry_mm, least_mm):
        return
    say = Speech(rules).near(Speech.length, entry_mm, least_mm)
    reaches = remains(entry_mm)
    enters = f"enters the die {say.length(entry_mm)}" if reaches else "does not reach the die"
    text = (
        f"{_names(stack)} are ground {say.length(ground_mm)} together: the punch {enters}"
        f" at the bottom, at least {say.length(least_mm)}; {_SHIM}"
    )
    verdict: Verdict = "caution" if reaches else "refuse"
    yield Finding("entry", verdict, text, entry_mm, least_mm, "mm", _CP)


def _opening(stack: PairStack, say: Speech, thickness_mm: float | None) -> Iterator[Finding]:
    """With the ram up the plate must go between the two; judged where the stroke is on record."""
    daylight_mm = stack.tooling.station.daylight_mm
    if not stack.measured or daylight_mm is None or thickness_mm is None:
        return
    open_mm = opening_mm(daylight_mm, stack.height_mm)
    if falls_short(open_mm, thickness_mm):
        say = say.near(Speech.length, open_mm, thickness_mm)
        room = say.length(open_mm) if remains(open_mm) else "nothing"
        text = (
            f"{_stands(stack, say)}: of {say.length(daylight_mm)} daylight that leaves {room},"
            f" for {say.length(thickness_mm)}"
        )
        yield Finding("daylight", "refuse", text, open_mm, thickness_mm, "mm", _CP)


def _stands(stack: PairStack, say: Speech) -> str:
    """The pair with its heights, beside what the station leaves."""
    parts = [_with_height(tool, stack, say) for tool in (stack.punch, stack.die)]
    beside = [f"{one.tag} {say.length(one.added_height_mm or 0.0)}" for one in stack.adapters]
    adapted = f" with {' and '.join(beside)}" if beside else ""
    high = f"{' over '.join(parts)}{adapted} stand {say.length(stack.height_mm)}"
    if stack.measured:
        left = say.length(stack.left[0].height_mm)
        return f"{high}, where {stack.tooling.station.label} leaves {left} with the ram down"
    return f"{high}, {' and '.join(_beside(stack, one, say) for one in stack.left)}"


def _with_height(tool: Tool, stack: PairStack, say: Speech) -> str:
    seat = f"seat {tool.seat.name}, " if stack.tooling.mixed and tool.seat else ""
    return f"{_name(tool)} ({seat}{say.length(length_mm(tool) or 0.0)})"


def _beside(stack: PairStack, left: LeftHeight, say: Speech) -> str:
    """How a stack compares with new tools of the seat that a station may be set for."""
    over_mm = stack.height_mm - left.own_stack_mm
    if not exceeds(abs(over_mm), 0.001):
        return f"as high as new tools of seat {left.seat}"
    side = "higher" if over_mm > 0 else "lower"
    return f"{say.length(abs(over_mm))} {side} than new tools of seat {left.seat}"


def _names(stack: PairStack) -> str:
    if not stack.tooling.mixed:
        return f"{_name(stack.punch)} and {_name(stack.die)}"
    parts = [
        f"{_name(tool)} (seat {tool.seat.name})" for tool in (stack.punch, stack.die) if tool.seat
    ]
    return " over ".join(parts)


def _verb(stack: PairStack) -> str:
    return "is" if stack.tooling.mixed else "are"


def _name(tool: Tool) -> str:
    return tool.tag or tool.kind
