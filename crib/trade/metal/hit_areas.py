"""What each of several hits newly cuts, as exact areas: tools in one strip, or boxes in a plane.

A strip is as wide as every tool in it; a tool's ends are round (a slot punch) or flat. Boxes are
rectangular tools anywhere in a rectangular opening.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import acos, pi, sqrt

from crib.trade.life.wear import Hit
from crib.trade.metal.hits import CENTRED_WITHIN, DUST_MM, Span

# A bite this close to the whole tool is a full hit: the rest is the dust of arithmetic.
WHOLE = 1 - 1e-9


@dataclass(frozen=True, slots=True)
class Placed:
    """A tool where it hits: its centre, its size along x and along y, its ends, and which tool."""

    x_mm: float
    y_mm: float
    along_mm: float
    across_mm: float
    rounded: bool = False
    tool: int = 0

    @property
    def area_mm2(self) -> float:
        """The area of the tool's point."""
        if not self.rounded:
            return self.along_mm * self.across_mm
        straight_mm = self.along_mm - self.across_mm
        return straight_mm * self.across_mm + pi * self.across_mm**2 / 4

    @property
    def x_span(self) -> Span:
        """From where to where the tool cuts over its whole width."""
        half_mm = (self.along_mm - (self.across_mm if self.rounded else 0.0)) / 2
        return self.x_mm - half_mm, self.x_mm + half_mm


@dataclass(frozen=True, slots=True)
class Bite:
    """The share of its area that a hit cuts, and whether it is full, a chain or a bridge."""

    share: float
    kind: Hit


def strip_bites(hits: Sequence[Placed]) -> tuple[Bite, ...]:
    """The bites of hits in one strip, in their order.

    Only the nearest earlier hit on either side takes from a hit; where those two overlap, it must
    be under it.

    Source: plane geometry; a bridge is open evenly within 10 % of its length (common practice).

    Args:
        hits: The hits in their order, all as wide as the strip [mm].

    Returns:
        The bite of each [-].

    Example:
        >>> [round(one.share, 3) for one in strip_bites(
        ...     [Placed(-5.0, 0.0, 40.0, 22.0, True), Placed(5.0, 0.0, 40.0, 22.0, True)])]
        [1.0, 0.283]
    """
    return tuple(_strip_bite(hit, hits[:number]) for number, hit in enumerate(hits))


def _strip_bite(hit: Placed, earlier: Sequence[Placed]) -> Bite:
    below = max((one for one in earlier if one.x_mm <= hit.x_mm), key=_x, default=None)
    above = min((one for one in earlier if one.x_mm > hit.x_mm), key=_x, default=None)
    left_mm2 = 0.0 if below is None else shared_mm2(below, hit)
    right_mm2 = 0.0 if above is None else shared_mm2(hit, above)
    both_mm2 = 0.0 if below is None or above is None else shared_mm2(below, above)
    share = max(0.0, 1 - (left_mm2 + right_mm2 - both_mm2) / hit.area_mm2)
    off_mm = abs(left_mm2 - right_mm2) / hit.across_mm / 2
    centred = off_mm <= CENTRED_WITHIN * hit.along_mm + DUST_MM
    return Bite(share, _kind(share, even=centred and min(left_mm2, right_mm2) > 0))


def _x(hit: Placed) -> float:
    return hit.x_mm


def _kind(share: float, *, even: bool) -> Hit:
    if share >= WHOLE:
        return "full"
    return "bridge" if even else "chain"


def shared_mm2(first: Placed, second: Placed) -> float:
    """The area that two tools in one strip share, the second further along.

    Source: plane geometry (lens of two circles, segment of one, or whole widths).

    Args:
        first: The tool that stands before the other [mm].
        second: The tool further along [mm].

    Returns:
        The area under both [mm²].

    Example:
        >>> shared_mm2(Placed(0.0, 0.0, 10.0, 5.0), Placed(8.0, 0.0, 10.0, 5.0))
        10.0
    """
    width_mm = first.across_mm
    radius_mm = width_mm / 2
    gap_mm = second.x_span[0] - first.x_span[1]
    rounds = first.rounded + second.rounded
    if gap_mm <= 0:
        return rounds * pi * radius_mm**2 / 2 - gap_mm * width_mm
    reach_mm = gap_mm / rounds if rounds else 0.0
    if not rounds or reach_mm >= radius_mm:
        return 0.0
    segment_mm2 = radius_mm**2 * acos(reach_mm / radius_mm) - reach_mm * sqrt(
        radius_mm**2 - reach_mm**2
    )
    return rounds * segment_mm2


def cusp_mm(hits: Sequence[Placed]) -> float:
    """The height of the highest cusp that hits of one strip leave on its sides.

    Source: plane geometry; half the width where neighbours leave a bridge of metal.

    Args:
        hits: The hits in any order, all as wide as the strip [mm].

    Returns:
        The height, 0 where the straight parts of neighbours meet or overlap [mm].

    Example:
        >>> rounds = [Placed(x_mm, 0.0, 22.0, 22.0, True) for x_mm in (0.0, 5.0)]
        >>> round(cusp_mm(rounds), 3)
        0.288
    """
    worst_mm = 0.0
    for first, second in pairwise(sorted(hits, key=_x)):
        radius_mm = first.across_mm / 2
        gap_mm = second.x_span[0] - first.x_span[1]
        rounds = first.rounded + second.rounded
        if gap_mm > DUST_MM:
            reach_mm = min(radius_mm, gap_mm / rounds) if rounds else radius_mm
            worst_mm = max(worst_mm, radius_mm - sqrt(radius_mm**2 - reach_mm**2))
    return worst_mm


def box_bites(hits: Sequence[Placed]) -> tuple[Bite, ...]:
    """The bites of rectangular hits in a plane, in their order.

    A hit whose uncut part lies in its middle, within 10 % of each side, is open evenly.

    Source: plane geometry; a bridge is open evenly within 10 % of its length (common practice).

    Args:
        hits: The hits in their order, flat on every side [mm].

    Returns:
        The bite of each [-].

    Example:
        >>> [one.share for one in box_bites([Placed(0, 0, 10, 10), Placed(6, 8, 10, 10)])]
        [1.0, 0.92]
    """
    boxes = [_box(hit) for hit in hits]
    return tuple(
        _box_bite(box, boxes[:number], hit.area_mm2)
        for number, (hit, box) in enumerate(zip(hits, boxes, strict=True))
    )


_Box = tuple[float, float, float, float]
"""A box from its left to its right, and from its low side to its high one [mm]."""


def _box(hit: Placed) -> _Box:
    half_x, half_y = hit.along_mm / 2, hit.across_mm / 2
    return hit.x_mm - half_x, hit.x_mm + half_x, hit.y_mm - half_y, hit.y_mm + half_y


def _area_mm2(box: _Box) -> float:
    left, right, low, high = box
    return (right - left) * (high - low)


def _box_bite(box: _Box, earlier: Sequence[_Box], whole_mm2: float) -> Bite:
    left, right, low, high = box
    near = [
        one
        for one in earlier
        if one[0] < right and one[1] > left and one[2] < high and one[3] > low
    ]
    if not near:
        return Bite(_area_mm2(box) / whole_mm2, "full")
    cells = list(_uncut_cells(box, near))
    if not cells:
        return Bite(0.0, "chain")
    area_mm2 = sum(map(_area_mm2, cells))
    share = area_mm2 / whole_mm2
    return Bite(share, _kind(share, even=_open_evenly(box, cells, area_mm2)))


def _open_evenly(box: _Box, cells: Sequence[_Box], area_mm2: float) -> bool:
    """Whether what is uncut lies in the middle, with both ends open along x or along y."""
    left, right, low, high = box
    off_x = sum(_area_mm2(cell) * (cell[0] + cell[1] - left - right) for cell in cells)
    off_y = sum(_area_mm2(cell) * (cell[2] + cell[3] - low - high) for cell in cells)
    centred = (
        abs(off_x) / (2 * area_mm2) <= CENTRED_WITHIN * (right - left) + DUST_MM
        and abs(off_y) / (2 * area_mm2) <= CENTRED_WITHIN * (high - low) + DUST_MM
    )
    return centred and any(
        min(cell[near] for cell in cells) > box[near] + DUST_MM
        and max(cell[far] for cell in cells) < box[far] - DUST_MM
        for near, far in ((0, 1), (2, 3))
    )


def _uncut_cells(box: _Box, near: Sequence[_Box]) -> Iterator[_Box]:
    """The cells of a box that no earlier one has cut."""
    left, right, low, high = box
    rows = [*pairwise(_marks([one[2:] for one in near], (low, high)))]
    for start, end in pairwise(_marks([one[:2] for one in near], (left, right))):
        x_mm = (start + end) / 2
        above = [one for one in near if one[0] < x_mm < one[1]]
        for under, over in rows:
            y_mm = (under + over) / 2
            if not any(one[2] < y_mm < one[3] for one in above):
                yield start, end, under, over


def _marks(spans: Sequence[Span], within: Span) -> list[float]:
    """Every end of the spans inside one, rising; ends that differ by dust are one."""
    low, high = within
    marks = [low]
    for mark in sorted(end for span in spans for end in span if low < end < high):
        if mark - marks[-1] > DUST_MM:
            marks.append(mark)
    if high - marks[-1] <= DUST_MM and len(marks) > 1:
        marks.pop()
    return [*marks, high]
