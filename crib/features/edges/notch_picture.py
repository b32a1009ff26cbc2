"""Drawings of what a matched set cuts from an edge: the plate, the cut, and the set hit by hit.

The edge of the plate lies along x at 0 and the plate is above it; a corner has its point at 0, 0.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import radians, tan

from crib.features.common.ask import Hit, HitPlan
from crib.features.common.picture import Dimension, Label, Line, Shape
from crib.features.common.rounding import rounded_ring
from crib.features.common.speech import Speech
from crib.features.common.tooling import ToolingSet
from crib.features.edges.set_case import SetCase

Sizes = tuple[float, float]


def notch_shapes(case: SetCase, tooling: ToolingSet, plan: HitPlan | None) -> list[Shape]:
    """The edge with its notch, and the set where it stands at each hit."""
    say = case.say
    half_mm, depth_mm = case.width_mm / 2, case.depth_mm
    beyond_mm, back_mm = half_mm + _margin(case.width_mm), depth_mm + _margin(depth_mm)
    opening = ((-half_mm, 0.0), (-half_mm, depth_mm), (half_mm, depth_mm), (half_mm, 0.0))
    plate = (*opening, (beyond_mm, 0.0), (beyond_mm, back_mm), (-beyond_mm, back_mm))
    tool = tooling.tool("set")
    tool_mm = case.width_mm if tool is None else tool.width_mm
    reach_mm = depth_mm if tool is None or tool.depth_mm is None else tool.depth_mm
    made = plan.hits if plan else (Hit(1, 0.0, depth_mm / 2, 1.0),)
    radius_mm = case.corner_radius_mm
    shapes: list[Shape] = [
        Line(rounded_ring((*plate, (-beyond_mm, 0.0)), radius_mm, (1, 2)), "outline", closed=True),
        Line(rounded_ring(opening, radius_mm, (1, 2)), "cut", closed=True),
    ]
    for hit in made:
        box = (hit.x_mm - tool_mm / 2, depth_mm - reach_mm, hit.x_mm + tool_mm / 2, depth_mm)
        shapes += _hit(box, hit, made)
    off_mm = _margin(max(case.width_mm, reach_mm)) / 2
    shapes += [
        _dimension((-half_mm, back_mm), (half_mm, back_mm), off_mm, say),
        _dimension((beyond_mm, 0.0), (beyond_mm, depth_mm), -off_mm, say),
    ]
    if len(made) > 1:
        below_mm = depth_mm - reach_mm
        along = sorted(hit.x_mm for hit in made)[:2]
        shapes.append(_dimension((along[0], below_mm), (along[1], below_mm), -off_mm, say))
    return shapes


def corner_shapes(
    case: SetCase, plan: HitPlan | None, reach_mm: Sizes, held_mm: Sizes
) -> list[Shape]:
    """The plate without its corner, and the set where it stands at each hit.

    ``reach_mm`` is how far one hit reaches in along both edges, ``held_mm`` the set as it is held.
    """
    say = case.say
    width_mm, depth_mm = case.width_mm, case.depth_mm
    far_mm, back_mm = width_mm + _margin(width_mm), depth_mm + _margin(depth_mm)
    inner = ((width_mm, 0.0), (width_mm, depth_mm), (0.0, depth_mm))
    plate = (*inner, (0.0, back_mm), (far_mm, back_mm), (far_mm, 0.0))
    shapes: list[Shape] = [
        Line(rounded_ring(plate, case.corner_radius_mm, (1,)), "outline", closed=True),
        Line(rounded_ring(((0.0, 0.0), *inner), case.corner_radius_mm, (2,)), "cut", closed=True),
    ]
    (wide_mm, deep_mm), (reach_x_mm, reach_y_mm) = held_mm, reach_mm
    made = plan.hits if plan else (Hit(1, 0.0, 0.0, 1.0),)
    for hit in made:
        right_mm = hit.x_mm + width_mm / 2 + reach_x_mm / 2
        top_mm = hit.y_mm + depth_mm / 2 + reach_y_mm / 2
        box = (right_mm - wide_mm, top_mm - deep_mm, right_mm, top_mm)
        shapes += _hit(box, hit, made)
    off_mm = _margin(max(width_mm, depth_mm)) / 2
    shapes += [
        _dimension((0.0, back_mm), (width_mm, back_mm), off_mm, say),
        _dimension((far_mm, 0.0), (far_mm, depth_mm), -off_mm, say),
    ]
    return shapes


def vee_shapes(case: SetCase, angle_deg: float, tooling: ToolingSet) -> tuple[Shape, ...]:
    """The edge with its vee, and the set behind it."""
    say = case.say
    half_mm, depth_mm = case.width_mm / 2, case.depth_mm
    beyond_mm, back_mm = half_mm + _margin(case.width_mm), depth_mm + _margin(depth_mm)
    vee = ((-half_mm, 0.0), (0.0, depth_mm), (half_mm, 0.0))
    plate = (*vee, (beyond_mm, 0.0), (beyond_mm, back_mm), (-beyond_mm, back_mm))
    tool = tooling.tool("set")
    open_mm = case.width_mm if tool is None else tool.width_mm
    below_mm = depth_mm - open_mm / 2 / tan(radians(angle_deg) / 2)
    off_mm, radius_mm = _margin(case.width_mm) / 2, case.corner_radius_mm
    return (
        Line(rounded_ring((*plate, (-beyond_mm, 0.0)), radius_mm, (1,)), "outline", closed=True),
        Line(rounded_ring(vee, radius_mm, (1,)), "cut", closed=True),
        Line(
            ((-open_mm / 2, below_mm), (0.0, depth_mm), (open_mm / 2, below_mm)),
            "tool",
            closed=True,
        ),
        Line(((0.0, below_mm), (0.0, back_mm)), "centre"),
        _dimension((-half_mm, back_mm), (half_mm, back_mm), off_mm, say),
        _dimension((beyond_mm, 0.0), (beyond_mm, depth_mm), -off_mm, say),
        Label(0.0, depth_mm / 3, f"{angle_deg:g}°"),
    )


def _hit(box: tuple[float, float, float, float], hit: Hit, made: Sequence[Hit]) -> Iterator[Shape]:
    """The set's outline at a hit, and its number and bite when there are several."""
    left_mm, low_mm, right_mm, high_mm = box
    corners = ((left_mm, low_mm), (right_mm, low_mm), (right_mm, high_mm), (left_mm, high_mm))
    yield Line(corners, "tool", closed=True)
    if len(made) > 1:
        x_mm, y_mm = (left_mm + right_mm) / 2, (low_mm + high_mm) / 2
        yield Label(x_mm, y_mm, f"{hit.number}: {100 * hit.bite:.0f} %")


def _dimension(
    start: tuple[float, float], end: tuple[float, float], off_mm: float, say: Speech
) -> Dimension:
    """A dimension with the distance written on it."""
    long_mm = abs(end[0] - start[0]) + abs(end[1] - start[1])
    return Dimension(*start, *end, off_mm, say.length(long_mm))


def _margin(size_mm: float) -> float:
    """How much plate is drawn around a cut."""
    return 0.4 * size_mm
