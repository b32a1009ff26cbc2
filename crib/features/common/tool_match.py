"""Whether a tool that is made one way does for what is wanted: the same thing, or more of it.

The rules of the asks decide the same; here no ask is at hand, only two specifications.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import CORNER_RULE
from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal.key_angles import keys_that_line_up
from crib.trade.shop.shop_rules import Rules

NEST_RULE = "saddle.nest_tolerance_mm"
"""The setting that says how far two outsides may differ and still be the same."""

SAME_DEG = 0.5
_SQUARE_DEG = 90.0
_DESIGN_DIGITS = 3
_LIMITED = ("line_limit_n_mm", "rated_force_n")
_DESIGN = (
    "width_mm",
    "depth_mm",
    "angle_deg",
    "header_mm",
    "least_wall_mm",
    "most_wall_mm",
    "work_length_mm",
    "line_limit_n_mm",
    "rated_force_n",
    "added_height_mm",
    "edges",
    "key_angles",
    "face",
    "bevel_mm",
    "length_mm",
    "corner_radius_mm",
)


@dataclass(frozen=True, slots=True)
class Limits:
    """How far sizes [mm] may differ and still be the same."""

    size_mm: float
    nest_mm: float
    corner_mm: float = 0.0


def limits_of(rules: Rules) -> Limits:
    """The shop's own limits."""
    return Limits(
        rules.number("size.tolerance_mm"), rules.number(NEST_RULE), rules.number(CORNER_RULE)
    )


def width_range_mm(wanted: ToolSpec, limits: Limits) -> tuple[float, float]:
    """The widths [mm] that could do; what is wanted must say one."""
    width_mm = wanted.width_mm or 0.0
    if wanted.profile == "corner":
        return min(width_mm, wanted.depth_mm or width_mm) - limits.size_mm, inf
    if wanted.profile == "vee":
        return width_mm - limits.size_mm, inf
    off_mm = limits.nest_mm if wanted.profile == "saddle" else limits.size_mm
    return width_mm - off_mm - 1e-6, width_mm + off_mm + 1e-6


def does_for(made: ToolSpec, wanted: ToolSpec, limits: Limits) -> bool:
    """Whether a tool does for what is wanted, by its form; what is not wanted is not looked at.

    A list of proven sizes is no part of the form: see ``is_listed``.
    """
    return (
        _is_alike(made, wanted)
        and _is_of_size(made, wanted, limits)
        and _has_angle(made, wanted)
        and _takes_walls(made, wanted)
        and not exceeds(_off_corner_mm(made, wanted), limits.corner_mm)
        and _reaches(made.work_length_mm, wanted.work_length_mm, limits.size_mm)
        and all(_bears(getattr(made, name), getattr(wanted, name)) for name in _LIMITED)
    )


def is_listed(made: ToolSpec, wanted: ToolSpec) -> bool:
    """Whether a tool's list covers each wanted point of the same steel; no list refuses nothing."""
    for point in wanted.envelope:
        listed = [one for one in made.envelope if one.operation == point.operation]
        if listed and not any(
            one.material == point.material
            and one.cut_angle_deg == point.cut_angle_deg
            and not falls_short(one.size_mm, point.size_mm)
            and not falls_short(one.thickness_mm, point.thickness_mm)
            and (one.depth_mm is None or not falls_short(one.depth_mm, point.depth_mm or 0.0))
            for one in listed
        ):
            return False
    return True


def is_same_design(made: ToolSpec, wanted: ToolSpec, limits: Limits) -> bool:
    """Whether a tool is of the design that is wanted: no figure of both differs, none limits it."""
    free = all(getattr(made, name) is None or getattr(wanted, name) for name in _LIMITED)
    listed = set(wanted.envelope) <= set(made.envelope)
    agree = all(_agree(getattr(made, name), getattr(wanted, name)) for name in _DESIGN)
    return free and listed and agree and does_for(made, wanted, limits)


def _agree(one: object, other: object) -> bool:
    """Whether two say the same, or one of them nothing."""
    if isinstance(one, float) and isinstance(other, float):
        return round(one - other, _DESIGN_DIGITS) == 0
    return one is None or other is None or one == other


def _is_alike(made: ToolSpec, wanted: ToolSpec) -> bool:
    """The same sort of thing in the same seats, keyed and faced as it must be."""
    return (
        (made.role, made.shape, made.profile) == (wanted.role, wanted.shape, wanted.profile)
        and (made.seat_name, made.presents_seat) == (wanted.seat_name, wanted.presents_seat)
        and wanted.face in ("flat", made.face)
        and (
            not wanted.key_angles
            or bool(keys_that_line_up(wanted.shape, wanted.key_angles, made.key_angles))
        )
    )


def _is_of_size(made: ToolSpec, wanted: ToolSpec, limits: Limits) -> bool:
    if wanted.profile == "corner":
        return _covers_corner(made, wanted, limits.size_mm)
    if wanted.profile == "vee":
        deep = made.depth_mm is None or _reaches(made.depth_mm, wanted.depth_mm, limits.size_mm)
        return deep and _reaches(made.width_mm, wanted.width_mm, limits.size_mm)
    if wanted.profile == "saddle":
        return _is_same(made.width_mm, wanted.width_mm, limits.nest_mm) and _is_same(
            made.header_mm, wanted.header_mm, limits.nest_mm
        )
    long_mm = (made.long_mm or made.width_mm, wanted.long_mm or wanted.width_mm)
    return (
        _is_same(made.width_mm, wanted.width_mm, limits.size_mm)
        and _is_same(*long_mm, limits.size_mm)
        and _reaches(made.depth_mm, wanted.depth_mm, limits.size_mm)
    )


def _covers_corner(made: ToolSpec, wanted: ToolSpec, tolerance_mm: float) -> bool:
    """Both sizes reach, one way round or with the plate face down."""
    sizes = (wanted.width_mm, wanted.depth_mm)
    return any(
        _reaches(made.width_mm, along_mm, tolerance_mm)
        and _reaches(made.depth_mm, across_mm, tolerance_mm)
        for along_mm, across_mm in (sizes, sizes[::-1])
    )


def _has_angle(made: ToolSpec, wanted: ToolSpec) -> bool:
    """A vee has its angle; a brake's vee is as sharp or sharper; a saddle is square."""
    if wanted.profile == "saddle":
        return made.angle_deg is None or abs(made.angle_deg - _SQUARE_DEG) <= SAME_DEG
    if wanted.angle_deg is None:
        return True
    if wanted.role == "brake_tool":
        return made.angle_deg is None or not exceeds(made.angle_deg, wanted.angle_deg)
    return made.angle_deg is not None and abs(made.angle_deg - wanted.angle_deg) < SAME_DEG


def _off_corner_mm(made: ToolSpec, wanted: ToolSpec) -> float:
    return abs((made.corner_radius_mm or 0.0) - (wanted.corner_radius_mm or 0.0))


def _takes_walls(made: ToolSpec, wanted: ToolSpec) -> bool:
    """A saddle set takes the wall that is cut; a tube set every wall that is wanted."""
    most_mm, least_mm = wanted.most_wall_mm, wanted.least_wall_mm
    if most_mm is None:
        return True
    if made.most_wall_mm is None or exceeds(most_mm, made.most_wall_mm):
        return False
    if wanted.profile == "saddle":
        return made.least_wall_mm is None or not exceeds(made.least_wall_mm, most_mm)
    return made.least_wall_mm is not None and not exceeds(made.least_wall_mm, least_mm or most_mm)


def _is_same(made_mm: float | None, wanted_mm: float | None, tolerance_mm: float) -> bool:
    if wanted_mm is None:
        return True
    return made_mm is not None and not exceeds(abs(made_mm - wanted_mm), tolerance_mm)


def _reaches(made_mm: float | None, wanted_mm: float | None, tolerance_mm: float) -> bool:
    if wanted_mm is None:
        return True
    return made_mm is not None and not exceeds(wanted_mm - made_mm, tolerance_mm)


def _bears(made_n: float | None, wanted_n: float | None) -> bool:
    """What is not marked refuses nothing by itself: the rules look at the station then."""
    return made_n is None or wanted_n is None or not falls_short(made_n, wanted_n)
