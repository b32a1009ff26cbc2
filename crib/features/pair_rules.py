"""The rules that judge a punch and a die for a hole, in the order they are checked.

Each rule looks at one thing and says so with the figure, the limit, the reason and the source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import cast

from crib.features.ask import Circumstances, Plate
from crib.features.findings import Finding
from crib.features.speech import Speech
from crib.features.strength import Strength, shear_strength
from crib.features.tooling import Tool, ToolingSet
from crib.trade import clearance, die_geometry, force, punch_strength, shapes
from crib.trade.clearance import ClearanceBands, ClearanceStep, Policy
from crib.trade.hole_method import full_size_punching
from crib.trade.rules import Rules
from crib.trade.shapes import Outline
from crib.trade.verdicts import Verdict, exceeds, falls_short, worst

CP = "common practice, no source"
SHOP = "shop rule"


@dataclass(frozen=True)
class PairCase:
    """A hole to be punched: what every rule looks at, worked out once."""

    outline: Outline
    plate: Plate
    rules: Rules
    facts: Circumstances
    bolt_mm: float | None = None

    @cached_property
    def say(self) -> Speech:
        """How to write figures."""
        return Speech(self.rules)

    @cached_property
    def strength(self) -> Strength:
        """The plate's shear strength."""
        return shear_strength(self.plate.material, self.rules, self.facts)

    @cached_property
    def force_n(self) -> float:
        """The punching force with a flat face."""
        perimeter_mm = shapes.perimeter_mm(self.outline)
        return force.punching_force_n(
            perimeter_mm, self.plate.thickness_mm, self.strength.shear_mpa
        )

    @cached_property
    def stress_mpa(self) -> float:
        """The stress in the punch."""
        return punch_strength.punch_stress_mpa(self.force_n, shapes.area_mm2(self.outline))

    @cached_property
    def step(self) -> ClearanceStep:
        """The chart's clearance for this thickness."""
        return clearance.chart_step(self.plate.thickness_mm, self.say.chart)

    @cached_property
    def policy(self) -> Policy:
        """Clean hole for finish work, else what the shop set."""
        chosen = self.rules.text("clearance.policy")
        return "clean_hole" if self.facts.appearance == "finish" else cast(Policy, chosen)

    @cached_property
    def policy_clearance_mm(self) -> float:
        """The clearance the policy aims at."""
        return clearance.policy_clearance_mm(
            self.policy,
            self.plate.thickness_mm,
            self.plate.material.tool_life_clearance_pct,
            self.say.chart,
        )

    @cached_property
    def bands(self) -> ClearanceBands:
        """The shop's warning bands."""
        number = self.rules.number
        return ClearanceBands(
            refuse_below_pct=number("clearance.refuse_below_pct"),
            tight_below_pct=number("clearance.tight_below_pct"),
            wide_above_pct=number("clearance.wide_above_pct"),
            refuse_above_pct=number("clearance.refuse_above_pct"),
        )


def judge_plate(case: PairCase) -> Iterator[Finding]:
    """What can be said before any tool is chosen: material, code, thin punch."""
    yield from _material(case)
    yield from _method(case)
    yield _ratio(case)


def judge_pair(case: PairCase, tooling: ToolingSet) -> Iterator[Finding]:
    """Every rule for one choice of punch, die and station."""
    punch, die = tooling.tool("punch"), tooling.tool("die")
    yield from judge_plate(case)
    if punch is not None:
        yield _size(case, punch)
    yield from _seats(tooling)
    if punch is not None and die is not None:
        yield from _key(punch, die)
        yield _clearance(case, punch, die)
    if punch is not None:
        yield _body(case, punch)
        yield _stress(case, punch)
    if die is not None:
        yield _wall(case, die)
    yield _force(case, tooling)
    yield from _daylight(case, tooling)


def _material(case: PairCase) -> Iterator[Finding]:
    material = case.plate.material
    if not material.punchable:
        note = f" ({material.note})" if material.note else ""
        text = f"{material.name} is not for punching{note}; stop and ask"
        yield Finding("material", "refuse", text, source=material.source)


def _method(case: PairCase) -> Iterator[Finding]:
    code = case.facts.code or case.rules.text("code.default")
    if not code:
        return
    given_yield = case.facts.cert_yield_mpa
    ruling = full_size_punching(
        code,
        thickness_mm=case.plate.thickness_mm,
        least_hole_mm=shapes.narrowest_mm(case.outline),
        bolt_mm=case.bolt_mm,
        yield_mpa=case.plate.material.yield_mpa if given_yield is None else given_yield,
        family=case.plate.material.family,
        execution_class=case.facts.execution_class,
        dynamic=case.facts.dynamic,
    )
    verdict: Verdict = "ok" if ruling.allowed else "refuse"
    text = ruling.text if ruling.allowed else f"{ruling.text}; instead: {ruling.instead}"
    thickness_mm = case.plate.thickness_mm
    yield Finding("method", verdict, text, thickness_mm, ruling.limit_mm, "mm", ruling.source)


def _size(case: PairCase, punch: Tool) -> Finding:
    tolerance_mm = case.rules.number("size.tolerance_mm")
    off_mm = max(
        abs(punch.width_mm - case.outline.width_mm), abs(punch.long_mm - case.outline.length_mm)
    )
    same = punch.shape == case.outline.shape and not exceeds(off_mm, tolerance_mm)
    how = "measured" if punch.measured else "nominal"
    size = size_text(case.say, punch.shape, punch.width_mm, punch.long_mm)
    wanted = size_text(case.say, case.outline.shape, case.outline.width_mm, case.outline.length_mm)
    text = f"punch {size} ({how})" if same else f"punch {size} ({how}), wanted {wanted}"
    return Finding(
        "size", "ok" if same else "refuse", text, off_mm, tolerance_mm, "mm", f"{SHOP}, tolerance"
    )


def _seats(tooling: ToolingSet) -> Iterator[Finding]:
    for role, tool in tooling.tools.items():
        label = f"{role} {tool.tag}".strip()
        if tool.seat is None:
            text = f"{label} has no seat declared: say which seat it fits"
            yield Finding("seat", "refuse", text, source="declared by the shop")
        elif tool.seat.name in tooling.station.seats:
            text = f"{label} seats in {tool.seat.name}, which {tooling.station.label} accepts"
            yield Finding("seat", "ok", text, source="declared by the shop")
        elif role in tooling.adapters:
            adapter = tooling.adapters[role]
            text = f"{label} (seat {tool.seat.name}) sits in adapter {adapter.tag}"
            yield Finding(
                "seat", "ok", f"{text}, seat {adapter.fits}", source="declared by the shop"
            )
        else:
            accepts = ", ".join(sorted(tooling.station.seats)) or "none declared"
            text = (
                f"{label} is seat {tool.seat.name}; {tooling.station.label} accepts {accepts}"
                ", and no adapter closes the chain"
            )
            yield Finding("seat", "refuse", text, source="declared by the shop")


def _key(punch: Tool, die: Tool) -> Iterator[Finding]:
    if punch.shape == "round":
        return
    shared = sorted(set(punch.key_angles) & set(die.key_angles))
    if shared:
        angles = "/".join(f"{angle}°" for angle in shared)
        yield Finding("key", "ok", f"punch and die key alike at {angles}", source=CP)
        return
    text = (
        f"punch keys at {_angles(punch)}, die at {_angles(die)}: the shaped pair would not line up"
    )
    yield Finding("key", "refuse", text, source=CP, final=True)


def _angles(tool: Tool) -> str:
    return "/".join(f"{angle}°" for angle in tool.key_angles) or "no angle (unkeyed)"


def _clearance(case: PairCase, punch: Tool, die: Tool) -> Finding:
    thickness_mm = case.plate.thickness_mm
    gaps_mm = {
        clearance.total_clearance_mm(punch.width_mm, die.width_mm),
        clearance.total_clearance_mm(punch.long_mm, die.long_mm),
    }
    least_mm = min(gaps_mm)
    if die.shape != punch.shape or not exceeds(least_mm, 0.0):
        text = (
            f"die {size_text(case.say, die.shape, die.width_mm, die.long_mm)} is not bigger all"
            f" round than the punch ({case.say.length(punch.width_mm)})"
            ": measure both again; never run this pair"
        )
        return Finding("clearance", "refuse", text, least_mm, 0.0, "mm", CP, final=True)
    verdict = worst(
        clearance.clearance_verdict(gap_mm, thickness_mm, case.step, case.bands)
        for gap_mm in gaps_mm
    )
    limit_mm, reason = _clearance_limit(case, least_mm, max(gaps_mm), verdict)
    percent = clearance.percent_of_thickness(least_mm, thickness_mm)
    text = f"{case.say.length(least_mm)} total, {percent:.1f} % of thickness{reason}"
    return Finding(
        "clearance", verdict, text, least_mm, limit_mm, "mm", f"{SHOP} over public charts"
    )


def _clearance_limit(
    case: PairCase, least_mm: float, most_mm: float, verdict: Verdict
) -> tuple[float, str]:
    """The figure that the clearance was held against, and the words for it."""
    thickness_mm, bands = case.plate.thickness_mm, case.bands
    if verdict == "ok":
        policy = case.policy.replace("_", " ")
        aim = case.say.length(case.policy_clearance_mm)
        return case.policy_clearance_mm, f"; policy {policy}: {aim}"
    tight = falls_short(100 * least_mm / thickness_mm, bands.tight_below_pct)
    if tight:
        percent = bands.refuse_below_pct if verdict == "refuse" else bands.tight_below_pct
        return percent * thickness_mm / 100, f"; under {percent:g} %: stripping, galling, wear"
    percent = bands.refuse_above_pct if verdict == "refuse" else bands.wide_above_pct
    over = case.say.length(most_mm)
    return percent * thickness_mm / 100, f" ({over} at most); over {percent:g} %: burr, roll-over"


def _body(case: PairCase, punch: Tool) -> Finding:
    diagonal_mm = shapes.diagonal_mm(punch.outline)
    if punch.seat is None or punch.seat.body_diameter_mm is None:
        text = "the punch's seat has no body diameter: declare it in numbers"
        return Finding("body", "refuse", text, diagonal_mm, None, "mm", CP)
    limit_mm = max(punch.seat.body_diameter_mm, punch.seat.nut_bore_mm or 0.0)
    fits = not exceeds(diagonal_mm, limit_mm)
    text = (
        f"greatest size across {case.say.length(diagonal_mm)},"
        f" body or nut {case.say.length(limit_mm)}"
    )
    return Finding("body", "ok" if fits else "refuse", text, diagonal_mm, limit_mm, "mm", CP)


def _wall(case: PairCase, die: Tool) -> Finding:
    number = case.rules.number
    least_mm = die_geometry.least_die_wall_mm(
        case.plate.thickness_mm,
        number("die.wall_thin_mm"),
        number("die.wall_thick_mm"),
        number("die.wall_step_mm"),
    )
    if die.seat is None or die.seat.die_diameter_mm is None:
        text = "the die's seat has no outside diameter: declare it in numbers"
        return Finding("die wall", "refuse", text, None, least_mm, "mm", SHOP)
    wall_mm = die_geometry.die_wall_mm(die.seat.die_diameter_mm, shapes.diagonal_mm(die.outline))
    holds = not falls_short(wall_mm, least_mm)
    text = f"wall left {case.say.length(wall_mm)}, at least {case.say.length(least_mm)}"
    return Finding("die wall", "ok" if holds else "refuse", text, wall_mm, least_mm, "mm", SHOP)


def _ratio(case: PairCase) -> Finding:
    ratio = punch_strength.hole_ratio(shapes.narrowest_mm(case.outline), case.plate.thickness_mm)
    least = case.plate.material.min_hole_ratio
    if least is None:
        name = case.plate.material.name
        text = f"no least hole for {name}: set material.{name}.min_hole_ratio"
        return Finding("hole to thickness", "refuse", text, ratio, None, "", SHOP)
    verdict = punch_strength.ratio_verdict(ratio, least)
    text = f"narrowest size is {ratio:.2f} of the thickness, at least {least:g}"
    if verdict == "refuse":
        text += f" in {case.plate.material.name}: the punch would be too thin; drill it"
    return Finding(
        "hole to thickness", verdict, text, ratio, least, "", case.plate.material.ratio_source
    )


def _stress(case: PairCase, punch: Tool) -> Finding:
    ok_to_mpa = punch.stress_limit_mpa or case.rules.number("punch.stress_ok_mpa")
    refuse_above_mpa = max(ok_to_mpa, case.rules.number("punch.stress_refuse_mpa"))
    verdict = punch_strength.stress_verdict(case.stress_mpa, ok_to_mpa, refuse_above_mpa)
    limit_mpa = refuse_above_mpa if verdict == "refuse" else ok_to_mpa
    text = f"{case.say.stress(case.stress_mpa)} in the punch, limit {case.say.stress(limit_mpa)}"
    if verdict == "caution":
        text += ": premium punch, oil, one straight hit at a time"
    return Finding("punch stress", verdict, text, case.stress_mpa, limit_mpa, "MPa", SHOP)


def _force(case: PairCase, tooling: ToolingSet) -> Finding:
    limit_n, weakest = weakest_link(tooling)
    force_kn = case.force_n / 1000
    if limit_n is None:
        text = f"{weakest} has no rated force: enter it from the plate before anything is punched"
        return Finding("force", "refuse", text, force_kn, None, "kN", "the machine's own plate")
    share = force.load(case.force_n, limit_n)
    verdict = force.load_verdict(share, case.rules.number("force.caution_load"))
    text = (
        f"{case.say.force(case.force_n)} of {case.say.force(limit_n)} at {weakest},"
        f" {100 * share:.0f} % ({case.strength.basis})"
    )
    return Finding("force", verdict, text, force_kn, limit_n / 1000, "kN", case.strength.source)


def weakest_link(tooling: ToolingSet) -> tuple[float | None, str]:
    """The least force in the chain station, adapters [N], and which link it is.

    A link without a rating makes the whole chain unknown.
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
    return limit_n, weakest


def _daylight(case: PairCase, tooling: ToolingSet) -> Iterator[Finding]:
    opening_mm = tooling.station.daylight_mm
    if opening_mm is not None and exceeds(case.plate.thickness_mm, opening_mm):
        text = (
            f"{case.say.length(case.plate.thickness_mm)} does not go into the"
            f" {case.say.length(opening_mm)} opening"
        )
        yield Finding(
            "daylight",
            "refuse",
            text,
            case.plate.thickness_mm,
            opening_mm,
            "mm",
            "the machine's own plate",
        )


def size_text(say: Speech, shape: str, width_mm: float, long_mm: float) -> str:
    """A size with its shape: ``round 13/16 in``, ``obround 13/16 x 1-7/8 in``."""
    if exceeds(long_mm, width_mm):
        short = say.length(width_mm).rsplit(" ", 1)[0]
        return f"{shape} {short} x {say.length(long_mm)}"
    return f"{shape} {say.length(width_mm)}"
