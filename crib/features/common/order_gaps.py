"""What the supplier would phone about: each thing that an order line cannot say."""

from __future__ import annotations

from collections.abc import Iterator

from crib.features.common.order_sizes import word_for
from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tool_words import PAIR
from crib.features.common.tooling import CUT_FROM_AN_EDGE

_NEEDED: dict[str, tuple[tuple[str, str], ...]] = {
    "notch": (("width_mm", "its width along the edge"), ("depth_mm", "how deep it cuts")),
    "vee": (("width_mm", "how wide it opens"), ("angle_deg", "its included angle")),
    "corner": (("width_mm", "its size along one edge"), ("depth_mm", "along the other")),
    "saddle": (
        ("width_mm", "the outside that its nest holds"),
        ("header_mm", "the outside of the header"),
        ("most_wall_mm", "the walls it takes"),
    ),
    "tube": (
        ("width_mm", "the outside of the tube"),
        ("least_wall_mm", "the thinnest wall"),
        ("most_wall_mm", "the thickest wall"),
    ),
    "picket": (("width_mm", "the size of the bar"),),
    "vee die": (
        ("width_mm", "its opening"),
        ("angle_deg", "the angle between its sides"),
        ("work_length_mm", "its working length"),
        ("line_limit_n_mm", "what it must bear along its length"),
    ),
}
"""What a tool that is made for something cannot be made without."""

_ADAPTERS = ("punch_adapter", "die_adapter", "attachment")


def order_gaps(spec: ToolSpec) -> tuple[str, ...]:
    """What the supplier would phone about: each thing that the line cannot say."""
    return (*_seat_gaps(spec), *_made_gaps(spec), *_pair_gaps(spec))


def _seat_gaps(spec: ToolSpec) -> Iterator[str]:
    if not spec.seat_name:
        yield "which seat it fits"
    elif not spec.seat_numbers:
        side = f" on the {word_for(spec.role)} side" if spec.role in PAIR else ""
        yield f"the numbers of seat {spec.seat_name}{side}"
    if spec.role in _ADAPTERS and not spec.presents_seat:
        yield "which seat it presents"
    if spec.role in _ADAPTERS and spec.rated_force_n is None:
        yield "the force it must stand"


def _made_gaps(spec: ToolSpec) -> Iterator[str]:
    """What a set or a brake tool lacks of the figures that make it one."""
    if spec.role == "set" and not spec.profile:
        yield "what it is made for"
    if spec.role not in ("set", "brake_tool"):
        return
    for name, words in _NEEDED.get(spec.profile, ()):
        if getattr(spec, name) is None:
            yield words
    if spec.profile in CUT_FROM_AN_EDGE and spec.for_thickness_mm is None:
        yield "the thickness and material that it cuts"


def _pair_gaps(spec: ToolSpec) -> Iterator[str]:
    if spec.shape == "special" and not spec.profile:
        yield "a dimensioned drawing: corners, tolerance, face, key"
    elif spec.role in PAIR and spec.shape != "round" and not spec.key_angles:
        yield "the key angle to the throat"
    if spec.role == "punch" and spec.length_mm is None:
        yield "the length"
    if spec.role == "die" and (spec.length_mm or dict(spec.seat_numbers).get("height")) is None:
        yield "the height"
    if spec.role in PAIR and not spec.for_station:
        yield "the machine and station"
