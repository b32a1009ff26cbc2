"""The gap between a punch and its die: never zero, and in the band that suits the thickness."""

from __future__ import annotations

from collections.abc import Callable

from crib.features.common.findings import Finding
from crib.features.common.speech import Speech, shape_and_size
from crib.features.common.tooling import Tool
from crib.features.holes.pair_case import CP, SHOP, PairCase
from crib.trade.common.verdicts import Verdict, exceeds, falls_short, worst
from crib.trade.metal import clearance


def judge_clearance(case: PairCase, punch: Tool, die: Tool) -> Finding:
    """The clearance on both sides of a pair; the worse side is the one that is told."""
    gaps_mm = sorted(
        {
            clearance.total_clearance_mm(punch.width_mm, die.width_mm),
            clearance.total_clearance_mm(punch.long_mm, die.long_mm),
        }
    )
    if not _bigger(punch, die):
        return Finding(
            "clearance", "refuse", _never(case, punch, die), gaps_mm[0], 0.0, "mm", CP, final=True
        )
    said: dict[float, Verdict] = {gap_mm: _verdict(case, gap_mm) for gap_mm in gaps_mm}
    verdict = worst(said.values())
    gap_mm = next(gap_mm for gap_mm in gaps_mm if said[gap_mm] == verdict)
    limit_mm, reason = _limit(case, gap_mm, verdict)
    percent = clearance.percent_of_thickness(gap_mm, case.plate.thickness_mm)
    limit = clearance.percent_of_thickness(limit_mm, case.plate.thickness_mm)
    percents = case.say.near(Speech.percent, percent, limit)
    say = case.say.near(Speech.length, gap_mm, limit_mm)
    text = f"{say.length(gap_mm)} total, {percents.percent(percent)} of thickness{reason(say)}"
    source = f"{SHOP} over public charts"
    return Finding("clearance", verdict, text, gap_mm, limit_mm, "mm", source)


def _bigger(punch: Tool, die: Tool) -> bool:
    """Whether the die is of the punch's shape and larger on every side, dust apart."""
    return (
        die.shape == punch.shape
        and exceeds(die.width_mm, punch.width_mm)
        and exceeds(die.long_mm, punch.long_mm)
    )


def _never(case: PairCase, punch: Tool, die: Tool) -> str:
    opening = shape_and_size(case.say, die.shape, die.width_mm, die.long_mm)
    point = shape_and_size(case.say, punch.shape, punch.width_mm, punch.long_mm)
    if die.shape != punch.shape:
        return f"die {opening} is not of the shape of the punch ({point}): never run this pair"
    return (
        f"die {opening} is not bigger all round than the punch ({point})"
        ": measure both again; never run this pair"
    )


def _verdict(case: PairCase, gap_mm: float) -> Verdict:
    thickness_mm = case.plate.thickness_mm
    return clearance.clearance_verdict(gap_mm, thickness_mm, case.step, case.bands)


def _limit(
    case: PairCase, gap_mm: float, verdict: Verdict
) -> tuple[float, Callable[[Speech], str]]:
    """The figure that the clearance was held against, and the words for it."""
    thickness_mm, bands = case.plate.thickness_mm, case.bands
    if verdict == "ok":
        policy = case.policy.replace("_", " ")
        aim_mm = case.policy_clearance_mm
        return aim_mm, lambda say: f"; policy {policy}: {say.length(aim_mm)}"
    if falls_short(100 * gap_mm / thickness_mm, bands.tight_below_pct):
        percent = bands.refuse_below_pct if verdict == "refuse" else bands.tight_below_pct
        under = f"; under {percent:g} %: stripping, galling, wear"
        return percent * thickness_mm / 100, lambda _say: under
    percent = bands.refuse_above_pct if verdict == "refuse" else bands.wide_above_pct
    over = f"; over {percent:g} %: burr, roll-over"
    return percent * thickness_mm / 100, lambda _say: over
