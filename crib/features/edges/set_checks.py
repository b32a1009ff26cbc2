"""The rules for a matched set at a station: material, seat, and what each link is proven for.

A station and a set are each proven by a list of sizes and thicknesses of their own, or by a rated
force. A list governs: it is read from the plate, while the force is only that of a flat blade,
which a raked one stays below.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from crib.features.common.ask import Circumstances, Plate
from crib.features.common.chain_checks import (
    PLATE,
    attachment_findings,
    envelope_finding,
    envelope_points,
    force_finding,
    seat_findings,
    weakest_link,
)
from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.strength import shear_strength
from crib.features.common.tooling import Tool, ToolingSet
from crib.trade.common.verdicts import Verdict, exceeds
from crib.trade.metal import force
from crib.trade.shop.shop_rules import Rules

CP = "common practice, no source"
SHOP = "shop rule"
LISTED_N = 1e12
"""A force beyond every machine: the rating of a link that its list proves instead."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One stroke of a set: its operation, its size as lists give it, the length of edge it cuts."""

    operation: str
    size_mm: float
    length_mm: float


def cut_force_n(cut_mm: float, plate: Plate, rules: Rules, facts: Circumstances) -> float:
    """The force of a flat blade over a length of cut."""
    shear_mpa = shear_strength(plate.material, rules, facts).shear_mpa
    return force.punching_force_n(cut_mm, plate.thickness_mm, shear_mpa)


def material_findings(plate: Plate, operation: str) -> Iterator[Finding]:
    """A plate that no set should cut, or of which nobody has said how strong it is."""
    material = plate.material
    if not material.punchable:
        note = f" ({material.note})" if material.note else ""
        text = f"{material.name} is not for a {operation} set{note}; stop and ask"
        yield Finding("material", "refuse", text, source=material.source)
    elif material.multiplier is None:
        text = f"{material.name} has no multiplier: enter it before a {operation} is judged"
        yield Finding("material", "refuse", text, source=material.source)


def within(have_mm: float, wanted_mm: float, rules: Rules) -> bool:
    """Whether a set reaches a wanted size, give or take what counts as the same size."""
    return not exceeds(wanted_mm - have_mm, rules.number("size.tolerance_mm"))


def reach_finding(
    rule: str, what: str, have_mm: float | None, wanted_mm: float, rules: Rules
) -> Finding:
    """A size of the set that must reach the wanted one; the gauge sets it smaller."""
    say = Speech(rules)
    if have_mm is None:
        text = f"the set has no {what} entered: measure it and enter it"
        return Finding(rule, "refuse", text, None, wanted_mm, "mm", "measured by the shop")
    enough = within(have_mm, wanted_mm, rules)
    text = f"{what} {say.length(wanted_mm)}, the set reaches {say.length(have_mm)}"
    verdict: Verdict = "ok" if enough else "refuse"
    return Finding(rule, verdict, text, wanted_mm, have_mm, "mm", CP)


def chain_findings(
    cut: Cut, plate: Plate, tooling: ToolingSet, rules: Rules, facts: Circumstances
) -> Iterator[Finding]:
    """Seat, attachment, lists, force and opening of one choice of set and station."""
    yield from seat_findings(tooling)
    yield from attachment_findings(tooling)
    tool = tooling.tool("set")
    if tool is not None and plate.material.multiplier is not None:
        yield from _proof(cut, plate, tooling, tool, rules, facts)
    yield from _daylight(plate, tooling, rules)


def _proof(
    cut: Cut,
    plate: Plate,
    tooling: ToolingSet,
    tool: Tool,
    rules: Rules,
    facts: Circumstances,
) -> Iterator[Finding]:
    """What the lists of station and set say, and the force where there is no list."""
    station = tooling.station
    lists = {
        station.label: envelope_points(station.envelope, cut.operation, 0.0),
        "the set": envelope_points(tool.envelope, cut.operation, 0.0),
    }
    for owner, points in lists.items():
        if points:
            yield envelope_finding(
                points,
                cut.size_mm,
                plate.thickness_mm,
                plate.material,
                rules,
                owner=owner,
                operation=cut.operation,
            )
    station_listed, set_listed = (bool(points) for points in lists.values())
    if station.rated_force_n is None and not station_listed:
        yield _unrated(cut, tooling, set_listed=set_listed)
        if not set_listed:
            return
    listed = _with_lists(tooling, tool, station_listed, set_listed)
    yield _force(cut, plate, tooling, listed, rules, facts)


def _unrated(cut: Cut, tooling: ToolingSet, *, set_listed: bool) -> Finding:
    """A station of which nothing is entered: the set's own list alone may stand for both."""
    where = tooling.station.label
    if set_listed:
        text = f"only the set is listed: check the plate of {where} and enter what it allows"
        return Finding("rating", "caution", text, source=PLATE)
    text = (
        f"{where} has neither a list for {cut.operation} nor a rated force, and the set has no"
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


def _force(
    cut: Cut,
    plate: Plate,
    tooling: ToolingSet,
    listed: ToolingSet,
    rules: Rules,
    facts: Circumstances,
) -> Finding:
    """The force of a flat blade against every rating; where a list governs it only cautions."""
    force_n = cut_force_n(cut.length_mm, plate, rules, facts)
    basis = f"flat-blade equivalent, {shear_strength(plate.material, rules, facts).basis}"
    by_links = force_finding(force_n, listed, rules, basis)
    limit_n, _weakest = weakest_link(listed)
    if by_links.verdict == "refuse" or limit_n is None:
        return by_links
    if tooling.station.rated_force_n is None:
        return by_links if limit_n < LISTED_N else _only_listed(force_n, rules, basis)
    by_all = force_finding(force_n, tooling, rules, basis)
    if by_all.verdict == "refuse":
        text = f"{by_all.text}: more than the rating, but the list governs"
        return replace(by_all, verdict="caution", text=text)
    return by_all


def _only_listed(force_n: float, rules: Rules, basis: str) -> Finding:
    text = f"{Speech(rules).force(force_n)} ({basis}); the list governs"
    return Finding("force", "ok", text, force_n / 1000, None, "kN", basis)


def _daylight(plate: Plate, tooling: ToolingSet, rules: Rules) -> Iterator[Finding]:
    opening_mm = tooling.station.daylight_mm
    if opening_mm is not None and exceeds(plate.thickness_mm, opening_mm):
        say = Speech(rules)
        thickness_mm = plate.thickness_mm
        opening = say.length(opening_mm)
        text = f"{say.length(thickness_mm)} does not go into the {opening} opening"
        yield Finding("daylight", "refuse", text, thickness_mm, opening_mm, "mm", PLATE)


def corner_finding(facts: Circumstances, rules: Rules) -> Finding:
    """What a set leaves sharp should be curved; a code or moving loads make that a caution."""
    say = Speech(rules)
    code = facts.code or rules.text("code.default")
    strict = facts.dynamic or "aisc" in code.casefold()
    text = (
        f"re-entrant corners come out sharp: curve them, {say.length(9.525)} to {say.length(12.7)}"
    )
    text += " radius serves static work"
    if facts.dynamic:
        text += "; this is not static, so ask the engineer"
    verdict: Verdict = "caution" if strict else "ok"
    return Finding("corners", verdict, text, None, 9.525, "mm", "ANSI/AISC 360-22, M2.2, user note")
