"""What each of several hits in one strip newly cuts, as exact areas.

A strip is as wide as every tool in it; a tool's ends are round (a slot punch) or flat.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import acos, pi, sqrt
from typing import NamedTuple

from crib.trade.life.wear import Hit
from crib.trade.metal.hits import CENTRED_WITHIN, DUST_MM, Span

# A bite this close to the whole tool is a full hit: the rest is the dust of arithmetic.
WHOLE = 1 - 1e-9


class Placed(NamedTuple):
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


class Bite(NamedTuple):
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
