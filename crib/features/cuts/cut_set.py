"""The matched set that shears a tube: one outside size, and the walls it is stated for."""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.ask import Need
from crib.features.common.chain_checks import seat_findings
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.speech import shape_and_size as spoken_size
from crib.features.common.tooling import Seat, Tool, ToolingSet
from crib.features.common.wall_checks import PLATE, Wall, counted_wall_mm, wall_finding
from crib.features.cuts.cut_case import CP, CutCase
from crib.trade.common.verdicts import Verdict, exceeds


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
    least_mm, most_mm = tube_set.least_wall_mm, tube_set.most_wall_mm
    wall_mm = case.section.thickness_mm
    if least_mm is None or most_mm is None:
        text = "the set has no least and most wall: enter them from its plate"
        return Finding("wall", "refuse", text, wall_mm, None, "mm", PLATE)
    wall = Wall(wall_mm, case.material, _gauge_words(case))
    return wall_finding(wall, least_mm, most_mm, case.say, Speech.length)


def _gauge_words(case: CutCase) -> str:
    return "" if case.section.gauge is None else f" ({case.section.gauge} gauge BWG)"


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
        most_wall_mm=counted_wall_mm(case.section.thickness_mm, case.material),
        to_order=True,
    )
