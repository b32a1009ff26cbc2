"""The picture of a pair: the punch's outline, the die's around it, and the clearance between."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, sin, sqrt

from crib.features.common.picture import Circle, Dimension, Line, Picture, Shape, Style
from crib.features.common.speech import shape_and_size
from crib.features.common.tooling import Tool, ToolingSet
from crib.features.holes.pair_case import PairCase
from crib.trade.metal.shapes import SHAPES, Outline

ARC = 36
"""Straight pieces that draw half a circle."""
SAME_MM = 0.005
"""Gaps that differ by less are drawn as one."""


def pair_picture(case: PairCase, tooling: ToolingSet) -> Picture:
    """The pair seen from above in mm, the die dashed, sizes and clearance dimensioned."""
    punch, die = tooling.tool("punch"), tooling.tool("die")
    outline = punch.outline if punch and punch.shape in SHAPES else case.outline
    shapes: list[Shape] = [drawn(outline, "tool"), *size_dimensions(case, outline)]
    told = ""
    if die is not None and die.shape in SHAPES:
        shapes.append(drawn(die.outline, "hidden"))
        shapes += _clearances(case, outline, die.outline)
        told = f"; clearance is {_total(case, outline, die.outline)} in total, half on each side"
    if case.to_ream:
        shapes.append(drawn(case.outline, "outline"))
    title = f"{_named(case, 'punch', punch)} and {_named(case, 'die', die)}"
    plate = case.plate
    through = f"thru {case.say.length(plate.thickness_mm)} {plate.material.name}"
    notes = [f"{through}, {tooling.station.label}", f"dashed: the die{told}"]
    if case.to_ream:
        notes.append(f"punched under size, reamed to {case.say.size(case.outline.width_mm)}")
    return Picture(title, tuple(shapes), tuple(notes))


def _named(case: PairCase, role: str, tool: Tool | None) -> str:
    if tool is None:
        return f"no {role}"
    size = shape_and_size(case.say, tool.shape, tool.width_mm, tool.long_mm)
    return f"{role} {tool.tag or 'to order'} {size}"


def _total(case: PairCase, punch: Outline, die: Outline) -> str:
    """The total clearance, where it differs along and across the smaller one."""
    return case.say.length(min(die.length_mm - punch.length_mm, die.width_mm - punch.width_mm))


def _clearances(case: PairCase, punch: Outline, die: Outline) -> Iterator[Dimension]:
    """The gap on one side, as it is drawn: at the right and, where that one differs, above."""
    right_mm = (die.length_mm - punch.length_mm) / 2
    above_mm = (die.width_mm - punch.width_mm) / 2
    text = f"{case.say.length(right_mm)} each side"
    yield Dimension(punch.length_mm / 2, 0.0, die.length_mm / 2, 0.0, die.width_mm / 2, text)
    if abs(right_mm - above_mm) > SAME_MM:
        text = f"{case.say.length(above_mm)} each side"
        y_mm, off_mm = punch.width_mm / 2, -die.length_mm / 2
        yield Dimension(0.0, y_mm, 0.0, y_mm + above_mm, off_mm, text)


def size_dimensions(case: PairCase, outline: Outline) -> list[Shape]:
    """The length below an outline and, where it has two sizes, the width at its left."""
    half_x, half_y = outline.length_mm / 2, outline.width_mm / 2
    off_mm = 0.35 * outline.width_mm
    length = case.say.length(outline.length_mm)
    if outline.shape == "round":
        length = f"dia. {length}"
    sizes: list[Shape] = [Dimension(half_x, -half_y, -half_x, -half_y, off_mm, length)]
    if outline.length_mm > outline.width_mm:
        width = case.say.length(outline.width_mm)
        sizes.append(Dimension(-half_x, -half_y, -half_x, half_y, off_mm, width))
    return sizes


def drawn(
    outline: Outline, style: Style, x_mm: float = 0.0, y_mm: float = 0.0, *, turned: bool = False
) -> Shape:
    """An outline around a point, its long side along x unless it is turned."""
    if outline.shape == "round":
        return Circle(x_mm, y_mm, outline.width_mm / 2, style)
    points = _corners(outline)
    if turned:
        points = [(-y, x) for x, y in points]
    return Line(tuple((x_mm + x, y_mm + y) for x, y in points), style, closed=True)


def _corners(outline: Outline) -> list[tuple[float, float]]:
    half_x, half_y = outline.length_mm / 2, outline.width_mm / 2
    if outline.shape == "hexagon":
        reach_mm = outline.width_mm / sqrt(3)
        turns = [pi / 6 + pi * k / 3 for k in range(6)]
        return [(reach_mm * cos(turn), reach_mm * sin(turn)) for turn in turns]
    if outline.shape == "obround":
        centre_mm = half_x - half_y
        turns = [pi * (step / ARC - 0.5) for step in range(ARC + 1)]
        right = [(centre_mm + half_y * cos(turn), half_y * sin(turn)) for turn in turns]
        return [*right, *((-x, -y) for x, y in right)]
    box = [(-half_x, -half_y), (half_x, -half_y), (half_x, half_y), (-half_x, half_y)]
    if not outline.corner_mm:
        return box
    from crib.features.common.rounding import rounded_ring

    return list(rounded_ring(box, outline.corner_mm))
