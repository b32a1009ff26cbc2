"""What an answer must keep to, reckoned a second time: a list of what is wrong with it.

Figures and where they are from: rule of 80 (80 US tons for an inch of diameter and an inch of mild
steel), multipliers, least holes, clearance steps and bands, die walls, bites and bend forces of the
trade as its charts have them (common practice, no source); tensile strengths of the materials'
standards (ASTM A36, A572, A992, A514, EN 10025-2).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import hypot, pi, sqrt

from tests.audit.asks import AuditAsk
from tests.audit.world import AWAY, Row, World

SHEAR_MPA = 80 * 8896.443230521 / 25.4**2 / pi
"""The rule of 80 over the cut: 80 US tons of 2000 lbf on pi square inches."""
SAME_MM = 0.0501
NEAR = 1.0001
USUAL_STROKES = 5000
"""Weighted strokes of an edge where neither a kind nor its log says them (shop rule)."""
TONS = {"punch": "punch_adapter", "die": "die_adapter"}


@dataclass(frozen=True)
class Steel:
    """A material as the audit knows it: family, multiplier, least hole by thickness, tensile."""

    family: str
    multiplier: float
    ratio: float
    tensile_mpa: float
    punchable: bool = True


STEELS = {
    "A36": Steel("mild", 1.0, 1.0, 400),
    "A53-B": Steel("mild", 1.0, 1.0, 415),
    "A572-50": Steel("hsla", 1.2, 1.15, 450),
    "A992": Steel("hsla", 1.2, 1.15, 450),
    "A514": Steel("quenched", 1.9, 2.0, 760),
    "AR400": Steel("wear_plate", 2.9, 9.0, 1270, False),
    "304": Steel("stainless", 1.5, 1.33, 515),
    "6061-T6": Steel("aluminium", 0.6, 0.8, 310),
    "S235": Steel("mild", 1.0, 1.0, 360),
    "S275": Steel("mild", 1.0, 1.0, 410),
    "S355": Steel("hsla", 1.15, 1.15, 470),
}
STEPS = {
    "in": ((0.0, 1 / 64, 1 / 64), (1 / 8, 1 / 32, 1 / 32), (1 / 2, 1 / 16, 1 / 16),
           (3 / 4, 3 / 32, 3 / 32), (1.0001, 1 / 8, 1 / 8)),
    "mm": ((0.0, 0.3, 0.4), (3, 0.8, 0.8), (12, 1.5, 2.0), (19, 2.4, 3.0), (25.001, 3.2, 3.2)),
}  # fmt: skip
"""From which thickness on, and the total clearance from low to high, in the chart's own unit."""


UPPER_MPA = {"A36": 550, "A514": 895, "S235": 510, "S275": 560, "S355": 630}
"""The most that a standard lets a grade have (ASTM A36, A514; EN 10025-2)."""


def adverse_share(material: str) -> float:
    """By how much at least the strongest plate of a grade outdoes what is reckoned with.

    Its shear strength is 0.8 of the tensile strength (common practice); thicker it may be too.
    """
    shear_mpa = SHEAR_MPA * STEELS[material].multiplier
    return max(1.0, 0.8 * UPPER_MPA.get(material, 0.0) / shear_mpa)


@dataclass(frozen=True)
class Taken:
    """One answer in rows: the pieces by role, the adapters, the station, and the hits of a plan.

    ``sizes`` are width and length of the punches that the hits are laid out for.
    """

    pieces: dict[str, Row]
    adapters: tuple[Row, ...]
    station: Row
    accepts: frozenset[str]
    hits: tuple[Row, ...] = ()
    cautions: frozenset[str] = frozenset()
    seats: dict[str, Row] = field(default_factory=dict)
    sizes: tuple[tuple[float, float], ...] = ()


def taken(pick: Row, world: World) -> Taken:
    """A pick, as programs get it, in the crib's own rows."""
    station = world.stations[(pick["machine"], pick["station"])]
    return Taken(
        {one["role"]: world.pieces[one["tag"]] for one in pick["pieces"]},
        tuple(world.pieces[one["tag"]] for one in pick["adapters"]),
        station,
        frozenset(world.seats.get(station["id"], ())),
        tuple(pick["plan"]["hits"]) if "plan" in pick else (),
        frozenset(one["rule"] for one in pick["findings"] if one["verdict"] == "caution"),
        world.seat_rows,
        tuple(pick.get("plan", {}).get("sizes", ())),
    )


def station_faults(ask: AuditAsk, one: Taken) -> Iterator[str]:
    """The machine runs, the stock goes in, and the material may be worked."""
    if not one.station["in_service"]:
        yield "the machine is out of service"
    if not STEELS[ask.material].punchable:
        yield f"{ask.material} is not to be worked"
    opening = one.station["daylight_mm"]
    stock_mm = ask.sizes.get("outside", ask.thickness_mm)
    if opening is not None and stock_mm > opening * NEAR:
        yield f"{stock_mm} does not go into {opening}"


def piece_faults(ask: AuditAsk, one: Taken) -> Iterator[str]:
    """Every piece and adapter is sound, at hand, long enough, and kept for nothing else."""
    family = STEELS[ask.material].family
    for piece in (*one.pieces.values(), *one.adapters):
        tag = piece["tag"]
        if piece["condition"] != "sound":
            yield f"{tag} is {piece['condition']}"
        if piece["place_sort"] in AWAY:
            yield f"{tag} is away"
        if piece["dedicated_to"] not in ("", family):
            yield f"{tag} is kept for {piece['dedicated_to']}"
        length, least = piece["length_mm"] or piece["new_mm"], piece["least_length_mm"]
        if least is None and piece["new_mm"] and piece["regrind_mm"]:
            least = piece["new_mm"] - piece["regrind_mm"]
        if length is not None and least is not None and length < least - 1e-6:
            yield f"{tag} is {length} long of {least}"
        interval = piece["learned_strokes"] or piece["interval_strokes"] or USUAL_STROKES
        if ask.facts.get("appearance") == "finish" and piece["role"] in ("punch", "die"):
            used = piece["wear_milli"] / 1000 / interval
            if used > 1.2001:
                yield f"{tag} is at {used:.2f}, not for finish work"


def seat_faults(one: Taken) -> Iterator[str]:
    """Every tool sits in the station, or in an adapter that does, seat by seat."""
    for role, piece in one.pieces.items():
        kind = piece["role"]
        if kind == "blade" or piece["seat"] in one.accepts:
            continue
        side = TONS.get(kind, "attachment")
        closes = [
            adapter
            for adapter in one.adapters
            if adapter["role"] == side
            and adapter["presents"] == piece["seat"]
            and adapter["seat"] in one.accepts
        ]
        if not closes:
            yield f"{role} {piece['tag']} of seat {piece['seat']} does not sit there"


def adapter_of(piece: Row, one: Taken) -> Row | None:
    """What a piece sits in at the station; None where it sits in the station itself."""
    if piece["seat"] in one.accepts:
        return None
    side = TONS.get(piece["role"], "attachment")
    fitting = (
        adapter
        for adapter in one.adapters
        if adapter["role"] == side and adapter["presents"] == piece["seat"]
    )
    return next(fitting, None)


def limit_n(one: Taken, *pieces: Row) -> float:
    """The least rating of the chain that some pieces stand in [N]; 0 where a link has none."""
    if one.station["rated_force_n"] is None:
        return 0.0
    limits = [one.station["rated_force_n"] * (1 - one.station["derate"])]
    for piece in pieces or tuple(one.pieces.values()):
        adapter = adapter_of(piece, one)
        limits += [adapter["rated_force_n"] or 0.0] if adapter else []
        limits += [piece["rated_force_n"]] if piece["rated_force_n"] else []
    return float(min(limits))


def perimeter_mm(shape: str, width: float, long: float) -> float:
    """Length of a cut all round [mm]."""
    if shape == "round":
        return pi * width
    if shape == "obround":
        return pi * width + 2 * (long - width)
    return 6 * width / sqrt(3) if shape == "hexagon" else 2 * (width + long)


def area_mm2(shape: str, width: float, long: float) -> float:
    """Area inside it [mm²]."""
    if shape == "round":
        return pi / 4 * width**2
    if shape == "obround":
        return pi / 4 * width**2 + width * (long - width)
    return sqrt(3) / 2 * width**2 if shape == "hexagon" else width * long


def across_mm(shape: str, width: float, long: float) -> float:
    """The greatest size across it [mm]."""
    if shape in ("round", "obround"):
        return long
    return 2 / sqrt(3) * width if shape == "hexagon" else hypot(width, long)


def covers(points: list[Row], size_mm: float, thickness_mm: float, material: str) -> bool:
    """Whether one point of a list covers both; a stronger steel counts as thicker."""
    factor = STEELS[material].multiplier
    return any(
        size_mm <= point["size_mm"] + 1e-6
        and thickness_mm * factor / STEELS[point["material"]].multiplier
        <= point["thickness_mm"] + 1e-6
        for point in points
    )
