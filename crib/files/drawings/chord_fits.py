"""Chords made arcs again: many short lines whose ends lie on one circle.

Programs that know no arcs write a circle as a polygon of many corners that lie on it; splines are
flattened to such chords here. A hexagon's corners lie on a circle too, so only a gentle turn from
chord to chord counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import asin, cos, pi, radians
from typing import TYPE_CHECKING

from crib.files.drawings.contour_sides import MOST_POINTS, Side

if TYPE_CHECKING:
    import numpy as np

FIT_MM = 0.02
"""How far a corner may be off the fitted circle: what two decimals of a millimetre or three of an
inch leave after rounding, and under half of what counts as the same place (*shop rule*)."""
MOST_TURN_DEG = 30.0
"""The sharpest turn between two chords of one arc: twelve to a circle. No punch has so many sides,
and a circle of fewer is too rough to say which size was meant (*shop rule*)."""
LEAST_CHORDS = 4
"""Three chords lie on a circle whenever they are symmetric; a fourth does by intent only."""
_ROUNDED_DEG = 1.5
"""How much sharper a turn may look once the corners are rounded."""
_MOST_LONGER = 4
"""How much longer than half of the others a chord may be: a long line and a few short chords lie
near one large circle, and what flattens a curve halves its chords twice at most side by side."""
_HALF = pi * 1.001


@dataclass(frozen=True, slots=True)
class Fit:
    """How well arcs fit: corners off them, chords inside them [mm], and how many chords."""

    off_mm: float
    inside_mm: float
    chords: int


@dataclass(frozen=True, slots=True)
class _Arc:
    """Chords from one corner to another, counted on, and their circle."""

    first: int
    last: int
    centre: complex
    radius_mm: float
    off_mm: float


def fitted(sides: Sequence[Side]) -> tuple[list[Side], Fit | None]:
    """The sides of a closed contour with chords made arcs, and how well these fit."""
    count = len(sides)
    if not LEAST_CHORDS < count <= MOST_POINTS:
        return list(sides), None
    gentle = _gentle(sides)
    if sum(map(bool, gentle)) < LEAST_CHORDS - 1:
        return list(sides), None
    import numpy as np

    points = np.array([side.start for side in sides])
    if len(set(gentle)) == 1 and gentle[0]:
        whole = _circle(points)
        if whole[2] <= FIT_MM:
            return _whole_circle(sides, *whole)
    return _with_arcs(sides, points, gentle)


def _gentle(sides: Sequence[Side]) -> list[int]:
    """For each corner 1 or -1 where two straight sides turn gently left or right, else 0."""
    made = []
    limit = cos(radians(MOST_TURN_DEG + _ROUNDED_DEG))
    for one, two in zip([sides[-1], *sides], sides, strict=False):
        turn = one.step.conjugate() * two.step
        is_gentle = turn.real >= limit * abs(turn) and not one.radius_mm and not two.radius_mm
        made.append((turn.imag > 0) - (turn.imag < 0) if is_gentle else 0)
    return made


def _circle(points: np.ndarray) -> tuple[complex, float, float]:
    """The circle nearest to points by least squares: centre, radius, and the most one is off it.

    Source: I. Kåsa, "A circle fitting procedure and its error analysis", IEEE Transactions on
    Instrumentation and Measurement 25 (1976), which makes it a linear problem.
    """
    import numpy as np

    middle = points.mean()
    away = points - middle
    x, y, square = away.real, away.imag, np.abs(away) ** 2
    sums = np.array([[x @ x, x @ y], [x @ y, y @ y]])
    if abs(np.linalg.det(sums)) < 1e-12 * max(sums.trace() ** 2, 1e-30):
        return complex(middle), 0.0, float("inf")
    across, up = np.linalg.solve(sums, np.array([square @ x, square @ y]) / 2)
    radius_mm = float(np.sqrt(across**2 + up**2 + square.mean()))
    off_mm = float(np.max(np.abs(np.abs(away - complex(across, up)) - radius_mm)))
    return complex(middle) + complex(across, up), radius_mm, off_mm


def _whole_circle(
    sides: Sequence[Side], centre: complex, radius_mm: float, off_mm: float
) -> tuple[list[Side], Fit]:
    right, left = centre + radius_mm, centre - radius_mm
    halves = [Side(right, left, radius_mm), Side(left, right, radius_mm)]
    return halves, Fit(off_mm, _inside_mm(sides, radius_mm), len(sides))


def _inside_mm(sides: Sequence[Side], radius_mm: float) -> float:
    """How far the middle of the longest chord is inside the arc."""
    half = min(max(side.length_mm for side in sides) / 2 / radius_mm, 1.0)
    return radius_mm * (1 - cos(asin(half)))


def _with_arcs(
    sides: Sequence[Side], points: np.ndarray, gentle: Sequence[int]
) -> tuple[list[Side], Fit | None]:
    count = len(sides)
    sharp = next((at for at in range(count) if not gentle[at]), None)
    longest = max(range(count), key=lambda at: sides[at].length_mm)
    order, arcs = _arcs(points, gentle, longest if sharp is None else sharp)
    if sharp is None and arcs:
        # The walk may have begun within an arc; the last one it found has its true beginning.
        order, arcs = _arcs(points, gentle, order[arcs[-1].first])
    if not arcs:
        return list(sides), None
    made: list[Side] = []
    done = 0
    for arc in arcs:
        made += [sides[order[at]] for at in range(done, arc.first)]
        made += _pieces(points, order, arc, gentle[order[arc.first + 1]])
        done = arc.last
    made += [sides[order[at]] for at in range(done, count)]
    chords = [[sides[order[at]] for at in range(arc.first, arc.last)] for arc in arcs]
    inside_mm = max(_inside_mm(own, arc.radius_mm) for own, arc in zip(chords, arcs, strict=True))
    return made, Fit(max(arc.off_mm for arc in arcs), inside_mm, sum(map(len, chords)))


def _arcs(points: np.ndarray, gentle: Sequence[int], start: int) -> tuple[list[int], list[_Arc]]:
    """The corners in their order once round from one of them, and the arcs on the way."""
    count = len(points)
    order = [(start + n) % count for n in range(count + 1)]
    arcs: list[_Arc] = []
    at = 0
    while at < count:
        arc = _longest(points, gentle, order, at)
        if arc is not None:
            arcs.append(arc)
        at = arc.last if arc else at + 1
    return order, arcs


def _longest(
    points: np.ndarray, gentle: Sequence[int], order: Sequence[int], first: int
) -> _Arc | None:
    """The longest arc from a corner on; None where not even the fewest chords make one."""
    most = first + 1
    turn = gentle[order[most]]
    while most < len(order) - 1 and turn and gentle[order[most]] == turn:
        most += 1
    if most < first + LEAST_CHORDS:
        return None
    best = _arc(points, order, first, first + LEAST_CHORDS)
    step = LEAST_CHORDS
    # Twice as far while it fits, half as far when it does not.
    while best and step and best.last < most:
        longer = _arc(points, order, first, min(best.last + step, most))
        best, step = (longer, 2 * step) if longer else (best, step // 2)
    return best


def _arc(points: np.ndarray, order: Sequence[int], first: int, last: int) -> _Arc | None:
    import numpy as np

    some = points[list(order[first : last + 1])]
    chords_mm = np.abs(np.diff(some))
    if chords_mm.max() > _MOST_LONGER * np.median(chords_mm):
        return None
    centre, radius_mm, off_mm = _circle(some)
    if off_mm > FIT_MM:
        return None
    # A line that goes on from an arc spoils the circle little; that of the others it is far off.
    middle, own_mm, _ = _circle(some[1:-1])
    ends_mm = np.abs(np.abs(some[[0, -1]] - middle) - own_mm)
    if ends_mm.max() > FIT_MM:
        return None
    return _Arc(first, last, centre, radius_mm, off_mm)


def _pieces(points: np.ndarray, order: Sequence[int], arc: _Arc, turn: int) -> list[Side]:
    """An arc as sides of at most 180 degrees, between corners that stay where they are."""
    ends = [complex(points[order[arc.first]]), complex(points[order[arc.last]])]
    swept = sum(
        asin(min(abs(points[order[n + 1]] - points[order[n]]) / 2 / arc.radius_mm, 1.0)) * 2
        for n in range(arc.first, arc.last)
    )
    if swept > _HALF:
        ends.insert(1, complex(points[order[(arc.first + arc.last) // 2]]))
    return [
        Side(one, two, turn * max(arc.radius_mm, abs(two - one) / 2)) for one, two in pairwise(ends)
    ]
