"""The matched set that shears a tube: one outside size, and the walls it is stated for."""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.ask import Need
from crib.features.common.chain_checks import seat_findings
from crib.features.common.findings import Finding
from crib.features.common.speech import shape_and_size as spoken_size
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.cuts.cut_case import CP, CutCase
from crib.trade.common.verdicts import Verdict, exceeds
from crib.trade.metal.envelopes import scaled_thickness_mm
from crib.trade.metal.shears import tube_wall_verdict

PLATE = "the set's own plate"


def tube_set_need(case: CutCase) -> Need:
    """A set of exactly the tube's outside."""
    slack_mm = case.rules.number("size.tolerance_mm")
    long_mm, width_mm = case.section.sizes_mm[0], case.section.sizes_mm[-1]
    return Need(
        "set",
        case.section.tube,
        width_mm - slack_mm,
        width_mm + slack_mm,
        long_mm - slack_mm,
        long_mm + slack_mm,
        width_mm,
        "of exactly that outside",
        profile="tube",
    )


def judge_tube_set(case: CutCase, tooling: ToolingSet) -> Iterator[Finding]:
    """The set's size, walls and seat."""
    tube_set = tooling.tool("set")
    if tube_set is None:
        return
    yield _size(case, tube_set)
    yield from seat_findings(tooling)
    yield _wall(case, tube_set)
    text = "keep the weld seam away from the piercing corner; a slight dimple is expected"
    yield Finding("note", "ok", text, source=CP)


def _size(case: CutCase, tube_set: Tool) -> Finding:
    tolerance_mm = case.rules.number("size.tolerance_mm")
    long_mm, width_mm = case.section.sizes_mm[0], case.section.sizes_mm[-1]
    off_mm = max(abs(tube_set.width_mm - width_mm), abs(tube_set.long_mm - long_mm))
    same = tube_set.shape == case.section.tube and not exceeds(off_mm, tolerance_mm)
    text = f"set for {spoken_size(case.say, tube_set.shape, tube_set.width_mm, tube_set.long_mm)}"
    if not same:
        text += f", wanted {spoken_size(case.say, case.section.tube, width_mm, long_mm)}"
    verdict: Verdict = "ok" if same else "refuse"
    return Finding("size", verdict, text, off_mm, tolerance_mm, "mm", "shop rule, tolerance")


def _wall(case: CutCase, tube_set: Tool) -> Finding:
    """A wall too thin dimples in; one too thick, or too strong for its thickness, overloads it."""
    least_mm, most_mm = tube_set.least_wall_mm, tube_set.most_wall_mm
    wall_mm, say = case.section.thickness_mm, case.say
    if least_mm is None or most_mm is None:
        text = "the set has no least and most wall: enter them from its plate"
        return Finding("wall", "refuse", text, wall_mm, None, "mm", PLATE)
    within = f"the set's {say.length(least_mm)} to {say.length(most_mm)}"
    text = f"wall {say.length(wall_mm)}{_gauge_words(case)} in {within}"
    verdict = tube_wall_verdict(wall_mm, least_mm, most_mm)
    if verdict == "refuse":
        text = text.replace(" in the set's", " outside the set's")
        limit_mm = most_mm if exceeds(wall_mm, most_mm) else least_mm
        return Finding("wall", verdict, text, wall_mm, limit_mm, "mm", PLATE)
    needed_mm = needed_wall_mm(case)
    if exceeds(needed_mm, most_mm):
        name = case.plate.material.name
        text += f", but in {name} it counts as {say.length(needed_mm)} of mild steel"
        return Finding("wall", "refuse", text, needed_mm, most_mm, "mm", "shop rule")
    return Finding("wall", "ok", text, wall_mm, most_mm, "mm", PLATE)


def _gauge_words(case: CutCase) -> str:
    return "" if case.section.gauge is None else f" ({case.section.gauge} gauge BWG)"


def needed_wall_mm(case: CutCase) -> float:
    """The wall of mild steel that loads a set no less; without a multiplier none is known."""
    multiplier = case.material.multiplier
    if multiplier is None:
        return float("inf")
    return scaled_thickness_mm(case.section.thickness_mm, multiplier)


def ideal_tube_set(case: CutCase, seat: Seat) -> Tool:
    """The set to order for a seat."""
    long_mm, width_mm = case.section.sizes_mm[0], case.section.sizes_mm[-1]
    return Tool(
        role="set",
        shape=case.section.tube,
        width_mm=width_mm,
        long_mm=long_mm,
        seat=seat,
        kind="set to order",
        profile="tube",
        least_wall_mm=case.section.thickness_mm,
        most_wall_mm=needed_wall_mm(case),
        to_order=True,
    )
