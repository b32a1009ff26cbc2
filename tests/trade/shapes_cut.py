"""Hits as polygons, to hold worked-out bites and unions against an independent geometry."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from shapely import LineString, Polygon, box, unary_union
from shapely.geometry.base import BaseGeometry

from crib.trade.metal.hit_areas import Placed

QUARTER = 32
"""Straight pieces that stand for a quarter of a circle."""


def polygon(hit: Placed) -> BaseGeometry:
    """A tool where it hits."""
    if not hit.rounded:
        half_x, half_y = hit.along_mm / 2, hit.across_mm / 2
        return box(hit.x_mm - half_x, hit.y_mm - half_y, hit.x_mm + half_x, hit.y_mm + half_y)
    return obround(hit.along_mm, hit.across_mm, hit.x_mm, hit.y_mm)


def obround(long_mm: float, width_mm: float, x_mm: float = 0.0, y_mm: float = 0.0) -> BaseGeometry:
    """A slot along x."""
    half_mm = max((long_mm - width_mm) / 2, 1e-9)
    line = LineString([(x_mm - half_mm, y_mm), (x_mm + half_mm, y_mm)])
    return line.buffer(width_mm / 2, quad_segs=QUARTER)


def opening(length_mm: float, width_mm: float) -> Polygon:
    """A rectangular opening."""
    return box(-length_mm / 2, -width_mm / 2, length_mm / 2, width_mm / 2)


def cut(hits: Iterable[Placed]) -> BaseGeometry:
    """Everything that the hits cut."""
    return unary_union([polygon(hit) for hit in hits])


def newly_cut(hits: Sequence[Placed]) -> list[float]:
    """The share of its own area that each hit cuts, in their order."""
    return [new.area / polygon(hit).area for hit, new in zip(hits, _left_under(hits), strict=True)]


def _left_under(hits: Sequence[Placed]) -> Iterator[BaseGeometry]:
    """What the hits before each of them leave under it."""
    gone: BaseGeometry = Polygon()
    for hit in hits:
        own = polygon(hit)
        yield own.difference(gone)
        gone = gone.union(own)


def kinds_cut(hits: Sequence[Placed]) -> list[str]:
    """Whether each hit is full, a chain or a bridge: open at both ends, even within a tenth."""
    return [_kind_cut(hit, new) for hit, new in zip(hits, _left_under(hits), strict=True)]


def _kind_cut(hit: Placed, new: BaseGeometry) -> str:
    own = polygon(hit)
    left = new.buffer(-1e-7, join_style="mitre")
    if left.is_empty or new.area > (1 - 1e-7) * own.area:
        return "chain" if left.is_empty else "full"
    off_mm = abs(new.centroid.x - hit.x_mm), abs(new.centroid.y - hit.y_mm)
    even = off_mm[0] <= 0.1 * hit.along_mm and off_mm[1] <= 0.1 * hit.across_mm
    open_mm = [
        abs(of_left - of_own) for of_left, of_own in zip(left.bounds, own.bounds, strict=True)
    ]
    both = min(open_mm[::2]) > 1e-6 or min(open_mm[1::2]) > 1e-6
    return "bridge" if even and both else "chain"


def falls_out(hits: Sequence[Placed], wanted: Polygon) -> bool:
    """Whether metal would come loose from the edge of an opening before its own hit."""
    for number in range(3, len(hits)):
        left = wanted.difference(cut(hits[:number]))
        parts = list(getattr(left, "geoms", [left]))
        if any(part.distance(wanted.exterior) > 1e-9 for part in parts if part.area > 1e-6):
            return True
    return False
