"""Which opening is nearest to each of many, without comparing every one with every other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import floor
from statistics import median

from crib.errors import BadValue
from crib.trade.metal.opening_gaps import Region, metal_between_mm

_LEAST_CELL_MM = 1.0
_MOST_CELLS = 4_096


def nearest_openings(
    regions: Sequence[Region], within_mm: Sequence[float]
) -> list[tuple[float, int] | None]:
    """The nearest other opening to each one, where it is near enough to matter.

    Source: plane geometry.

    Args:
        regions: The openings of one face [mm].
        within_mm: For each of them, the metal above which a neighbour does not matter [mm].

    Returns:
        For each the metal to the nearest one and its number; None where none is near [mm].

    Raises:
        BadValue: When there is not one distance for each opening.

    Example:
        >>> nearest_openings([Region((0j,), 5.0), Region((20 + 0j,), 5.0)], [15.0, 5.0])
        [(10.0, 1), None]
    """
    if len(regions) != len(within_mm):
        message = f"{len(within_mm)} distances for {len(regions)} openings"
        raise BadValue(message)
    found: list[tuple[float, int] | None] = [None] * len(regions)
    for one, other in _pairs([_box(*each) for each in zip(regions, within_mm, strict=True)]):
        metal_mm = metal_between_mm(regions[one], regions[other])
        for this, that in ((one, other), (other, one)):
            known = found[this]
            if metal_mm <= within_mm[this] and (known is None or metal_mm < known[0]):
                found[this] = (metal_mm, that)
    return found


_Box = tuple[float, float, float, float]


def _box(region: Region, more_mm: float) -> _Box:
    """Left, low, right and top of an opening and of what matters around it."""
    out_mm = region.radius_mm + more_mm
    xs, ys = [point.real for point in region.core], [point.imag for point in region.core]
    return min(xs) - out_mm, min(ys) - out_mm, max(xs) + out_mm, max(ys) + out_mm


def _pairs(boxes: Sequence[_Box]) -> Iterator[tuple[int, int]]:
    """Every pair whose boxes meet, once."""
    cells: dict[tuple[int, int], list[int]] = {}
    if not boxes:
        return
    size_mm = max(median(max(b[2] - b[0], b[3] - b[1]) for b in boxes), _LEAST_CELL_MM)
    wide: list[int] = []
    for number, box in enumerate(boxes):
        left, low, right, top = (floor(side / size_mm) for side in box)
        if (right - left + 1) * (top - low + 1) > _MOST_CELLS:
            wide.append(number)
            continue
        for x in range(left, right + 1):
            for y in range(low, top + 1):
                cells.setdefault((x, y), []).append(number)
    for (x, y), numbers in cells.items():
        for one, other in combinations(numbers, 2):
            # A pair that shares several cells is looked at in the first of them only.
            left, low = (floor(max(boxes[one][n], boxes[other][n]) / size_mm) for n in (0, 1))
            if (left, low) == (x, y) and _meet(boxes[one], boxes[other]):
                yield one, other
    for one in wide:
        for other in range(len(boxes)):
            first = other not in wide or other > one
            if other != one and first and _meet(boxes[one], boxes[other]):
                yield one, other


def _meet(one: _Box, other: _Box) -> bool:
    across = one[0] <= other[2] and other[0] <= one[2]
    return across and one[1] <= other[3] and other[1] <= one[3]
