"""The rules that judge a punch and a die for a hole, in the order they are checked.

Each rule looks at one thing and says so with the figure, the limit, the reason and the source.
"""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.adverse_checks import InAdverse, adverse_force, adverse_stress
from crib.features.common.chain_checks import (
    Link,
    daylight_findings,
    force_finding,
    seat_findings,
    weakest_link,
)
from crib.features.common.findings import Finding
from crib.features.common.key_checks import key_findings
from crib.features.common.speech import Speech, shape_and_size
from crib.features.common.tolerances import Tolerance
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.holes.method_checks import judge_code_die, judge_method, judge_under_size
from crib.features.holes.pair_case import CP, SHOP, PairCase
from crib.features.holes.pair_clearance import judge_clearance
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal import die_geometry, punch_strength, shapes


def judge_plate(case: PairCase) -> Iterator[Finding]:
    """What can be said before any tool is chosen: material, code, thin punch."""
    yield from _material(case)
    yield from judge_method(case)
    yield _ratio(case)


def judge_bare(case: PairCase) -> Iterator[Finding]:
    """What can be said of a hole and the punch that one would order for it, tools apart."""
    yield from judge_plate(case)
    yield _stress(case, None)


def judge_pair(case: PairCase, tooling: ToolingSet) -> Iterator[Finding]:
    """Every rule for one choice of punch, die and station."""
    punch, die = tooling.tool("punch"), tooling.tool("die")
    # Before a punch is chosen, what is refused must be refused with every one of them.
    stout, light = (case.stoutest, case.lightest) if punch is None else (case.struck_by(punch),) * 2
    yield from stout.told(judge_plate)
    if case.to_ream:
        yield from judge_under_size(case, punch, die)
    elif punch is not None:
        yield from case.told(_size, punch)
    if case.outline.corner_mm or any(tool.corner_radius_mm for tool in (punch, die) if tool):
        # Most holes and tools are sharp: they do without the rules for rounded corners.
        from crib.features.holes.corner_checks import judge_corners

        yield from judge_corners(case, punch, die)
    yield from seat_findings(tooling)
    yield from key_findings(tooling)
    if punch is not None and die is not None:
        yield from case.told(_gap, punch, die)
    if punch is not None:
        yield from stout.told(_point, punch)
    if die is not None:
        yield from case.told(_wall, die)
    yield from light.told(_force, weakest_link(tooling))
    yield from daylight_findings(case.plate.thickness_mm, tooling, case.say)


def _gap(case: PairCase, punch: Tool, die: Tool) -> Iterator[Finding]:
    yield judge_clearance(case, punch, die)
    yield from judge_code_die(case, punch, die)


def _point(case: PairCase, punch: Tool) -> Iterator[Finding]:
    yield from _body(case, punch)
    yield from _face(punch)
    yield _stress(case, punch)
    yield from _adverse_stress(case, punch)


def _force(case: PairCase, link: Link) -> Iterator[Finding]:
    yield force_finding(case.force_n, link, case.rules, case.strength.basis, case.strength.source)
    if case.adverse_force_n is not None:
        yield from adverse_force(case, case.force_n, case.adverse_force_n, link)


def _material(case: PairCase) -> Iterator[Finding]:
    material = case.plate.material
    if not material.punchable:
        note = f" ({material.note})" if material.note else ""
        text = f"{material.name} is not for punching{note}; stop and ask"
        yield Finding("material", "refuse", text, source=material.source)


def _size(case: PairCase, punch: Tool) -> Iterator[Finding]:
    """Whether the punch may stand for the hole, and by whose word where it is not of its size."""
    off_mm = max(
        (punch.width_mm - case.outline.width_mm, punch.long_mm - case.outline.length_mm), key=abs
    )
    allowed, over = case.tolerance, off_mm > 0
    limit_mm = case.allowed_mm[0 if over else 1]
    same = case.may_strike(punch)
    how = "measured" if punch.measured else "nominal"
    size = shape_and_size(case.say, punch.shape, punch.width_mm, punch.long_mm)
    wanted = shape_and_size(
        case.say, case.outline.shape, case.outline.width_mm, case.outline.length_mm
    )
    text = f"punch {size} ({how})" if same else f"punch {size} ({how}), wanted {wanted}"
    if allowed is not None and punch.shape == case.outline.shape:
        text += f", allowed{allowed.phrase(case.say.system)}"
    source = f"{SHOP}, tolerance" if allowed is None else allowed.source
    verdict: Verdict = "ok" if same else "refuse"
    yield Finding("size", verdict, text, abs(off_mm), limit_mm, "mm", source)
    if same and case.struck_by(punch) is not case and allowed is not None:
        yield _deviation(case, off_mm, limit_mm, allowed)


def _deviation(case: PairCase, off_mm: float, limit_mm: float, allowed: Tolerance) -> Finding:
    """A punch that stands in for another: what the hole will be off, and who lets it."""
    side = "over" if off_mm > 0 else "under"
    text = (
        f"the hole comes out {case.say.length(abs(off_mm))} {side} its size, at most"
        f" {case.say.length(limit_mm)}"
    )
    if not allowed.stated:
        text += " by its standard: the drawing may say less"
    verdict: Verdict = "ok" if allowed.stated else "caution"
    return Finding("deviation", verdict, text, off_mm, limit_mm, "mm", allowed.source)


def _body(case: PairCase, punch: Tool) -> Iterator[Finding]:
    if punch.shape not in shapes.SHAPES:
        return
    diagonal_mm = shapes.diagonal_mm(punch.outline)
    if punch.seat is None or punch.seat.body_diameter_mm is None:
        text = "the punch's seat has no body diameter: declare it in numbers"
        yield Finding("body", "refuse", text, diagonal_mm, None, "mm", CP)
        return
    limit_mm = max(punch.seat.body_diameter_mm, punch.seat.nut_bore_mm or 0.0)
    fits = not exceeds(diagonal_mm, limit_mm)
    say = case.say.near(Speech.length, diagonal_mm, limit_mm)
    text = f"greatest size across {say.length(diagonal_mm)}, body or nut {say.length(limit_mm)}"
    yield Finding("body", "ok" if fits else "refuse", text, diagonal_mm, limit_mm, "mm", CP)


def _face(punch: Tool) -> Iterator[Finding]:
    """A face that is not flat spares force, but no more than is left of it after grinding."""
    if punch.face == "roof":
        text = "roof-shaped face: the force is that of a flat one, none is taken off"
        yield Finding("face", "ok", text, source=CP)
    elif punch.face == "bevel":
        text = "bevelled face: it pushes sideways, so clamp the work; no force is taken off for it"
        yield Finding("face", "caution", text, source=CP)


def _wall(case: PairCase, die: Tool) -> Iterator[Finding]:
    if die.shape not in shapes.SHAPES:
        return
    number = case.rules.number
    least_mm = die_geometry.least_die_wall_mm(
        case.plate.thickness_mm,
        number("die.wall_thin_mm"),
        number("die.wall_thick_mm"),
        number("die.wall_step_mm"),
    )
    if die.seat is None or die.seat.die_diameter_mm is None:
        text = "the die's seat has no outside diameter: declare it in numbers"
        yield Finding("die wall", "refuse", text, None, least_mm, "mm", SHOP)
        return
    wall_mm = die_geometry.die_wall_mm(die.seat.die_diameter_mm, shapes.diagonal_mm(die.outline))
    holds = not falls_short(wall_mm, least_mm)
    say = case.say.near(Speech.length, wall_mm, least_mm)
    text = f"wall left {say.length(wall_mm)}, at least {say.length(least_mm)}"
    yield Finding("die wall", "ok" if holds else "refuse", text, wall_mm, least_mm, "mm", SHOP)


def _ratio(case: PairCase) -> Finding:
    ratio = punch_strength.hole_ratio(shapes.narrowest_mm(case.punched), case.plate.thickness_mm)
    least = case.plate.material.min_hole_ratio
    if least is None:
        name = case.plate.material.name
        text = f"no least hole for {name}: set material.{name}.min_hole_ratio"
        return Finding("hole to thickness", "refuse", text, ratio, None, "", SHOP)
    verdict = punch_strength.ratio_verdict(ratio, least)
    written = case.say.near(Speech.ratio, ratio, least).ratio(ratio)
    text = f"narrowest size is {written} of the thickness, at least {least:g}"
    if verdict == "refuse":
        text += f" in {case.plate.material.name}: the punch would be too thin; drill it"
    return Finding(
        "hole to thickness", verdict, text, ratio, least, "", case.plate.material.ratio_source
    )


def _stress(case: PairCase, punch: Tool | None) -> Finding:
    own_mpa = punch.stress_limit_mpa if punch else None
    ok_to_mpa = own_mpa or case.rules.number("punch.stress_ok_mpa")
    refuse_above_mpa = own_mpa or case.rules.number("punch.stress_refuse_mpa")
    verdict = punch_strength.stress_verdict(case.stress_mpa, ok_to_mpa, refuse_above_mpa)
    limit_mpa = refuse_above_mpa if verdict == "refuse" else ok_to_mpa
    whose = "its own limit" if own_mpa else "limit"
    say = case.say.near(Speech.stress, case.stress_mpa, limit_mpa)
    text = f"{say.stress(case.stress_mpa)} in the punch, {whose} {say.stress(limit_mpa)}"
    if verdict == "caution":
        text += ": premium punch, oil, one straight hit at a time"
    return Finding("punch stress", verdict, text, case.stress_mpa, limit_mpa, "MPa", SHOP)


def _adverse_stress(case: PairCase, punch: Tool) -> Iterator[Finding]:
    limit_mpa = punch.stress_limit_mpa or case.rules.number("punch.stress_refuse_mpa")
    if case.adverse_stress_mpa is not None:
        beside = InAdverse(case.stress_mpa, case.adverse_stress_mpa, limit_mpa)
        yield from adverse_stress(case, beside)
