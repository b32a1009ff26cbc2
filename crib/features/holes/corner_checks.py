"""The corners of a square or rectangle: the punch's must be its own, the die's follow them."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from crib.features.common.ask import Workaround
from crib.features.common.corner_radius import RULE, radius_finding
from crib.features.common.findings import Finding
from crib.features.common.sizes import size_word
from crib.features.common.tooling import CORNER_RULE, Tool
from crib.features.holes.pair_case import CP, PairCase
from crib.trade.common.verdicts import exceeds, falls_short, remains


def judge_corners(case: PairCase, punch: Tool | None, die: Tool | None) -> Iterator[Finding]:
    """Whether punch and die leave the corners that are wanted; nothing where all are sharp."""
    if punch is None:
        return
    found = radius_finding("the punch", punch.corner_mm, case.outline.corner_mm, case.say)
    if found is not None:
        yield found
    if die is not None:
        yield from _die(case, punch, die)


def _die(case: PairCase, punch: Tool, die: Tool) -> Iterator[Finding]:
    """The gap in the corners: no tighter than half the clearance, and no sharp die under a round.

    Corners with one centre have the same gap as the sides; a die that is rounder closes it.
    """
    gap_mm = min(die.width_mm - punch.width_mm, die.long_mm - punch.long_mm) / 2
    more_mm, say = die.corner_mm - punch.corner_mm, case.say
    if not remains(gap_mm) or not (die.corner_mm or punch.corner_mm):
        return
    corner_gap_mm = gap_mm * sqrt(2) - more_mm * (sqrt(2) - 1)
    dies = f"die corners of radius {say.size(die.corner_mm)}" if die.corner_mm else "a sharp die"
    if falls_short(corner_gap_mm, gap_mm / 2):
        text = f"{dies}: {say.length(max(corner_gap_mm, 0.0))} left in the corners, they run tight"
        yield Finding(RULE, "refuse", text, corner_gap_mm, gap_mm / 2, "mm", CP)
    elif exceeds(-more_mm, case.rules.number(CORNER_RULE)):
        text = (
            f"{dies} under a punch of radius {say.size(punch.corner_mm)}: take the die made to it"
        )
        limit_mm = case.rules.number(CORNER_RULE)
        yield Finding(RULE, "refuse", text, -more_mm, limit_mm, "mm", CP)


def rounded_ways(case: PairCase) -> Iterator[Workaround]:
    """What does instead of a rounded punch: the corners drilled, and two openings across."""
    outline, system = case.outline, case.say.system
    drill_mm = 2 * outline.corner_mm
    across, along = outline.width_mm - drill_mm, outline.length_mm - drill_mm
    if falls_short(across, case.plate.thickness_mm):
        return
    plate = case.plate.phrase(system)
    first = f"{size_word(outline.width_mm, system)} x {size_word(along, system)}"
    second = f"{size_word(across, system)} x {size_word(outline.length_mm, system)}"
    text = f"drill its four corners {case.say.size(drill_mm)} first, then punch it crosswise:"
    text += f" {first} and {second}, so that no sharp corner is left"
    yield Workaround(text, f"rectangle {first} {plate}", 42)
