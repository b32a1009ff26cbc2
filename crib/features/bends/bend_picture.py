"""A bend as a drawing: the vee seen from its end, the plate pressed into it, the flange."""

from __future__ import annotations

from math import cos, radians, sin, tan

from crib.features.bends.bend_case import BendCase
from crib.features.common.picture import Dimension, Label, Line, Picture, Shape
from crib.features.common.tooling import ToolingSet
from crib.trade.metal import bending

Point = tuple[float, float]

USUAL_DEG = 88.0


def bend_picture(case: BendCase, tooling: ToolingSet) -> Picture:
    """The vee with the plate bent in it; x across the bend, the vee's lips at y = 0."""
    tool = tooling.tool("brake_tool")
    vee_mm = case.rule_vee_mm if tool is None else tool.width_mm
    vee_deg = USUAL_DEG if tool is None or tool.angle_deg is None else tool.angle_deg
    say = case.say
    flange_mm = case.flange_mm or bending.least_flange_mm(vee_mm)
    shapes = [_die(vee_mm, vee_deg), *_plate(case, vee_mm, flange_mm)]
    shapes.append(Dimension(-vee_mm / 2, 0.0, vee_mm / 2, 0.0, -1.1 * vee_mm, say.length(vee_mm)))
    notes = (
        f"bend {say.length(case.length_mm)} long, turned by {case.angle_deg:g}°",
        f"inside radius about {say.length(bending.inside_radius_mm(vee_mm))}",
        f"flange at least {say.length(bending.least_flange_mm(vee_mm))}",
        f"{say.force(case.force_n(vee_mm))} ({case.basis})",
    )
    title = f"{tooling.station.label}, vee {say.length(vee_mm)}"
    return Picture(title, tuple(shapes), notes)


def _die(vee_mm: float, vee_deg: float) -> Line:
    half_mm = vee_mm / 2
    deep_mm = half_mm / tan(radians(vee_deg / 2))
    corners = (
        (-vee_mm, 0.0),
        (-half_mm, 0.0),
        (0.0, -deep_mm),
        (half_mm, 0.0),
        (vee_mm, 0.0),
        (vee_mm, -deep_mm - half_mm),
        (-vee_mm, -deep_mm - half_mm),
    )
    return Line(corners, "tool", closed=True)


def _plate(case: BendCase, vee_mm: float, flange_mm: float) -> list[Shape]:
    """Both legs as they lie on the lips when the bend is made, the flange to the right."""
    tilt = radians(case.angle_deg / 2)
    heel_mm = -vee_mm / 2 * tan(tilt) if case.angle_deg < 170 else -2 * vee_mm
    heel: Point = (0.0, heel_mm)
    thick_mm = case.plate.thickness_mm
    inner: Point = (0.0, heel_mm + thick_mm / cos(tilt)) if case.angle_deg < 170 else heel
    other_mm = max(flange_mm, vee_mm)
    right, left = _leg(heel, tilt, flange_mm, 1), _leg(heel, tilt, other_mm, -1)
    corners = (heel, right[0], _off(right[0], tilt, thick_mm, 1), inner)
    whole = (*corners, _off(left[0], tilt, thick_mm, -1), left[0])
    end = right[0]
    flange = Dimension(*heel, *end, -0.3 * vee_mm, case.say.length(flange_mm))
    label = Label(left[0][0], left[0][1] + 0.2 * vee_mm, case.say.length(thick_mm))
    return [Line(whole, "hatch", closed=True), flange, label]


def _leg(heel: Point, tilt: float, long_mm: float, side: int) -> tuple[Point, float]:
    """The far end of a leg on the vee's side, and its slope."""
    return (heel[0] + side * long_mm * cos(tilt), heel[1] + long_mm * sin(tilt)), side * tilt


def _off(point: Point, tilt: float, thick_mm: float, side: int) -> Point:
    """The point on the plate's inner face above one on its outer face."""
    return point[0] - side * thick_mm * sin(tilt), point[1] + thick_mm * cos(tilt)
