"""Corners drawn round: a polygon, or some of its corners, with arcs as short chords."""

from __future__ import annotations

from cmath import phase, rect
from collections.abc import Container, Sequence
from math import pi

Point = tuple[float, float]
_CHORDS = 8
"""Short lines that an arc of a corner is drawn with."""


def rounded_ring(
    points: Sequence[Point], radius_mm: float, only: Container[int] | None = None
) -> tuple[Point, ...]:
    """A closed polygon with corners of a radius; of ``only`` some of them, by their numbers."""
    if radius_mm <= 0:
        return tuple(points)
    made: list[complex] = []
    ring = [complex(*point) for point in points]
    for number, corner in enumerate(ring):
        if only is None or number in only:
            after = ring[(number + 1) % len(ring)]
            made += _arc(ring[number - 1], corner, after, radius_mm)
        else:
            made.append(corner)
    return tuple((point.real, point.imag) for point in made)


def _arc(before: complex, corner: complex, after: complex, radius_mm: float) -> list[complex]:
    """From one side to the next, touching both; as large as the sides have room for."""
    one, two = before - corner, after - corner
    out, on = one / abs(one), two / abs(two)
    half = abs(phase(on / out)) / 2
    if half < 1e-6 or pi / 2 - half < 1e-6:
        return [corner]
    tangent_mm = min(radius_mm / abs(_tan(half)), abs(one), abs(two))
    reach_mm = tangent_mm * abs(_tan(half))
    middle = (out + on) / abs(out + on)
    centre = corner + middle * (tangent_mm**2 + reach_mm**2) ** 0.5
    first, last = corner + tangent_mm * out - centre, corner + tangent_mm * on - centre
    sweep = phase(last / first)
    return [centre + first * rect(1.0, sweep * n / _CHORDS) for n in range(_CHORDS + 1)]


def _tan(angle: float) -> float:
    turn = rect(1.0, angle)
    return turn.imag / turn.real
