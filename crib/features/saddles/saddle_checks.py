"""The rules that judge a saddle set for a branch and its header, in the order they are checked."""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.adverse_checks import adverse_force
from crib.features.common.chain_checks import (
    attachment_findings,
    daylight_findings,
    force_finding,
    seat_findings,
    weakest_link,
)
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.common.wall_checks import Wall, wall_finding
from crib.features.saddles.saddle_case import STROKES, SaddleCase
from crib.trade.common.verdicts import exceeds
from crib.trade.metal.saddles import nest_verdict

CP = "common practice, no source"
SHOP = "shop rule"
_SQUARE_DEG = 90.0
_SAME_DEG = 0.5


def judge_saddle(case: SaddleCase, tooling: ToolingSet) -> Iterator[Finding]:
    """Every rule for one set in one station."""
    yield from _material(case)
    yield from _meeting(case)
    yield from _assumed_wall(case)
    chosen = tooling.tool("set")
    if chosen is not None:
        yield from _square_set(chosen)
        yield _nest(case, chosen)
        yield _header(case, chosen)
        yield _wall(case, chosen)
    yield from seat_findings(tooling)
    yield from attachment_findings(tooling)
    yield from daylight_findings(case.saddle.branch.outside_mm, tooling, case.say)
    basis = f"each stroke; {case.strength.basis}"
    link = weakest_link(tooling)
    yield force_finding(case.force_n, link, case.rules, basis, case.strength.source)
    if case.adverse_force_n is not None:
        yield from adverse_force(case, case.force_n, case.adverse_force_n, link)
    yield _method(case)


def _material(case: SaddleCase) -> Iterator[Finding]:
    material = case.saddle.plate.material
    if not material.punchable:
        text = f"{material.name} is not for punching; stop and ask"
        yield Finding("material", "refuse", text, source=material.source)


def _meeting(case: SaddleCase) -> Iterator[Finding]:
    """A set cuts square saddles whose axes meet, and no others."""
    angle_deg, offset_mm = case.saddle.angle_deg, case.saddle.offset_mm
    if angle_deg != _SQUARE_DEG:
        text = f"a set cuts at 90° only, this meets at {angle_deg:g}°: use a template"
        yield Finding("angle", "refuse", text, angle_deg, _SQUARE_DEG, "deg", CP)
    if offset_mm:
        text = f"a set cuts on the centre only, this is {case.size(offset_mm)} off: use a template"
        yield Finding("offset", "refuse", text, offset_mm, 0.0, "mm", CP)


def _assumed_wall(case: SaddleCase) -> Iterator[Finding]:
    saddle = case.saddle
    if not saddle.wall_named:
        wall_mm = saddle.plate.thickness_mm
        text = f"no wall named: taken as schedule 40, {case.wall(wall_mm)}; measure it"
        yield Finding("wall named", "caution", text, wall_mm, None, "mm", CP)


def _square_set(chosen: Tool) -> Iterator[Finding]:
    angle_deg = chosen.angle_deg
    if angle_deg is not None and abs(angle_deg - _SQUARE_DEG) > _SAME_DEG:
        text = f"{_name(chosen)} is made for {angle_deg:g}°, not for a square saddle"
        yield Finding("set angle", "refuse", text, angle_deg, _SQUARE_DEG, "deg", CP)


def _nest(case: SaddleCase, chosen: Tool) -> Finding:
    outside_mm, limit_mm = case.saddle.branch.outside_mm, case.tolerance_mm
    off_mm = chosen.width_mm - outside_mm
    verdict = nest_verdict(chosen.width_mm, outside_mm, limit_mm)
    text = f"nest {case.size(chosen.width_mm)}, branch {case.size(outside_mm)} outside"
    if verdict == "refuse":
        say = case.say.near(Speech.caliper, abs(off_mm), limit_mm)
        slack = f"{say.caliper(abs(off_mm))} {'slack' if off_mm > 0 else 'too tight'}"
        why = "it will crush the work" if off_mm > 0 else "it will not close on the work"
        text += f": {slack}, at most {say.caliper(limit_mm)}; {why}"
    else:
        text += "; put a caliper on it"
    return Finding("nest", verdict, text, abs(off_mm), limit_mm, "mm", f"{CP} (1/32 in); {SHOP}")


def _header(case: SaddleCase, chosen: Tool) -> Finding:
    outside_mm, limit_mm = case.saddle.header.outside_mm, case.tolerance_mm
    made_for_mm = chosen.header_mm
    if made_for_mm is None:
        text = f"{_name(chosen)} has no header declared: enter the outside it is cut for"
        return Finding("header", "refuse", text, outside_mm, None, "mm", "declared by the shop")
    off_mm = abs(made_for_mm - outside_mm)
    text = f"cut for a header {case.size(made_for_mm)} outside"
    if exceeds(off_mm, limit_mm):
        text += f", this one is {case.size(outside_mm)}: the saddle would not sit"
        return Finding("header", "refuse", text, off_mm, limit_mm, "mm", f"{CP}; {SHOP}")
    return Finding("header", "ok", text, off_mm, limit_mm, "mm", f"{CP}; {SHOP}")


def _wall(case: SaddleCase, chosen: Tool) -> Finding:
    wall_mm, most_mm = case.saddle.plate.thickness_mm, chosen.most_wall_mm
    if most_mm is None:
        text = f"{_name(chosen)} has no thickest wall declared: enter it before it is used"
        return Finding("wall", "refuse", text, wall_mm, None, "mm", "declared by the shop")
    wall = Wall(wall_mm, case.material)
    return wall_finding(wall, chosen.least_wall_mm, most_mm, case.say, Speech.wall)


def _method(case: SaddleCase) -> Finding:
    """How it is cut, and how long; shown with every pick."""
    text = (
        f"{STROKES} strokes, the work turned 180° between against the same stop;"
        f" saddle {case.size(case.depth_mm)} deep"
    )
    tips_mm, throat_mm = case.tip_to_tip_mm, case.throat_mm
    if tips_mm is not None and throat_mm is not None:
        text += (
            f"; cut {case.size(tips_mm)} long, square: that is tip to tip,"
            f" and {case.size(throat_mm)} from throat to throat"
        )
    return Finding("method", "ok", text, case.depth_mm, None, "mm", f"plane geometry; {CP}")


def _name(chosen: Tool) -> str:
    return chosen.tag or "the set"
