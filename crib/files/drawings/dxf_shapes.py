"""Closed shapes of a drawing: each once, and which lies inside which."""

from __future__ import annotations

from cmath import phase
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress, pairwise, product
from math import floor, pi, sin

from crib.errors import BadInput
from crib.files.drawings.contour_sides import (
    MOST_POINTS,
    SAME_MM,
    SAME_SHARE,
    Bounds,
    Side,
    box_of,
    counter_clockwise,
    dusted,
    enclosed_mm2,
    full_circle,
    sides_of,
    tidy,
    undusted,
)
from crib.files.drawings.dxf_chains import DrawnStroke, Source, middle_of
from crib.files.drawings.dxf_entities import DrawnCircle
from crib.files.drawings.openings import Opening, opening_of
from crib.files.drawings.parts import Contour, ContourPoint

_HEXAGON_SIDES = 6
_CELL_MM = 4 * SAME_MM
_CELLS_ACROSS = 128
_MOST_LOOKS = 3_000_000


@dataclass(slots=True)
class Shape:
    """A closed shape; ``radius_mm`` is over 0 for a circle, which has no sides."""

    source: Source
    box: Bounds
    middle: complex
    area_mm2: float
    radius_mm: float = 0.0
    sides: tuple[Side, ...] = ()

    def held(self, points: Sequence[complex]) -> list[bool]:
        """Whether points lie inside; by its box alone where it has very many corners."""
        if self.radius_mm:
            middle, radius_mm = self.middle, self.radius_mm
            return [abs(point - middle) < radius_mm for point in points]
        box = self.box
        if len(self.sides) > MOST_POINTS:
            return [box.holds(point.real, point.imag) for point in points]
        corners = [p for s in self.sides for p in _along(s)]
        return [box.holds(p.real, p.imag) and _is_inside(p, corners) for p in points]

    def same_as(self, other: Shape) -> bool:
        """Whether one is drawn over the other."""
        if self.radius_mm or other.radius_mm:
            off_mm = max(abs(self.middle - other.middle), abs(self.radius_mm - other.radius_mm))
            return off_mm <= SAME_MM
        if len(self.sides) != len(other.sides) or len(self.sides) > MOST_POINTS:
            return self.sides == other.sides
        places = [p for side in other.sides for p in _along(side)]
        return all(
            any(abs(p - q) <= 2 * SAME_MM for q in places) for s in self.sides for p in _along(s)
        )


def circle_shape(circle: DrawnCircle) -> Shape:
    """The shape of a circle."""
    return _disc(circle.middle, circle.radius_mm, circle.source)


def _disc(middle: complex, radius_mm: float, source: Source) -> Shape:
    box = Bounds(
        middle.real - radius_mm,
        middle.imag - radius_mm,
        middle.real + radius_mm,
        middle.imag + radius_mm,
    )
    return Shape(source, box, middle, pi * radius_mm**2, radius_mm)


def loop_shape(loop: Sequence[DrawnStroke]) -> Shape | None:
    """The shape of a closed chain; None where it encloses nothing."""
    sides = [stroke.side for stroke in loop]
    sides = sides_of(contour_of(sides, "inner", loop[0].source.line))
    if len(sides) < 2:
        return None
    sides = _ccw(sides)
    circle = full_circle(sides)
    if circle:
        return _disc(*circle, loop[0].source)
    area = _area(sides)
    if area <= SAME_MM**2:
        return None
    middle = sum(side.start for side in sides) / len(sides)
    return Shape(loop[0].source, box_of(sides), middle, area, 0.0, tuple(sides))


def contour_of(sides: Sequence[Side], kind: str, line: int, corner: complex = 0j) -> Contour:
    """Sides as a contour that ends with the point it began with, counted from a corner."""
    starts = [(side.start - corner, side.radius_mm) for side in sides]
    points = [ContourPoint(start.real, start.imag, radius_mm) for start, radius_mm in starts]
    points.append(ContourPoint(points[0].x_mm, points[0].y_mm))
    return Contour("outer" if kind == "outer" else "inner", "v", tuple(points), line)


def shape_contour(shape: Shape, kind: str, corner: complex = 0j) -> Contour:
    """The contour of a shape counted from a corner, a circle as two half circles."""
    sides: Sequence[Side] = shape.sides
    if shape.radius_mm:
        right, left = shape.middle + shape.radius_mm, shape.middle - shape.radius_mm
        sides = (Side(right, left, shape.radius_mm), Side(left, right, shape.radius_mm))
    return contour_of(sides, kind, shape.source.line, corner)


def opening_in(shape: Shape) -> Opening | None:
    """What a shape is as an opening; None when no one punch makes it."""
    if shape.radius_mm:
        return Opening("hole", "round", 2 * shape.radius_mm, None, shape.middle)
    found = opening_of(shape_contour(shape, "inner"))
    return found or _hexagon(shape.sides)


def _hexagon(sides: Sequence[Side]) -> Opening | None:
    """Six straight sides alike, each turned 60 degrees from the one before."""
    if len(sides) != _HEXAGON_SIDES or any(side.radius_mm for side in sides):
        return None
    middle = sum(side.start for side in sides) / _HEXAGON_SIDES
    corners_mm = [abs(side.start - middle) for side in sides]
    lengths_mm = [side.length_mm for side in sides]
    if max(*corners_mm, *lengths_mm) - min(*corners_mm, *lengths_mm) > SAME_MM:
        return None
    flats_mm = sum(abs((side.start + side.end) / 2 - middle) for side in sides) / 3
    angle_deg = _angle_of_flats(sides[0])
    return Opening("hexagon", "hexagon", undusted(flats_mm), None, dusted(middle), angle_deg)


def _angle_of_flats(side: Side) -> float:
    """The angle of a flat from x, 0 up to 60."""
    return round(phase(side.step) * 180 / pi, 4) % 60


def without_twins(shapes: Sequence[Shape]) -> tuple[list[Shape], list[Shape]]:
    """Each shape once in the order drawn, and those drawn over another."""
    near: dict[tuple[int, int], list[Shape]] = {}
    kept: list[Shape] = []
    twins: list[Shape] = []
    for shape in shapes:
        across, up = floor(shape.box.left / _CELL_MM), floor(shape.box.bottom / _CELL_MM)
        around = product((across - 1, across, across + 1), (up - 1, up, up + 1))
        others = (other for cell in around for other in near.get(cell, ()))
        if any(_boxes_alike(shape, other) and shape.same_as(other) for other in others):
            twins.append(shape)
        else:
            kept.append(shape)
            near.setdefault((across, up), []).append(shape)
    return kept, twins


def containers(shapes: Sequence[Shape], file: str) -> list[list[int]]:
    """For each shape the numbers of those it lies in, the largest first.

    Raises:
        BadInput: when so many lie within one another that it is no drawing of parts.
    """
    found: list[list[int]] = [[] for _ in shapes]
    cells = _cells(shapes)
    areas_mm2 = [shape.area_mm2 for shape in shapes]
    middles = [shape.middle for shape in shapes]
    looks = 0
    for outer in sorted(range(len(shapes)), key=areas_mm2.__getitem__, reverse=True):
        shape, area_mm2 = shapes[outer], areas_mm2[outer]
        near = cells.within(shape.box)
        looks += len(near)
        near = [inner for inner in near if areas_mm2[inner] < area_mm2]
        held = shape.held([middles[inner] for inner in near]) if near else []
        for inner in compress(near, held):
            found[inner].append(outer)
        if looks > _MOST_LOOKS:
            message = f"{file} has {len(shapes)} closed shapes, too many of them in one another"
            raise BadInput(message, way_out="give the drawing of one part")
    return found


@dataclass(frozen=True, slots=True)
class _Cells:
    """Shapes by the square in which their middle lies."""

    size_mm: float
    numbers: dict[tuple[int, int], list[int]]

    def within(self, box: Bounds) -> list[int]:
        """The numbers of the shapes whose middle may lie in a box."""
        left, right = floor(box.left / self.size_mm), floor(box.right / self.size_mm)
        low, high = floor(box.bottom / self.size_mm), floor(box.top / self.size_mm)
        found: list[int] = []
        for x in range(left, right + 1):
            for y in range(low, high + 1):
                found += self.numbers.get((x, y), ())
        return found


def _cells(shapes: Sequence[Shape]) -> _Cells:
    reach_mm = max(max(abs(s.middle), s.box.width_mm, s.box.height_mm) for s in shapes)
    numbers: dict[tuple[int, int], list[int]] = {}
    size_mm = 2 * max(reach_mm, 1.0) / _CELLS_ACROSS
    for n, shape in enumerate(shapes):
        place = shape.middle / size_mm
        numbers.setdefault((floor(place.real), floor(place.imag)), []).append(n)
    return _Cells(size_mm, numbers)


def _boxes_alike(one: Shape, two: Shape) -> bool:
    pairs = (
        (one.box.left, two.box.left),
        (one.box.bottom, two.box.bottom),
        (one.box.right, two.box.right),
        (one.box.top, two.box.top),
    )
    return all(abs(a - b) <= 2 * SAME_MM for a, b in pairs)


def _along(side: Side) -> tuple[complex, ...]:
    return (side.start, middle_of(side)) if side.radius_mm else (side.start,)


def _area(sides: Sequence[Side]) -> float:
    """The area inside, with what arcs add to it or take from it."""
    straight = enclosed_mm2([side.start for side in sides])
    arcs = [side for side in sides if side.radius_mm]
    return abs(straight + sum(s.radius_mm**2 / 2 * (s.sweep - sin(s.sweep)) for s in arcs))


def _ccw(sides: Sequence[Side]) -> list[Side]:
    """The sides tidied and counter-clockwise, also where only arcs enclose something."""
    tidied = tidy(counter_clockwise(sides))
    turn = sum(side.sweep for side in tidied if side.radius_mm)
    if abs(enclosed_mm2([s.start for s in tidied])) <= SAME_SHARE and turn < 0:
        return [Side(s.end, s.start, -s.radius_mm) for s in reversed(tidied)]
    return tidied


def _is_inside(point: complex, corners: Sequence[complex]) -> bool:
    """Whether a line from the point to the right meets the outline an odd number of times."""
    inside = False
    for one, two in pairwise([*corners, corners[0]]):
        if (one.imag > point.imag) != (two.imag > point.imag):
            share = (point.imag - one.imag) / (two.imag - one.imag)
            inside ^= point.real < one.real + share * (two.real - one.real)
    return inside
