"""The chain from tool to machine: seats that must close, the weakest rating, envelopes.

What a tool sits in, what the place is taken by, what station or set is proven for: the same for
every kind of feature.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import inf

from crib.features.common.findings import Finding
from crib.features.common.speech import Speech
from crib.features.common.tooling import EnvelopeRow, Tool, ToolingSet
from crib.trade.common.verdicts import Verdict, exceeds
from crib.trade.metal import force
from crib.trade.metal.envelopes import EnvelopePoint, fits, nearest_limit, scaled_thickness_mm
from crib.trade.metal.materials import Material
from crib.trade.shop.shop_rules import Rules

PLATE = "the machine's own plate"


def seat_findings(tooling: ToolingSet) -> Iterator[Finding]:
    """The seat chain of each role; the same words serve every piece of the same design."""
    for role, tool in tooling.tools.items():
        verdict, text = _seat(role, tool, tooling)
        yield Finding("seat", verdict, text, source="declared by the shop")


def _seat(role: str, tool: Tool, tooling: ToolingSet) -> tuple[Verdict, str]:
    where = tooling.station.label
    if tool.seat is None:
        return "refuse", f"the {role} has no seat declared: say which seat it fits"
    seat = tool.seat.name
    if seat in tooling.station.seats:
        return "ok", f"{role} seats in {seat}, which {where} accepts"
    adapter = tooling.adapters.get(role)
    if adapter is not None:
        return "ok", f"{role} (seat {seat}) sits in adapter {adapter.tag}, seat {adapter.fits}"
    accepts = ", ".join(sorted(tooling.station.seats)) or "none declared"
    text = f"the {role} is seat {seat}; {where} accepts {accepts}, and no adapter closes the chain"
    return "refuse", text


Link = tuple[float | None, str]
"""What the weakest link of a chain bears [N], None where that is not known, and which it is."""


def weakest_link(tooling: ToolingSet) -> Link:
    """The least force in the chain station, adapters, set [N], and which link it is.

    A station or adapter without a rating makes the whole chain unknown; a set or brake tool that
    has a rating of its own counts too.
    """
    station = tooling.station
    if station.rated_force_n is None:
        return None, station.label
    limit_n, weakest = force.station_limit_n(station.rated_force_n, station.derate), station.label
    for adapter in tooling.adapters.values():
        if adapter.rated_force_n is None:
            return None, f"adapter {adapter.tag}"
        if adapter.rated_force_n < limit_n:
            limit_n, weakest = adapter.rated_force_n, f"adapter {adapter.tag}"
    for tool in tooling.tools.values():
        if tool.rated_force_n is not None and tool.rated_force_n < limit_n:
            limit_n, weakest = tool.rated_force_n, f"{tool.role.replace('_', ' ')} {tool.tag}"
    return limit_n, weakest


def rating_figures(tooling: ToolingSet, force_n: float | None = None) -> dict[str, float]:
    """The station's rating, what the chain bears [kN], and the share that a force takes of it.

    Empty while a link is not rated; without a force that can be held against it, without the share.
    """
    limit_n, _weakest = weakest_link(tooling)
    if limit_n is None or tooling.station.rated_force_n is None:
        return {}
    rated = {"rated_kn": tooling.station.rated_force_n / 1000, "limit_kn": limit_n / 1000}
    return rated if force_n is None else rated | {"load": force.load(force_n, limit_n)}


def force_finding(
    force_n: float, link: Link, rules: Rules, basis: str, source: str = ""
) -> Finding:
    """A force against the weakest link of the chain; an unknown rating refuses.

    ``basis`` is how the force was reckoned, ``source`` where its strength comes from, if that is
    more than the basis says.
    """
    say = Speech(rules)
    limit_n, weakest = link
    if limit_n is None:
        text = f"{weakest} has no rated force: enter it from the plate before it is used"
        return Finding("force", "refuse", text, force_n / 1000, None, "kN", PLATE)
    share, caution_load = force.load(force_n, limit_n), rules.number("force.caution_load")
    verdict = force.load_verdict(share, caution_load)
    forces, shares = (
        say.near(Speech.force, force_n, limit_n),
        say.near(Speech.share, share, 1.0, caution_load),
    )
    text = (
        f"{forces.force(force_n)} of {forces.force(limit_n)} at {weakest}, {shares.share(share)}"
        f" ({basis})"
    )
    return Finding("force", verdict, text, force_n / 1000, limit_n / 1000, "kN", source or basis)


def attachment_findings(tooling: ToolingSet) -> Iterator[Finding]:
    """An attachment needs its place at the station free."""
    for adapter in tooling.adapters.values():
        others = [tag for tag in tooling.station.attachments if tag != adapter.tag]
        if adapter.side == "attachment" and others:
            text = f"{tooling.station.label} is taken by {', '.join(others)}: take it off first"
            yield Finding("attachment", "refuse", text, source="ledger")


def daylight_findings(stock_mm: float, tooling: ToolingSet, say: Speech) -> Iterator[Finding]:
    """The stock must go into the station's opening, whatever is done to it there."""
    opening_mm = tooling.station.daylight_mm
    if opening_mm is not None and exceeds(stock_mm, opening_mm):
        say = say.near(Speech.length, stock_mm, opening_mm)
        text = f"{say.length(stock_mm)} does not go into the {say.length(opening_mm)} opening"
        yield Finding("daylight", "refuse", text, stock_mm, opening_mm, "mm", PLATE)


def envelope_points(
    rows: Iterable[EnvelopeRow], operation: str, cut_angle_deg: float
) -> dict[str, list[EnvelopePoint]]:
    """The points proven for an operation at an angle, by their reference material."""
    points: dict[str, list[EnvelopePoint]] = {}
    for row in rows:
        if row.operation == operation and abs(row.cut_angle_deg - cut_angle_deg) < 0.5:
            point = EnvelopePoint(row.size_mm, row.thickness_mm)
            points.setdefault(row.material, []).append(point)
    return points


def listed_as(
    owner: str, size_mm: float, thickness_mm: float, material: Material, say: Speech
) -> str:
    """What is looked up in whose list."""
    return f"{owner}: {say.length(size_mm)} by {say.length(thickness_mm)} {material.name}"


@dataclass(frozen=True, slots=True)
class _Listed:
    """A thickness as one reference steel's list counts it, and the most that list has there."""

    fits: bool
    counted_mm: float
    most_mm: float | None
    steel: str

    @property
    def room_mm(self) -> float:
        """How much thicker the list goes than is asked; the less negative, the nearer."""
        return -inf if self.most_mm is None else self.most_mm - self.counted_mm


def envelope_finding(
    points: dict[str, list[EnvelopePoint]],
    size_mm: float,
    thickness_mm: float,
    material: Material,
    rules: Rules,
    *,
    owner: str,
    operation: str,
) -> Finding:
    """A size and thickness against an envelope; one point must cover both, in its own steel.

    No list at all is "not rated", which refuses. A stronger steel counts as thicker, and what it
    counts as is the figure that is held against the list.
    """
    say = Speech(rules)
    if not points:
        text = f"{owner} is not rated for {operation}: enter its envelope from the plate"
        return Finding("envelope", "refuse", text, thickness_mm, None, "mm", PLATE)
    if material.multiplier is None:
        text = f"{material.name} has no multiplier: enter it before an envelope is read for it"
        return Finding("envelope", "refuse", text, thickness_mm, None, "mm", material.source)
    every = [
        _in_list(listed, size_mm, thickness_mm, material.multiplier, rules.material(reference))
        for reference, listed in points.items()
    ]
    best = max(every, key=lambda one: (one.fits, one.room_mm))
    asked = listed_as(owner, size_mm, thickness_mm, material, say)
    if best.most_mm is not None:
        say = say.near(Speech.length, best.counted_mm, best.most_mm)
    if exceeds(best.counted_mm, thickness_mm) or say.more:
        asked += f", counted as {say.length(best.counted_mm)} of {best.steel},"
    most = "no thickness at that size" if best.most_mm is None else say.length(best.most_mm)
    if best.fits:
        text = f"{asked} is within its list, to {most} there"
    else:
        reach = most if best.most_mm is None else f"at most {most}"
        text = f"{asked} is beyond its list for {operation} ({reach} there)"
    verdict: Verdict = "ok" if best.fits else "refuse"
    return Finding("envelope", verdict, text, best.counted_mm, best.most_mm, "mm", PLATE)


def _in_list(
    listed: list[EnvelopePoint],
    size_mm: float,
    thickness_mm: float,
    multiplier: float,
    steel: Material,
) -> _Listed:
    counted_mm = scaled_thickness_mm(thickness_mm, multiplier, steel.multiplier or multiplier)
    covered = fits(listed, size_mm, counted_mm) is not None
    return _Listed(covered, counted_mm, nearest_limit(listed, size_mm), steel.name)
