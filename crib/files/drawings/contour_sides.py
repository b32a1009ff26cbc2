"""Contours as sides: straight lines and arcs, with rounded corners made sharp again.

Points are complex numbers here, x + y·j in mm: turning and intersecting are then one product each.
"""

from __future__ import annotations

from cmath import phase
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot, inf, pi, sqrt, tau

from crib.files.drawings.parts import Contour

SAME_MM = 0.05
SAME_SHARE = 0.001
MOST_POINTS = 2_000
"""A contour with more is not looked into: nothing that a punch makes has so many."""
_RELIEF = "w"


@dataclass(frozen=True, slots=True)
class Side:
    """One side; a radius over 0 turns counter-clockwise, 0 is straight."""

    start: complex
    end: complex
    radius_mm: float = 0.0

    @property
    def step(self) -> complex:
        """From its start to its end."""
        return self.end - self.start

    @property
    def length_mm(self) -> float:
        """From start to end, as the crow flies."""
        return abs(self.step)

    @property
    def half_circle(self) -> bool:
        """Whether it is an arc of 180 degrees."""
        return bool(self.radius_mm) and self.length_mm >= 2 * abs(self.radius_mm) - SAME_MM

    @property
    def centre(self) -> complex:
        """The centre of an arc of at most 180 degrees."""
        chord_mm = self.length_mm
        away_mm = sqrt(max(self.radius_mm**2 - chord_mm**2 / 4, 0.0))
        side = 1j if self.radius_mm > 0 else -1j
        return (self.start + self.end) / 2 + side * self.step / chord_mm * away_mm

    @property
    def sweep(self) -> float:
        """The arc's angle, radians, with its sign."""
        first, last = self.start - self.centre, self.end - self.centre
        if self.half_circle:
            return pi if self.radius_mm > 0 else -pi
        return phase(last / first)


@dataclass(frozen=True, slots=True)
class Bounds:
    """The smallest upright rectangle around something."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width_mm(self) -> float:
        """Along x."""
        return self.right - self.left

    @property
    def height_mm(self) -> float:
        """Along y."""
        return self.top - self.bottom

    def holds(self, x_mm: float, y_mm: float) -> bool:
        """Whether a point is inside or on the edge."""
        across = self.left - SAME_MM <= x_mm <= self.right + SAME_MM
        return across and self.bottom - SAME_MM <= y_mm <= self.top + SAME_MM

    def with_other(self, other: Bounds) -> Bounds:
        """The box around both."""
        return Bounds(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )


def sides_of(contour: Contour) -> list[Side]:
    """The sides of a contour, without those of no length; empty for what cannot be.

    A corner with a relief hole has a radius of its own, which is not that of an arc.
    """
    made: list[Side] = []
    points = [(complex(p.x_mm, p.y_mm), p) for p in contour.points]
    for (start, point), (end, _) in pairwise(points):
        radius_mm = 0.0 if point.mark == _RELIEF else point.radius_mm
        side = Side(start, end, radius_mm)
        if radius_mm and side.length_mm > 2 * abs(radius_mm) + SAME_MM:
            return []
        if side.length_mm > SAME_MM:
            made.append(side)
    return made


def box_of(sides: Sequence[Side]) -> Bounds:
    """The box around sides, arcs with what they reach beyond their ends."""
    found = Bounds(inf, inf, -inf, -inf)
    for side in sides:
        for point in (side.start, side.end, *_outermost(side)):
            found = found.with_other(Bounds(point.real, point.imag, point.real, point.imag))
    return found


def _outermost(side: Side) -> Iterator[complex]:
    """The points of an arc that lie straight above, below, left and right of its centre."""
    if not side.radius_mm:
        return
    first = phase(side.start - side.centre)
    for quarter in (1, 1j, -1, -1j):
        turn = (phase(quarter) - first) % tau
        if side.radius_mm < 0:
            turn = tau - turn
        if turn <= abs(side.sweep):
            yield side.centre + abs(side.radius_mm) * quarter


def enclosed_mm2(points: Sequence[complex]) -> float:
    """The area inside straight lines through points; counter-clockwise > 0."""
    pairs = zip(points, [*points[1:], *points[:1]], strict=True)
    return sum((a.conjugate() * b).imag for a, b in pairs) / 2


def counter_clockwise(sides: Sequence[Side]) -> list[Side]:
    """The same sides, turned round where they ran clockwise."""
    if enclosed_mm2([side.start for side in sides]) >= 0:
        return list(sides)
    return [Side(side.end, side.start, -side.radius_mm) for side in reversed(sides)]


def tidy(sides: Sequence[Side]) -> list[Side]:
    """Sides that carry on in one line or arc made one."""
    made = list(sides)
    at = 0
    while len(made) > 2 and at < len(made):
        one, two = made[at - 1], made[at]
        if _carries_on(one, two):
            made[at] = replace(two, start=one.start)
            del made[at - 1]
            at = max(at - 1, 0)
        else:
            at += 1
    return made


def _carries_on(one: Side, two: Side) -> bool:
    if one.radius_mm or two.radius_mm:
        alike = abs(one.radius_mm - two.radius_mm) <= SAME_MM and one.radius_mm * two.radius_mm > 0
        small = alike and abs(one.sweep + two.sweep) <= pi + SAME_SHARE
        return small and abs(one.centre - two.centre) <= SAME_MM
    turn = (one.step.conjugate() * two.step) / (one.length_mm * two.length_mm)
    return abs(turn.imag) <= SAME_SHARE and turn.real > 0


def sharpened(sides: Sequence[Side]) -> tuple[list[Side], dict[complex, float]]:
    """Sides with every rounding of a corner undone, and the radius at each corner that had one."""
    made = list(sides)
    rounded: dict[complex, float] = {}
    at = 0
    while at < len(made) and len(made) > 3:
        before, arc, after = made[at - 1], made[at], made[(at + 1) % len(made)]
        corner = _corner(before, arc, after)
        if corner is None:
            at += 1
            continue
        rounded[corner] = abs(arc.radius_mm)
        made[at - 1] = replace(before, end=corner)
        made[(at + 1) % len(made)] = replace(after, start=corner)
        del made[at]
    return made, rounded


def corner_radius_mm(rounded: Iterable[float], corners: int) -> float | None:
    """The radius of so many corners [mm], 0 where all are sharp; None where they are not alike."""
    radii = list(rounded)
    if not radii:
        return 0.0
    alike = len(radii) == corners and max(radii) - min(radii) <= SAME_MM
    return undusted(max(radii)) if alike else None


def _corner(before: Side, arc: Side, after: Side) -> complex | None:
    """Where two straight sides would meet whose corner the arc rounds; None where it does not."""
    if not arc.radius_mm or before.radius_mm or after.radius_mm:
        return None
    one, two = before.step / before.length_mm, after.step / after.length_mm
    cross = (one.conjugate() * two).imag
    if abs(cross) <= SAME_SHARE or cross * arc.radius_mm < 0:
        return None
    along_mm = ((after.start - before.end).conjugate() * two).imag / cross
    corner = before.end + one * along_mm
    touches_mm = abs(arc.radius_mm) * abs(cross) / (1 + (one.conjugate() * two).real)
    lengths = (
        along_mm,
        (after.start - corner).real * two.real + (after.start - corner).imag * two.imag,
    )
    if any(abs(length_mm - touches_mm) > SAME_MM for length_mm in lengths):
        return None
    return corner


def right_angled(sides: Sequence[Side]) -> bool:
    """Whether all are straight and every corner is square."""
    if any(side.radius_mm for side in sides):
        return False
    pairs = zip(sides, [*sides[1:], *sides[:1]], strict=True)
    return all(
        abs((a.step.conjugate() * b.step).real) <= SAME_SHARE * a.length_mm * b.length_mm
        for a, b in pairs
    )


def full_circle(sides: Sequence[Side]) -> tuple[complex, float] | None:
    """The centre and the radius of a circle written as arcs; None for anything else."""
    if len(sides) < 2 or not all(side.radius_mm for side in sides):
        return None
    first = sides[0]
    for side in sides:
        same = abs(side.radius_mm - first.radius_mm) <= SAME_MM
        if not same or abs(side.centre - first.centre) > SAME_MM:
            return None
    if abs(abs(sum(side.sweep for side in sides)) - tau) > SAME_SHARE * tau:
        return None
    return first.centre, abs(first.radius_mm)


def degrees_of(step: complex) -> float:
    """The angle of a direction from x, 0 up to 180; dust is taken off."""
    return round(phase(step) * 180 / pi, 4) % 180 if hypot(step.real, step.imag) else 0.0


def undusted(size_mm: float) -> float:
    """A size without the dust of working it out."""
    return round(size_mm, 4)


def dusted(point: complex) -> complex:
    """A point without the dust of working it out."""
    return complex(undusted(point.real), undusted(point.imag))
