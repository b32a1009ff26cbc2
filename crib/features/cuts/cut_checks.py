"""The rules that judge a shear for a cut, in the order they are checked.

What a shear is proven for governs; the force on the area is shown beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from crib.features.common.adverse_checks import adverse_force
from crib.features.common.chain_checks import (
    attachment_findings,
    daylight_findings,
    envelope_finding,
    force_finding,
    listed_as,
    weakest_link,
)
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.cuts.cut_case import CP, CutCase, Points
from crib.features.cuts.cut_sections import BARS
from crib.features.cuts.cut_set import judge_tube_set
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal.envelopes import nearest_limit

HARDENED = ("quenched", "wear_plate")
LEAST_LEG_MM = 25.0
"""The shortest leg that a usual hold-down grips."""
BAR_SLACK_MM = 3.0
"""How much a hole for bar may be larger than the bar."""
USUAL_BAR_GAP_MM = 0.25


def judge_cut(case: CutCase, tooling: ToolingSet) -> Iterator[Finding]:
    """Every rule for one shear, with the blade or set that stands in it."""
    yield from _material(case)
    if case.section.word == "tube":
        yield from judge_tube_set(case, tooling)
    else:
        yield from _blade(case, tooling)
    yield from attachment_findings(tooling)
    yield from daylight_findings(case.section.governing_mm, tooling, case.say)
    proven = list(_envelopes(case, tooling))
    yield from proven
    if case.mitred:
        along = f"{case.say.length(case.along_mm)} along the cut at {case.angle_deg:g}°"
        yield Finding("mitre", "ok", along, case.along_mm, None, "mm", "plane geometry")
    if case.section.word == "angle":
        yield from _legs(case)
    yield _force(case, tooling, proven=bool(proven))
    yield from _adverse(case, tooling)
    if case.section.word != "tube":
        yield _gap(case)


def _material(case: CutCase) -> Iterator[Finding]:
    """A bar that is hardened shatters; a plate that is sold by hardness is not sheared."""
    material = case.plate.material
    if case.section.word in BARS and material.family in HARDENED:
        text = f"{material.name} is hardened: never shear a hardened bar, saw it"
        yield Finding("material", "refuse", text, source=CP, final=True)
    elif not material.punchable:
        note = f" ({material.note})" if material.note else ""
        text = f"{material.name} is not for shearing{note}; stop and ask"
        yield Finding("material", "refuse", text, source=material.source)


def _blade(case: CutCase, tooling: ToolingSet) -> Iterator[Finding]:
    """The blade that stands in the shear; one that was never entered is a caution."""
    blade = tooling.tool("blade")
    if blade is None:
        text = (
            f"no {case.section.word} blade entered for {tooling.station.label}: its edge is not"
            " known; look at it, and enter it"
        )
        yield Finding("blade", "caution", text, source="ledger")
    elif case.section.word in BARS:
        yield from _bar_hole(case, blade)
    elif blade.work_length_mm is not None:
        long_enough = not exceeds(case.along_mm, blade.work_length_mm)
        say = case.say.near(Speech.length, case.along_mm, blade.work_length_mm)
        text = (
            f"{say.length(case.along_mm)} along the cut, {blade.tag} works over"
            f" {say.length(blade.work_length_mm)}"
        )
        verdict: Verdict = "ok" if long_enough else "refuse"
        limit_mm = blade.work_length_mm
        yield Finding("blade length", verdict, text, case.along_mm, limit_mm, "mm", "the blade")


def _bar_hole(case: CutCase, blade: Tool) -> Iterator[Finding]:
    """A bar goes into the hole nearest above it; without a size the blade says nothing."""
    bar_mm, hole_mm = case.section.size_mm, blade.width_mm
    if hole_mm <= 0:
        return
    say = case.say.near(Speech.length, bar_mm, hole_mm)
    text = f"bar {say.length(bar_mm)} in the {say.length(hole_mm)} hole of {blade.tag}"
    verdict: Verdict = "ok"
    if exceeds(bar_mm, hole_mm):
        verdict, text = "refuse", f"{text}: it does not go in"
    elif exceeds(hole_mm - bar_mm, BAR_SLACK_MM):
        verdict, text = "caution", f"{text}: over {say.length(BAR_SLACK_MM)} of slack, it bends"
    yield Finding("bar hole", verdict, text, bar_mm, hole_mm, "mm", CP)


def _envelopes(case: CutCase, tooling: ToolingSet) -> Iterator[Finding]:
    """The lists that must cover the cut: the station's, and for a tube the set's as well.

    A tube set's walls are its list for a square cut, so that only a mitre needs another.
    """
    station, tube_set = tooling.station, tooling.tool("set")
    lists = [(station.label, station.envelope)]
    if tube_set is not None:
        lists.append((tube_set.tag or "the set", tube_set.envelope))
    against = [(owner, rows) for owner, rows in lists if case.points(rows)]
    if not against and (case.section.word != "tube" or case.mitred):
        against = lists[:1]
    for owner, rows in against:
        yield _envelope(case, owner, case.points(rows), case.straight().points(rows))


def _envelope(case: CutCase, owner: str, points: Points, straight: Points) -> Finding:
    size_mm, thickness_mm = case.section.size_mm, case.section.governing_mm

    def said(listed: Points, what: str) -> Finding:
        return envelope_finding(
            listed,
            size_mm,
            thickness_mm,
            case.material,
            case.rules,
            owner=owner,
            operation=what,
        )

    finding = said(points, case.what)
    if finding.verdict == "ok":
        return finding
    finding = _by_size(case, owner, points, finding)
    if case.mitred and said(straight, case.section.operation).verdict == "ok":
        text = f"{finding.text}; straight it is within its list, which says nothing of a mitre"
        return replace(finding, text=text)
    return finding


def _by_size(case: CutCase, owner: str, points: Points, finding: Finding) -> Finding:
    """Where the size is beyond every point, the largest size is the limit that says most."""
    size_mm = case.section.size_mm
    every = [point for listed in points.values() for point in listed]
    unknown = not every or case.material.multiplier is None
    if unknown or nearest_limit(every, size_mm) is not None:
        return finding
    limit_mm = max(point.size_mm for point in every)
    thickness_mm = case.section.governing_mm
    say = case.say.near(Speech.length, size_mm, limit_mm)
    asked = listed_as(owner, size_mm, thickness_mm, case.material, say)
    text = (
        f"{asked} is beyond its limit for {case.what}:"
        f" {say.length(size_mm)} > {say.length(limit_mm)}"
    )
    return replace(finding, text=text, value=size_mm, limit=limit_mm)


def _legs(case: CutCase) -> Iterator[Finding]:
    long_mm, short_mm = case.section.sizes_mm
    say = case.say
    if case.section.unequal:
        text = (
            f"unequal legs: the {say.length(long_mm)} leg governs; fit the right top blade, its"
            " heel must suit"
        )
        yield Finding("note", "ok", text, long_mm, None, "mm", CP)
    if falls_short(short_mm, LEAST_LEG_MM):
        say = say.near(Speech.length, short_mm, LEAST_LEG_MM)
        text = (
            f"leg {say.length(short_mm)}: a hold-down grips about {say.length(LEAST_LEG_MM)};"
            " see that it does not tip"
        )
        yield Finding("hold-down", "caution", text, short_mm, LEAST_LEG_MM, "mm", CP)


def _force(case: CutCase, tooling: ToolingSet, *, proven: bool) -> Finding:
    """The force on the area: shown, and held against a rating where there is one.

    Raked blades part a flat bit by bit with less, so there it never refuses: the list does.
    """
    station = tooling.station
    if proven and station.rated_force_n is None:
        text = f"{case.say.force(case.force_n)} on the whole area ({case.strength.basis})"
        text += "; no rated force entered, the list governs"
        return Finding("force", "ok", text, case.force_n / 1000, None, "kN", case.strength.source)
    link = weakest_link(tooling)
    finding = force_finding(
        case.force_n, link, case.rules, case.strength.basis, case.strength.source
    )
    limit_n, _weakest = link
    if limit_n is None:
        return finding
    if case.raked and finding.verdict == "refuse":
        text = f"{finding.text}; all at once, raked blades take less: the list governs"
        finding = replace(finding, verdict="caution", text=text)
    if station.lever_mm is None:
        return finding
    return _at_lever(case, finding, station.lever_mm * limit_n / case.force_n)


def _adverse(case: CutCase, tooling: ToolingSet) -> Iterator[Finding]:
    """The adverse plate where the force decides: raked blades go by their list, a lever by both."""
    if case.adverse_force_n is None or case.raked or tooling.station.lever_mm is not None:
        return
    yield from adverse_force(case, case.force_n, case.adverse_force_n, weakest_link(tooling))


def _at_lever(case: CutCase, finding: Finding, reach_mm: float) -> Finding:
    """A lever gives more force nearer its pivot; ``reach_mm`` is as far as it gives enough."""
    near = "thick and narrow nearer the pivot, wide and thin further out, within the manual's marks"
    text = f"{finding.text}; at most {case.say.length(reach_mm)} from the pivot: {near}"
    verdict = finding.verdict
    if verdict == "refuse" and not exceeds(case.section.size_mm, reach_mm):
        verdict = "caution"
    return replace(finding, text=text, verdict=verdict)


def _gap(case: CutCase) -> Finding:
    if case.gap_mm is None:
        usual = case.say.length(USUAL_BAR_GAP_MM)
        text = f"blade gap as the manual says; up to {usual} is usual for bar"
        return Finding("blade gap", "ok", text, source=CP)
    low, high = (case.say.length(gap_mm) for gap_mm in case.gap_mm)
    text = f"blade gap {low} to {high}; the manual comes first. A burr: turn the blade, then re-gap"
    low_mm, high_mm = case.gap_mm
    return Finding("blade gap", "ok", text, low_mm, high_mm, "mm", CP)
