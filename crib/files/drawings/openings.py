"""Inner contours recognised as what a punch makes: a circle, a slot, a square, a rectangle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from crib.files.drawings.contour_sides import (
    MOST_POINTS,
    SAME_MM,
    Side,
    corner_radius_mm,
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
    corner_radius_mm: float = 0.0


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
    angle_deg = degrees_of(long.step)
    sizes = (undusted(short.length_mm), undusted(long.length_mm))
    radius_mm = corner_radius_mm(rounded.values(), 4)
    if radius_mm is None:
        radii = " and ".join(
            f"{radius:g}" for radius in sorted(set(map(undusted, rounded.values())))
        )
        note = f"corners not alike: {len(rounded)} of 4 rounded {radii} mm"
        return Opening("opening", "special", *sizes, middle, angle_deg, note)
    if long.length_mm - short.length_mm <= SAME_MM:
        square = Opening("square", "square", sizes[1], None, middle, angle_deg % 90)
        return replace(square, corner_radius_mm=radius_mm)
    rectangle = Opening("rectangle", "rectangle", *sizes, middle, angle_deg)
    return replace(rectangle, corner_radius_mm=radius_mm)
