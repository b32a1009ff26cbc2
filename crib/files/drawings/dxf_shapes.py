"""Closed shapes of a drawing: each once, and what it is as an opening."""

from __future__ import annotations

from cmath import phase
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import floor, pi, sin

from crib.files.drawings.chord_fits import Fit, fitted
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
from crib.files.drawings.openings import Opening, opening_of
from crib.files.drawings.parts import Contour, ContourPoint

_HEXAGON_SIDES = 6
_CELL_MM = 1.0
_AROUND = 2 * SAME_MM / _CELL_MM


@dataclass(slots=True)
class Shape:
    """A closed shape; ``radius_mm`` is over 0 for a circle, which has no sides.

    ``sources`` are all that drew it where they are several; ``fit`` is how well its arcs fit the
    chords that were drawn.
    """

    source: Source
    middle: complex
    area_mm2: float
    radius_mm: float = 0.0
    sides: tuple[Side, ...] = ()
    sources: tuple[Source, ...] = ()
    fit: Fit | None = None

    @property
    def is_circle(self) -> bool:
        """Whether it is a whole circle."""
        return self.radius_mm > 0

    @property
    def drawn_by(self) -> tuple[Source, ...]:
        """All that drew it, each once."""
        return self.sources or (self.source,)

    @property
    def box(self) -> Bounds:
        """The box around it."""
        if not self.radius_mm:
            return box_of(self.sides)
        reach = complex(self.radius_mm, self.radius_mm)
        low, high = self.middle - reach, self.middle + reach
        return Bounds(low.real, low.imag, high.real, high.imag)

    @property
    def place(self) -> complex:
        """A point of it that stays where it is when it is drawn once more."""
        return self.middle if self.radius_mm else complex(self.box.left, self.box.bottom)

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


def circle_shape(middle: complex, radius_mm: float, source: Source) -> Shape:
    """The shape of a circle."""
    return Shape(source, middle, pi * radius_mm * radius_mm, radius_mm)


def loop_shape(loop: Sequence[DrawnStroke]) -> Shape | None:
    """The shape of a closed chain; None where it encloses nothing."""
    source, sides = loop[0].source, [stroke.side for stroke in loop]
    sources = tuple({stroke.source.item: stroke.source for stroke in loop}.values())
    sides = sides_of(contour_of(sides, "inner", source.line))
    if len(sides) < 2:
        return None
    fit = None
    if source.kind != "ELLIPSE":
        sides, fit = fitted(counter_clockwise(sides))
    sides = _ccw(sides)
    circle = full_circle(sides)
    if circle:
        return replace(circle_shape(*circle, source), sources=sources, fit=fit)
    area = _area(sides)
    if area <= SAME_MM**2:
        return None
    middle = sum(side.start for side in sides) / len(sides)
    return Shape(source, middle, area, 0.0, tuple(sides), sources, fit)


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
    for shape, has_neighbour in zip(shapes, _have_neighbours(shapes), strict=True):
        if not has_neighbour:
            kept.append(shape)
            continue
        own, *around = _cells_at(shape.place)
        if own in near and any(shape.same_as(other) for other in near[own]):
            twins.append(shape)
            continue
        kept.append(shape)
        for cell in (own, *around):
            near.setdefault(cell, []).append(shape)
    return kept, twins


def _have_neighbours(shapes: Sequence[Shape]) -> list[bool]:
    """Whether another stands where it may be the same; very many are looked at at once.

    Two so near share a square in one of four grids, each half a square aside of the others.
    """
    import numpy as np

    places = np.array([shape.place for shape in shapes], dtype=complex) / _CELL_MM
    found = np.zeros(len(shapes), dtype=bool)
    for aside in (0j, 0.5, 0.5j, 0.5 + 0.5j):
        squares = np.floor((places + aside).real) + 1j * np.floor((places + aside).imag)
        _, where, counts = np.unique(squares, return_inverse=True, return_counts=True)
        found |= counts[where] > 1
    return found.tolist()


def _cells_at(place: complex) -> Sequence[tuple[int, int]]:
    """The square that a place is in, and those so near that another may be in them."""
    x, y = place.real / _CELL_MM, place.imag / _CELL_MM
    own = floor(x), floor(y)
    if _AROUND < x - own[0] < 1 - _AROUND and _AROUND < y - own[1] < 1 - _AROUND:
        return (own,)
    columns = {floor(x - _AROUND), floor(x + _AROUND)}
    rows = {floor(y - _AROUND), floor(y + _AROUND)}
    return (own, *(cell for cell in product(columns, rows) if cell != own))


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
