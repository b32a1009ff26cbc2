"""What sets, shears, brakes, saddles and pickets must keep to."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, prod, sqrt

from tests.audit.asks import AuditAsk
from tests.audit.checks import NEAR, SAME_MM, SHEAR_MPA, STEELS, Taken, covers, limit_n
from tests.audit.world import Row, World, width_mm


def set_faults(ask: AuditAsk, one: Taken, world: World) -> Iterator[str]:
    """A notch, vee or corner: the set reaches, and lists or ratings bear every hit."""
    tool, profile = one.pieces["set"], ask.sizes["profile"]
    wide, deep = ask.sizes["width"], ask.sizes["depth"]
    yield from _bite_faults(one, (wide, deep) if profile == "corner" else (wide,))
    if tool["profile"] != profile:
        yield f"{tool['tag']} is a {tool['profile']} set"
    if abs(tool["corner_radius_mm"] - ask.sizes.get("corner", 0.0)) > 0.4 + 1e-6:
        yield f"{tool['tag']} leaves corners of {tool['corner_radius_mm']:.2f}"
    if one.hits:
        held = width_mm(tool), tool["depth_mm"]
        along, inward = held[::-1] if one.hits[0]["turned"] else held
        wide, deep = min(wide, along), min(deep, inward) if profile == "corner" else deep
    reaches = sorted((width_mm(tool), tool["depth_mm"] or 0.0))
    needs = sorted((wide, deep)) if profile == "corner" else [deep, wide]
    if profile != "corner":
        reaches = [tool["depth_mm"] or 0.0, width_mm(tool)]
    if any(need > reach + SAME_MM for need, reach in zip(needs, reaches, strict=True)):
        yield f"{tool['tag']} reaches {reaches}, needed {needs}"
    if profile == "notch" and width_mm(tool) > ask.sizes["width"] + SAME_MM:
        yield f"{tool['tag']} is wider than the notch"
    size = max(wide, deep) if profile == "corner" else wide
    cut = {"notch": wide + 2 * deep, "corner": wide + deep, "vee": wide * sqrt(2)}[profile]
    yield from _proof_faults(ask, one, world, (size, deep, cut))


def _bite_faults(one: Taken, sides: tuple[float, ...]) -> Iterator[str]:
    """The shares of this very set that the hits cut are the whole cut together."""
    tool = one.pieces["set"]
    own = (width_mm(tool), tool["depth_mm"] or 0.0)[: len(sides)]
    cut = sum(hit["bite"] for hit in one.hits) * prod(own)
    if one.hits and abs(cut / prod(sides) - 1) > 0.01:
        yield f"{tool['tag']} is not of the size that the hits are told for"


def _proof_faults(
    ask: AuditAsk, one: Taken, world: World, hit: tuple[float, float, float]
) -> Iterator[str]:
    """Each list that is there covers the hit; where none is, the rating bears a flat blade.

    Of a hit its size, its depth and the length of its cut. Beyond 1.5 times the rating a list must
    say the depth (shop rule).
    """
    tool, material, thick = one.pieces["set"], ask.material, ask.thickness_mm
    profile, (size_mm, deep_mm, cut_mm) = ask.sizes["profile"], hit
    by_station = world.listed(profile, station=one.station["id"])
    by_set = world.listed(profile, kind=tool["kind_id"])
    for owner, points in (("station", by_station), ("set", by_set)):
        if points and not covers(_as_deep(points, deep_mm, 1e9), size_mm, thick, material):
            yield f"beyond the list of the {owner}"
    force_n = cut_mm * thick * SHEAR_MPA * STEELS[material].multiplier
    rated = one.station["rated_force_n"]
    if not by_station and rated is None and not by_set:
        yield "nothing proves the station"
    if not by_station and rated and force_n > rated * (1 - one.station["derate"]) * NEAR:
        yield f"{force_n:.0f} N of {rated:.0f} without a list"
    bears = (rated or 1e12) * (1 - one.station["derate"])
    if by_station and force_n > 1.5 * bears * NEAR:
        if not covers(_as_deep(by_station, deep_mm, 0.0), size_mm, thick, material):
            yield f"{force_n:.0f} N of {bears:.0f}, and no list says a depth of {deep_mm}"
    if force_n > bears * NEAR and "force" not in one.cautions:
        yield f"{force_n:.0f} N of {bears:.0f} without a caution"
    for adapter in one.adapters:
        if force_n > (adapter["rated_force_n"] or 0.0) * NEAR:
            yield f"{force_n:.0f} N on {adapter['tag']}"


def _as_deep(points: list[Row], deep_mm: float, unless_said_mm: float) -> list[Row]:
    """The points that go as deep as the cut."""
    return [one for one in points if (one["depth_mm"] or unless_said_mm) >= deep_mm - 1e-6]


RADIUS_T = {"A36": 1.5, "A572-50": 1.5, "A992": 1.5, "A514": 1.75, "304": 1.0}
"""Least inside radius over the thickness (ASTM A6 Appendix X4; stainless a shop rule)."""
RADIUS_6061_T = ((3.2, 2.5), (4.8, 3.0), (6.4, 3.5), (9.6, 4.5), (99.0, 5.0))
"""Up to which thickness [mm] (Aluminum Design Manual, 2005, VII Table 3-1)."""


def least_radius_mm(material: str, thickness_mm: float) -> float:
    """What a bend's inside radius is at least; of EN steels 1.25 t, below all of EN 10025-2."""
    if material == "6061-T6":
        return thickness_mm * next(f for most, f in RADIUS_6061_T if thickness_mm <= most)
    return thickness_mm * RADIUS_T.get(material, 1.25)


def cut_faults(ask: AuditAsk, one: Taken, world: World) -> Iterator[str]:
    """A shear cuts what its own list covers, with a blade that is long enough."""
    points = world.listed(ask.sizes["operation"], station=one.station["id"])
    if not covers(points, ask.sizes["size"], ask.sizes["thickness"], ask.material):
        yield f"beyond the list for {ask.sizes['operation']}"
    if STEELS[ask.material].family == "quenched" and ask.sizes["operation"] in (
        "cut round",
        "cut square",
    ):
        yield "a hardened bar is never sheared"
    blade = one.pieces.get("blade")
    flat = ask.sizes["operation"] in ("cut flat", "cut plate")
    if blade and flat and (blade["work_length_mm"] or 1e9) < ask.sizes["size"] / NEAR:
        yield f"{blade['tag']} is too short"


def bend_faults(ask: AuditAsk, one: Taken, world: World) -> Iterator[str]:
    """The vee suits the plate, the flange rests on it, tool and station bear the force."""
    tool, thick, long = one.pieces["brake_tool"], ask.thickness_mm, ask.sizes["length"]
    vee = width_mm(tool)
    if vee < 5 * thick / NEAR:
        yield f"vee {vee} for {thick}"
    if vee / 6 < least_radius_mm(ask.material, thick) / NEAR:
        yield f"a radius of {vee / 6:.1f} cracks {thick} of {ask.material}"
    if ask.sizes["flange"] < 0.7 * vee / NEAR:
        yield f"the flange drops into the vee of {vee}"
    if (tool["work_length_mm"] or 0.0) < long / NEAR:
        yield f"{tool['tag']} is too short"
    # 1.42 UTS t² L / V: the metric form of the air bend formula of public press-brake charts.
    line = 1.42 * STEELS[ask.material].tensile_mpa * thick**2 / vee
    if line * long > limit_n(one) * 1.02:
        yield f"{line * long:.0f} N of {limit_n(one):.0f}"
    if tool["line_limit_n_mm"] and line > tool["line_limit_n_mm"] * 1.02:
        yield f"{line:.0f} N/mm on {tool['tag']}"
    points = world.listed("bend", station=one.station["id"])
    if points and not covers(points, long, thick, ask.material):
        yield "beyond the list for bends"


def saddle_faults(ask: AuditAsk, one: Taken) -> Iterator[str]:
    """The set is cut for this pipe on one of the same size, and for its wall."""
    tool, outside, wall = one.pieces["set"], ask.sizes["outside"], ask.sizes["wall"]
    if abs(width_mm(tool) - outside) > 0.801 or abs((tool["header_mm"] or 0) - outside) > 0.801:
        yield f"{tool['tag']} is not cut for {outside:.2f}"
    if not (tool["least_wall_mm"] or 0.0) - 0.01 <= wall <= (tool["most_wall_mm"] or 0.0) + 0.01:
        yield f"{tool['tag']} does not take a wall of {wall:.2f}"
    force_n = pi / 2 * (outside - wall) * wall * SHEAR_MPA * STEELS[ask.material].multiplier
    if force_n > limit_n(one) * NEAR:
        yield f"{force_n:.0f} N of {limit_n(one):.0f}"


def point_faults(ask: AuditAsk, one: Taken, world: World) -> Iterator[str]:
    """A picket set is made for one bar, of solid mild steel."""
    tool = one.pieces["set"]
    if STEELS[ask.material].family != "mild":
        yield f"{ask.material} is not pointed cold"
    same = abs(width_mm(tool) - ask.sizes["width"]) <= SAME_MM and tool["shape"] == "square"
    if tool["profile"] != "picket" or not same:
        yield f"{tool['tag']} is not for that bar"
    points = world.listed("point", station=one.station["id"])
    if points and not covers(points, ask.sizes["width"], ask.thickness_mm, ask.material):
        yield "beyond the list for points"
