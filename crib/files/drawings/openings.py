"""Inner contours recognised as what a punch makes: a circle, a slot, a square, a rectangle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crib.files.drawings.contour_sides import (
    MOST_POINTS,
    SAME_MM,
    Side,
    counter_clockwise,
    degrees_of,
    dusted,
    full_circle,
    right_angled,
    sharpened,
    sides_of,
    tidy,
    undusted,
)
from crib.files.drawings.parts import Contour


@dataclass(frozen=True, slots=True)
class Opening:
    """An opening with its sizes, its middle and the angle of its long side from x."""

    feature: str
    shape: str
    size_mm: float
    long_mm: float | None
    middle: complex
    angle_deg: float = 0.0
    note: str = ""


def opening_of(contour: Contour) -> Opening | None:
    """What a closed contour is; None when it is nothing that one punch makes."""
    if not contour.closed or len(contour.points) > MOST_POINTS:
        return None
    sides = tidy(counter_clockwise(sides_of(contour)))
    circle = full_circle(sides)
    if circle:
        middle, radius_mm = circle
        return Opening("hole", "round", undusted(2 * radius_mm), None, dusted(middle))
    return _slot(sides) or _rectangle(sides)


def _slot(sides: Sequence[Side]) -> Opening | None:
    """Two straight sides alike and between them two half circles."""
    if len(sides) != 4:
        return None
    if not sides[0].radius_mm:
        sides = [*sides[1:], sides[0]]
    ends, lines = sides[::2], sides[1::2]
    if not all(end.half_circle for end in ends) or any(line.radius_mm for line in lines):
        return None
    if abs(lines[0].step + lines[1].step) > SAME_MM or not _crosswise(ends[0], lines[0]):
        return None
    width_mm = ends[0].length_mm
    long_mm = width_mm + lines[0].length_mm
    middle = sum(side.start for side in sides) / 4
    angle_deg = degrees_of(lines[0].step)
    sizes = (undusted(width_mm), undusted(long_mm))
    return Opening("slot", "obround", *sizes, dusted(middle), angle_deg)


def _crosswise(one: Side, two: Side) -> bool:
    return abs((one.step.conjugate() * two.step).real) <= SAME_MM * (one.length_mm + two.length_mm)


def _rectangle(sides: Sequence[Side]) -> Opening | None:
    """Four square corners, sharp or all rounded alike."""
    sharp, rounded = sharpened(sides)
    sharp = tidy(sharp)
    if len(sharp) != 4 or not right_angled(sharp):
        return None
    short, long = sorted(sharp[:2], key=lambda side: side.length_mm)
    middle = dusted(sum(side.start for side in sharp) / 4)
    note = ""
    if rounded:
        radii = sorted({undusted(radius_mm) for radius_mm in rounded.values()})
        note = f"corners rounded {' and '.join(f'{radius_mm:g}' for radius_mm in radii)} mm"
    if long.length_mm - short.length_mm <= SAME_MM:
        angle_deg = degrees_of(long.step) % 90
        return Opening("square", "square", undusted(long.length_mm), None, middle, angle_deg, note)
    sizes = (undusted(short.length_mm), undusted(long.length_mm))
    return Opening("rectangle", "rectangle", *sizes, middle, degrees_of(long.step), note)
