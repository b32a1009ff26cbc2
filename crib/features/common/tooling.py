"""Tooling as the rules see it: seats, tools, adapters, stations, and one choice of them together.

Lengths are mm, forces N, stresses MPa, wear weighted strokes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from crib.trade.metal.shapes import Outline, Shape

SIDE_OF_ROLE = {
    "punch": "punch_adapter",
    "die": "die_adapter",
    "set": "attachment",
    "brake_tool": "attachment",
}
"""Which sort of adapter a role can sit in."""

CORNER_RULE = "corner.tolerance_mm"
"""The setting that says how far two corner radii may differ and still be the same."""

CUT_FROM_AN_EDGE = ("notch", "vee", "corner")
"""What a set of a punch side and a die side cuts; it is proven by a list of sizes."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A seating geometry in numbers."""

    name: str
    head_diameter_mm: float | None = None
    head_thickness_mm: float | None = None
    body_diameter_mm: float | None = None
    nut_bore_mm: float | None = None
    punch_length_mm: float | None = None
    die_diameter_mm: float | None = None
    die_height_mm: float | None = None
    keyed: bool = False
    nut_diameter_mm: float | None = None
    """The outside of the nut or stripper round the punch, whichever is wider."""

    def __hash__(self) -> int:
        """By the name alone: seats are looked for by it many thousand times."""
        return hash(self.name)

    def numbers(self, role: str, profile: str = "") -> tuple[tuple[str, float], ...]:
        """The seat's numbers that somebody who makes a tool for it needs; a set has two sides."""
        punch_side = (
            ("head", self.head_diameter_mm),
            ("head thickness", self.head_thickness_mm),
            ("body", self.body_diameter_mm),
        )
        die_side = (("die OD", self.die_diameter_mm), ("height", self.die_height_mm))
        both = profile in CUT_FROM_AN_EDGE
        chosen = [*(punch_side if both or role == "punch" else ())]
        chosen += die_side if both or role != "punch" else ()
        return tuple((name, number) for name, number in chosen if number is not None)


@dataclass(frozen=True, slots=True)
class EnvelopeRow:
    """A (size, thickness) that a station or a kind is proven for, in a reference material.

    ``depth_mm`` is how deep into the plate a notch or corner of that size goes, where it is said.
    """

    operation: str
    cut_angle_deg: float
    size_mm: float
    thickness_mm: float
    material: str
    depth_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Tool:
    """One piece, or a kind not in the crib yet (then ``tag`` is empty and ``to_order`` is set)."""

    role: str
    shape: str
    width_mm: float
    long_mm: float
    seat: Seat | None
    tag: str = ""
    kind: str = ""
    kind_id: int = 0
    measured: bool = False
    key_angles: tuple[int, ...] = ()
    face: str = "flat"
    bevel_mm: float = 0.0
    length_mm: float | None = None
    least_length_mm: float | None = None
    stress_limit_mpa: float | None = None
    condition: str = "sound"
    place: str = ""
    place_sort: str = "drawer"
    walk_order: int = 0
    station_id: int | None = None
    wear: float = 0.0
    interval: float = 5000.0
    life: str = ""
    """What is kept of how long its edge lasts (``trade.life.kept_life``); empty: the settings."""
    edge_state: str = "sharp"
    strokes_total: int = 0
    bought_on: str = ""
    dedicated_to: str = ""
    to_order: bool = False
    site: str = ""
    """The other site that it must be sent from, empty for the asker's own; ``site_days`` away."""
    site_days: int = 0
    profile: str = ""
    depth_mm: float | None = None
    angle_deg: float | None = None
    header_mm: float | None = None
    least_wall_mm: float | None = None
    most_wall_mm: float | None = None
    work_length_mm: float | None = None
    line_limit_n_mm: float | None = None
    rated_force_n: float | None = None
    edges: int = 1
    edge: int = 1
    envelope: tuple[EnvelopeRow, ...] = ()
    ground_mm: float = 0.0
    corner_radius_mm: float | None = None
    """Of its corners, or of the inner corners that a set leaves; None is sharp."""

    def __hash__(self) -> int:
        """By what tells most tools apart: what was said of one is looked for many times."""
        return hash((self.tag, self.kind_id, self.width_mm))

    @property
    def outline(self) -> Outline:
        """The tool's working outline, measured over nominal."""
        shape: Shape = self.shape  # type: ignore[assignment]
        return Outline(shape, self.width_mm, self.long_mm, self.corner_mm)

    @property
    def corner_mm(self) -> float:
        """The radius of a punch's or die's own corners, no more than its width has room for."""
        if self.corner_radius_mm is None or self.shape not in ("square", "rectangle"):
            return 0.0
        return min(self.corner_radius_mm, self.width_mm / 2)

    @property
    def used(self) -> float:
        """Share of the edge's life that is used, 1.0 = dull."""
        return self.wear / self.interval

    @property
    def design(self) -> tuple[object, ...]:
        """What the rules for a set look at; pieces with the same design are judged alike."""
        return (self.kind_id, self.width_mm, self.long_mm, self.to_order)


@dataclass(frozen=True, slots=True)
class Adapter:
    """A piece that sits in one seat and presents another.

    ``sits_in`` is the seat that it fits, in numbers; ``added_height_mm`` is None where nobody said.
    """

    tag: str
    side: str
    fits: str
    presents: str
    rated_force_n: float | None
    place: str = ""
    sits_in: Seat | None = None
    added_height_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Station:
    """A place on a machine that takes tooling.

    ``daylight_mm`` is the free height with the ram up and no tools in, ``stroke_mm`` what the ram
    travels as its stops are set.
    """

    id: int
    machine: str
    name: str
    work: str = "punch"
    rated_force_n: float | None = None
    derate: float = 0.0
    throat_mm: float | None = None
    daylight_mm: float | None = None
    seats: frozenset[str] = frozenset()
    in_service: bool = True
    lever_mm: float | None = None
    envelope: tuple[EnvelopeRow, ...] = ()
    attachments: tuple[str, ...] = ()
    stroke_mm: float | None = None

    @property
    def label(self) -> str:
        """Machine and station in one."""
        return f"{self.machine} / {self.name}"


@dataclass(frozen=True, slots=True)
class ToolingSet:
    """One choice: the tools by role, the station, and the adapters between them."""

    tools: Mapping[str, Tool]
    station: Station
    adapters: Mapping[str, Adapter] = field(default_factory=dict)

    def tool(self, role: str) -> Tool | None:
        """The tool in a role, or None."""
        return self.tools.get(role)

    @property
    def mixed(self) -> bool:
        """Whether a punch stands over a die of another seat."""
        return is_mixed(self.tools)


def is_mixed(tools: Mapping[str, Tool]) -> bool:
    """Whether a punch among tools by their roles stands over a die of another seat.

    A role may have a word before it, as in the second pair of a plan.
    """
    for role, punch in tools.items():
        die = tools.get(f"{role.removesuffix('punch')}die") if role.endswith("punch") else None
        if die is not None and are_two_sets(punch.seat, die.seat):
            return True
    return False


def are_two_sets(punch_seat: Seat | None, die_seat: Seat | None) -> bool:
    """Whether a punch's seat and a die's are of two sets.

    Seats that have one side each make one set together; what has no seat is of none.
    """
    if punch_seat is None or die_seat is None or punch_seat.name == die_seat.name:
        return False
    return bool(punch_seat.numbers("die") or die_seat.numbers("punch"))


def close_chain(tool: Tool, station: Station, adapters: tuple[Adapter, ...]) -> Adapter | bool:
    """How a tool reaches a station, from seat to seat.

    True when it seats directly, the adapter that closes the chain at both ends, or False when
    nothing does. Of several adapters the strongest is taken.
    """
    if tool.seat is None:
        return False
    if tool.seat.name in station.seats:
        return True
    fitting = closing_adapters(tool, station, adapters)
    return fitting[0] if fitting else False


def closing_adapters(tool: Tool, station: Station, adapters: tuple[Adapter, ...]) -> list[Adapter]:
    """The adapters that a tool could sit in at a station, the strongest first.

    None where it needs none: its seat is one of the station's own.
    """
    if tool.seat is None or tool.seat.name in station.seats:
        return []
    side = SIDE_OF_ROLE.get(tool.role, "")
    fitting = [
        adapter
        for adapter in adapters
        if adapter.side == side
        and adapter.presents == tool.seat.name
        and adapter.fits in station.seats
    ]
    return sorted(fitting, key=lambda adapter: -(adapter.rated_force_n or 0.0))
