"""The rules that judge a vee and a station for a bend, in the order they are checked."""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.bends.bend_case import CP, BendCase
from crib.features.common.adverse_checks import adverse_force
from crib.features.common.chain_checks import (
    attachment_findings,
    daylight_findings,
    envelope_finding,
    envelope_points,
    force_finding,
    seat_findings,
    weakest_link,
)
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool, ToolingSet
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal import bending, force

LEAST_VEE, NARROW_VEE, WIDE_VEE = 5.0, 6.0, 12.0
"""The vee over the thickness: refused below the first, a caution outside the other two."""
SHOP = "shop rule"
TOOL = "the tool's own marking"
OPERATION = "bend"


def judge_bend(case: BendCase, tooling: ToolingSet) -> Iterator[Finding]:
    """Every rule for one vee in one station."""
    tool = tooling.tool("brake_tool")
    yield from _material(case)
    yield from seat_findings(tooling)
    yield from attachment_findings(tooling)
    yield from daylight_findings(case.plate.thickness_mm, tooling, case.say)
    if tool is None:
        return
    yield _vee(case, tool)
    yield _flange(case, tool)
    yield _length(case, tool)
    yield from _angle(case, tool)
    yield _line(case, tool)
    link = weakest_link(tooling)
    yield force_finding(case.force_n(tool.width_mm), link, case.rules, case.basis)
    adverse_n = case.adverse_force_n(tool.width_mm)
    if adverse_n is not None:
        yield from adverse_force(case, case.force_n(tool.width_mm), adverse_n, link)
    yield from _lists(case, tool, tooling)
    yield _radius(case, tool)


def _material(case: BendCase) -> Iterator[Finding]:
    material = case.plate.material
    if not material.punchable:
        note = f" ({material.note})" if material.note else ""
        text = f"{material.name} is not for bending here{note}; stop and ask"
        yield Finding("material", "refuse", text, source=material.source)


def _vee(case: BendCase, tool: Tool) -> Finding:
    """The vee against the thickness: a narrow one cracks the bend, a wide one rounds it."""
    thickness_mm, say = case.plate.thickness_mm, case.say
    vee_mm = tool.width_mm
    times = vee_mm / thickness_mm
    written = say.near(Speech.ratio, times, LEAST_VEE, NARROW_VEE, WIDE_VEE).ratio(times)
    text = (
        f"vee {say.length(vee_mm)} is {written} thicknesses; by rule {say.length(case.rule_vee_mm)}"
    )
    widest = max(WIDE_VEE, case.rule_vee_mm / thickness_mm)
    verdict, limit = _vee_verdict(times, widest)
    if verdict == "refuse":
        text += f": below {limit:g} the bend cracks"
    elif verdict == "caution" and limit == NARROW_VEE:
        text += f": narrow, under {limit:g} the bend may crack; bend across the grain"
    elif verdict == "caution":
        text += f": wide, over {limit:g} it leaves a large radius"
    return Finding("vee", verdict, text, vee_mm, limit * thickness_mm, "mm", CP)


def _vee_verdict(times: float, widest: float) -> tuple[Verdict, float]:
    """What so many thicknesses of vee mean, and the limit that says so."""
    if falls_short(times, LEAST_VEE):
        return "refuse", LEAST_VEE
    if falls_short(times, NARROW_VEE):
        return "caution", NARROW_VEE
    return ("caution", widest) if exceeds(times, widest) else ("ok", LEAST_VEE)


def _flange(case: BendCase, tool: Tool) -> Finding:
    least_mm, say = bending.least_flange_mm(tool.width_mm), case.say
    if case.flange_mm is not None:
        say = say.near(Speech.length, case.flange_mm, least_mm)
    least = f"at least {say.length(least_mm)} for vee {say.length(tool.width_mm)}"
    if case.flange_mm is None:
        return Finding("flange", "ok", f"the flange must be {least}", None, least_mm, "mm", CP)
    verdict = bending.flange_verdict(case.flange_mm, tool.width_mm)
    text = f"flange {say.length(case.flange_mm)}, {least}"
    if verdict == "refuse":
        text += ": it drops into the vee"
    return Finding("flange", verdict, text, case.flange_mm, least_mm, "mm", CP)


def _length(case: BendCase, tool: Tool) -> Finding:
    length_mm, work_mm, say = case.length_mm, tool.work_length_mm, case.say
    if work_mm is None:
        text = "the tool's working length is not entered: measure it and enter it"
        return Finding("length", "refuse", text, length_mm, None, "mm", TOOL)
    say = say.near(Speech.length, length_mm, work_mm)
    verdict: Verdict = "refuse" if exceeds(length_mm, work_mm) else "ok"
    text = f"bend {say.length(length_mm)} long, the tool works over {say.length(work_mm)}"
    return Finding("length", verdict, text, length_mm, work_mm, "mm", TOOL)


def _angle(case: BendCase, tool: Tool) -> Iterator[Finding]:
    """A vee cannot bend sharper than its own angle; a corner goes into any usual one."""
    if tool.angle_deg is None:
        if exceeds(case.angle_deg, 90.0):
            text = f"the vee's angle is not entered: see that it is below {case.included_deg:g}°"
            yield Finding("angle", "caution", text, case.included_deg, None, "deg", TOOL)
        return
    too_sharp = falls_short(case.included_deg, tool.angle_deg)
    say = case.say.near(Speech.degrees, case.included_deg, tool.angle_deg)
    text = (
        f"{say.degrees(case.included_deg)} between the legs, the vee has"
        f" {say.degrees(tool.angle_deg)}"
    )
    verdict: Verdict = "refuse" if too_sharp else "ok"
    yield Finding("angle", verdict, text, case.included_deg, tool.angle_deg, "deg", TOOL)


def _line(case: BendCase, tool: Tool) -> Finding:
    """The force along the tool against what it may bear; a rating of its own counts elsewhere."""
    line_n_mm, limit_n_mm = case.line_n_mm(tool.width_mm), tool.line_limit_n_mm
    if limit_n_mm is None:
        text = f"{case.say.line_force(line_n_mm)} on the tool"
        if tool.rated_force_n is not None:
            return Finding("line", "ok", text, line_n_mm, None, "kN/m", TOOL)
        text += "; its own limit is not entered: read it off the tool first"
        return Finding("line", "caution", text, line_n_mm, None, "kN/m", TOOL)
    share = force.load(line_n_mm, limit_n_mm)
    caution_load = case.rules.number("force.caution_load")
    verdict = force.load_verdict(share, caution_load)
    say = case.say.near(Speech.line_force, line_n_mm, limit_n_mm)
    shares = case.say.near(Speech.share, share, 1.0, caution_load)
    text = (
        f"{say.line_force(line_n_mm)} of {say.line_force(limit_n_mm)} on the tool,"
        f" {shares.share(share)}"
    )
    return Finding("line", verdict, text, line_n_mm, limit_n_mm, "kN/m", TOOL)


def _lists(case: BendCase, tool: Tool, tooling: ToolingSet) -> Iterator[Finding]:
    """A list of lengths and thicknesses that station or tool brings along counts as well."""
    for owner, rows in ((tooling.station.label, tooling.station.envelope), ("vee", tool.envelope)):
        points = envelope_points(rows, OPERATION, 0.0)
        if points:
            yield envelope_finding(
                points,
                case.length_mm,
                case.plate.thickness_mm,
                case.material,
                case.rules,
                owner=owner,
                operation=OPERATION,
            )


def _radius(case: BendCase, tool: Tool) -> Finding:
    """The radius that the vee leaves against the least of the grade: a sharper bend cracks."""
    radius_mm, least = bending.inside_radius_mm(tool.width_mm), case.least_radius
    plate = f"{case.say.length(case.plate.thickness_mm)} {case.plate.material.name}"
    if least is None:
        text = f"inside radius about {case.say.length(radius_mm)}; no table has a least one for"
        text += f" {plate}: ask the engineer or the mill"
        return Finding("inside radius", "refuse", text, radius_mm, None, "mm", SHOP)
    least_mm, along_mm = least.across_mm, least.along_mm or 0.0
    say = case.say.near(Speech.length, radius_mm, least_mm, along_mm)
    text = f"inside radius about {say.length(radius_mm)}, {plate} wants at least"
    text += f" {say.length(least_mm)}"
    if along_mm:
        text += f" across the rolling, {say.length(along_mm)} along it"
    verdict: Verdict = "ok"
    if falls_short(radius_mm, least_mm):
        verdict = "refuse"
        text += f": it may crack, take a vee of {say.length(case.least_vee_mm)} or wider"
    elif falls_short(radius_mm, along_mm):
        verdict, text = "caution", f"{text}: lay the bend across the rolling only"
    return Finding("inside radius", verdict, text, radius_mm, least_mm, "mm", least.source)
