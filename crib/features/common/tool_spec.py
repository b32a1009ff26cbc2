"""One specification of a tool: from the ask that lacks it to the piece that is received."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import Field, astuple, dataclass, fields
from operator import index
from typing import Any

from crib.errors import BadValue
from crib.features.common.tooling import EnvelopeRow, Seat, Tool
from crib.units import MOST_FORCE_N

_WORKS = {
    "notch": "notch",
    "vee": "vee_notch",
    "corner": "corner_notch",
    "saddle": "saddle",
    "tube": "tube_shear",
    "picket": "picket",
    "vee die": "brake",
}
ONE_SIZE = ("round", "square", "hexagon")
"""Shapes without a long side."""


@dataclass(frozen=True, slots=True)
class ToolSpec:
    """What a tool is, whom it is for and how many are wanted. What is not known is left empty.

    Lengths are mm, forces N, angles degrees; key angles are degrees to the throat. For a set that
    nests a tube ``width_mm`` is its nest and ``header_mm`` the outside that it is cut for.
    ``punch_width_mm`` and ``punch_long_mm`` are of the punch that a die serves, ``ream_to_mm`` is
    the hole that is reamed after it, ``hole_plus_mm`` and ``hole_minus_mm`` how far the drawing
    lets the hole be off. ``corner_radius_mm`` is of rounded corners,
    None of sharp ones. ``seat_numbers`` are names with figures, such as ``("die OD", 54.0)``;
    ``envelope`` are the sizes and thicknesses that it must be proven for.
    """

    role: str
    quantity: int = 1
    shape: str = ""
    width_mm: float | None = None
    long_mm: float | None = None
    profile: str = ""
    depth_mm: float | None = None
    angle_deg: float | None = None
    header_mm: float | None = None
    least_wall_mm: float | None = None
    most_wall_mm: float | None = None
    work_length_mm: float | None = None
    line_limit_n_mm: float | None = None
    rated_force_n: float | None = None
    added_height_mm: float | None = None
    envelope: tuple[EnvelopeRow, ...] = ()
    edges: int = 1
    punch_width_mm: float | None = None
    punch_long_mm: float | None = None
    seat_name: str = ""
    seat_numbers: tuple[tuple[str, float], ...] = ()
    presents_seat: str = ""
    key_angles: tuple[int, ...] = ()
    face: str = "flat"
    bevel_mm: float | None = None
    length_mm: float | None = None
    corner_radius_mm: float | None = None
    nest_for: str = ""
    header_for: str = ""
    strokes: int = 1
    stroke_force_n: float | None = None
    for_thickness_mm: float | None = None
    for_material: str = ""
    ream_to_mm: float | None = None
    hole_plus_mm: float | None = None
    hole_minus_mm: float | None = None
    for_station: str = ""
    dedicated_to: str = ""
    needed_by: str = ""
    job: str = ""
    note: str = ""

    @property
    def work(self) -> str:
        """The work of the stations it is for, a word of their ``does``; empty where it has none."""
        return "punch" if self.role in ("punch", "die") else _WORKS.get(self.profile, "")

    def as_json(self) -> dict[str, Any]:
        """The specification for programs, as ``spec_from_json`` reads it back; defaults left out.

        A point of ``envelope`` is a list: operation, cut angle, size, thickness, material.
        """
        said = {field.name: getattr(self, field.name) for field in fields(self)}
        return {
            field.name: _plain(said[field.name])
            for field in fields(self)
            if said[field.name] != field.default
        }


def spec_from_json(row: object) -> ToolSpec:
    """Read a specification back; what it does not say keeps its default, what is more is passed by.

    Raises:
        BadValue: for what is no specification, or a figure that is none.
    """
    if not isinstance(row, Mapping) or "role" not in row:
        message = "a tool's specification is an object with a role"
        raise BadValue(message)
    said = [field for field in fields(ToolSpec) if row.get(field.name) is not None]
    return ToolSpec(**{field.name: _read(field, row[field.name]) for field in said})


def spec_of_tool(tool: Tool) -> ToolSpec:
    """What a tool is by its design, with the numbers of its seat."""
    same = {name: getattr(tool, name) for name in _ALIKE}
    return ToolSpec(
        width_mm=tool.width_mm or None,
        long_mm=tool.long_mm or None,
        bevel_mm=tool.bevel_mm or None,
        seat_name=tool.seat.name if tool.seat else "",
        seat_numbers=tool.seat.numbers(tool.role, tool.profile) if tool.seat else (),
        **same,
    )


def tool_of_spec(spec: ToolSpec, seat: Seat | None) -> Tool:
    """The tool as the rules would see it, new and at hand."""
    width_mm = spec.width_mm or 0.0
    long_mm = width_mm if spec.shape in ONE_SIZE else max(spec.long_mm or width_mm, width_mm)
    return Tool(
        width_mm=width_mm,
        long_mm=long_mm,
        bevel_mm=spec.bevel_mm or 0.0,
        seat=seat,
        to_order=True,
        **{name: getattr(spec, name) for name in _ALIKE},
    )


_ALIKE = (
    "role",
    "shape",
    "profile",
    "depth_mm",
    "angle_deg",
    "header_mm",
    "least_wall_mm",
    "most_wall_mm",
    "work_length_mm",
    "line_limit_n_mm",
    "rated_force_n",
    "envelope",
    "edges",
    "key_angles",
    "face",
    "length_mm",
    "corner_radius_mm",
    "dedicated_to",
)
"""What a tool and its specification call by the same name."""


def _plain(value: Any) -> Any:
    """A value as JSON gives it back."""
    if isinstance(value, EnvelopeRow):
        value = astuple(value)
    return [_plain(part) for part in value] if isinstance(value, tuple) else value


def _read(field: Field[Any], value: Any) -> Any:
    try:
        return _typed(str(field.type), value)
    except (TypeError, ValueError) as error:
        message = f"{field.name}={str(value)[:60]!r} cannot be read as {field.type}"
        raise BadValue(message) from error


def _typed(wanted: str, value: Any) -> Any:
    """A value of an annotated type; the annotations are texts here."""
    match wanted:
        case "str" if isinstance(value, str):
            return value
        case "int" if type(value) is int and value > 0:
            return value
        case "float | None" if type(value) in (int, float) and 0 < value <= MOST_FORCE_N:
            return float(value)
        case "tuple[int, ...]":
            return tuple(index(angle) for angle in value)
        case "tuple[tuple[str, float], ...]":
            return tuple((_typed("str", name), _typed(_FIGURE, figure)) for name, figure in value)
        case "tuple[EnvelopeRow, ...]":
            return tuple(_point(*row) for row in value)
    raise ValueError(value)


def _point(
    operation: Any,
    angle_deg: Any,
    size_mm: Any,
    thickness_mm: Any,
    material: Any,
    depth_mm: Any = None,
) -> EnvelopeRow:
    angle_deg = _typed(_FIGURE, angle_deg) if angle_deg else 0.0
    sizes_mm = (_typed(_FIGURE, size_mm), _typed(_FIGURE, thickness_mm))
    depth_mm = None if depth_mm is None else _typed(_FIGURE, depth_mm)
    name = _typed("str", material)
    return EnvelopeRow(_typed("str", operation), angle_deg, *sizes_mm, name, depth_mm)


_FIGURE = "float | None"
