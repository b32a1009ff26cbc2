"""The rules for a matched set at a station: material, seat, and what each link is proven for.

A station and a set are each proven by a list of sizes and thicknesses of their own, or by a rated
force. A list governs: it is read from the plate, while the force is only that of a flat blade,
which a raked one stays below. How far below nobody knows: beyond a shop rule's times the rating the
list must say the depth that it proves.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from crib.acts import act
from crib.features.common.adverse_checks import adverse_force
from crib.features.common.chain_checks import (
    PLATE,
    attachment_findings,
    daylight_findings,
    force_finding,
    seat_findings,
    weakest_link,
)
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.edges.set_case import CP, SHOP, SetCase
from crib.features.edges.set_lists import SET, Lists, lists_of
from crib.trade.common.verdicts import Verdict, exceeds, falls_short
from crib.trade.metal import force

LISTED_N = 1e12
"""A force beyond every machine: the rating of a link that its list proves instead."""


def material_findings(case: SetCase) -> Iterator[Finding]:
    """A plate that no set should cut, or of which nobody has said how strong it is."""
    material, operation = case.plate.material, case.cut.operation
    if not material.punchable:
        note = f" ({material.note})" if material.note else ""
        text = f"{material.name} is not for a {operation} set{note}; stop and ask"
        yield Finding("material", "refuse", text, source=material.source)
    elif material.multiplier is None:
        text = f"{material.name} has no multiplier: enter it before a {operation} is judged"
        yield Finding("material", "refuse", text, source=material.source)


def reach_finding(
    rule: str, what: str, have_mm: float | None, wanted_mm: float, case: SetCase
) -> Finding:
    """A size of the set that must reach the wanted one; the gauge sets it smaller."""
    say = case.say
    if have_mm is None:
        text = f"the set has no {what} entered: measure it and enter it"
        return Finding(rule, "refuse", text, None, wanted_mm, "mm", "measured by the shop")
    enough = not exceeds(wanted_mm - have_mm, case.tolerance_mm)
    say = say.near(Speech.length, wanted_mm, have_mm)
    text = f"{what} {say.length(wanted_mm)}, the set reaches {say.length(have_mm)}"
    verdict: Verdict = "ok" if enough else "refuse"
    return Finding(rule, verdict, text, wanted_mm, have_mm, "mm", CP)


def chain_findings(case: SetCase, tooling: ToolingSet) -> Iterator[Finding]:
    """Seat, attachment, lists, force and opening of one choice of set and station."""
    yield from seat_findings(tooling)
    yield from attachment_findings(tooling)
    tool = tooling.tool("set")
    if tool is not None and case.plate.material.multiplier is not None:
        yield from _proof(case, tooling, tool)
    yield from daylight_findings(case.plate.thickness_mm, tooling, case.say)


def _proof(case: SetCase, tooling: ToolingSet, tool: Tool) -> Iterator[Finding]:
    """What the lists of station and set say, and the force where there is no list."""
    station = tooling.station
    lists = lists_of(case, station, tool)
    yield from lists.findings(case)
    station_listed, set_listed = lists.has(station.label), lists.has(SET)
    if station.rated_force_n is None and not station_listed:
        yield _unrated(case, tooling, set_listed=set_listed)
        if not set_listed:
            return
    listed = _with_lists(tooling, tool, station_listed, set_listed)
    yield _force(case, tooling, listed, lists)
    yield from _adverse(case, listed)


def _unrated(case: SetCase, tooling: ToolingSet, *, set_listed: bool) -> Finding:
    """A station of which nothing is entered: the set's own list alone may stand for both."""
    where = tooling.station.label
    if set_listed:
        text = f"only the set is listed: check the plate of {where} and enter what it allows"
        return Finding("rating", "caution", text, source=PLATE)
    text = (
        f"{where} has neither a list for {case.cut.operation} nor a rated force, and the set has no"
        " list: enter one from the plate"
    )
    return Finding("rating", "refuse", text, source=PLATE)


def _with_lists(
    tooling: ToolingSet, tool: Tool, station_listed: bool, set_listed: bool
) -> ToolingSet:
    """The chain with the ratings left out that a list stands in for."""
    station = tooling.station
    if station_listed or station.rated_force_n is None:
        station = replace(station, rated_force_n=LISTED_N, derate=0.0)
    if set_listed:
        tool = replace(tool, rated_force_n=None)
    return ToolingSet({**tooling.tools, "set": tool}, station, tooling.adapters)


def _force(case: SetCase, tooling: ToolingSet, listed: ToolingSet, lists: Lists) -> Finding:
    """The force of a flat blade against every rating; where a list governs it mostly cautions."""
    basis = f"flat-blade equivalent, {case.strength.basis}"
    by_links = force_finding(case.force_n, weakest_link(listed), case.rules, basis)
    if by_links.verdict == "refuse":
        return by_links
    every = _every_rating(tooling)
    link = weakest_link(every)
    if link[0] is None or link[0] >= LISTED_N:
        return _only_listed(case, basis)
    by_all = force_finding(case.force_n, link, case.rules, basis)
    if by_all.verdict != "refuse":
        return by_all
    most = case.rules.number("force.over_list")
    for owner, rated_n in _ratings(tooling):
        if exceeds(case.force_n, most * rated_n) and not lists.says_how_deep(owner, case):
            return _far_over(by_all, most, owner, case)
    text = f"{by_all.text}: more than the rating, but the list governs"
    return replace(by_all, verdict="caution", text=text)


def _adverse(case: SetCase, listed: ToolingSet) -> Iterator[Finding]:
    """The adverse plate against the ratings that no list stands in for."""
    link = weakest_link(listed)
    if case.adverse_force_n is not None and link[0] is not None and link[0] < LISTED_N:
        yield from adverse_force(case, case.force_n, case.adverse_force_n, link)


def _ratings(tooling: ToolingSet) -> Iterator[tuple[str, float]]:
    """What a list stands in for: the ratings of the station and of the set, by their owner."""
    station, tool = tooling.station, tooling.tools["set"]
    if station.rated_force_n is not None:
        yield station.label, force.station_limit_n(station.rated_force_n, station.derate)
    if tool.rated_force_n is not None:
        yield SET, tool.rated_force_n


def _far_over(by_all: Finding, most: float, owner: str, case: SetCase) -> Finding:
    """No rake is known that would spare so much, and the list may mean a shallower cut."""
    deep = case.say.length(case.depth_mm)
    text = (
        f"{by_all.text}: over {most:g} times the rating, and the list of {owner} does not say how"
        f" deep it goes; if its plate proves {deep} at this size and thickness, enter that depth"
    )
    lists = act("import", file="envelopes.csv")
    return replace(by_all, text=text, source=f"{by_all.source}; {SHOP}", remedy=lists)


def _every_rating(tooling: ToolingSet) -> ToolingSet:
    """The chain by all its ratings; a station without one is left to its list."""
    station = tooling.station
    if station.rated_force_n is not None:
        return tooling
    return replace(tooling, station=replace(station, rated_force_n=LISTED_N, derate=0.0))


def _only_listed(case: SetCase, basis: str) -> Finding:
    text = f"{case.say.force(case.force_n)} ({basis}); the list governs"
    return Finding("force", "ok", text, case.force_n / 1000, None, "kN", basis)


def corner_finding(case: SetCase) -> Finding:
    """What a set leaves sharp should be curved; a code or moving loads make that a caution."""
    say, dynamic = case.say, case.facts.dynamic
    radius_mm = case.corner_radius_mm
    strict = dynamic or "aisc" in case.code.casefold()
    curved = radius_mm and not falls_short(radius_mm, 9.525)
    text = "re-entrant corners come out sharp: curve them,"
    if radius_mm:
        text = f"re-entrant corners have a radius of {say.size(radius_mm)}:"
    text += f" {say.length(9.525)} to {say.length(12.7)} radius serves static work"
    if dynamic:
        text += "; this is not static, so ask the engineer"
    verdict: Verdict = "caution" if dynamic or (strict and not curved) else "ok"
    return Finding("corners", verdict, text, None, 9.525, "mm", "ANSI/AISC 360-22, M2.2, user note")
