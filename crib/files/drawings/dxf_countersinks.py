"""Two circles round one middle in a drawing: a hole and its countersink."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

from crib.files.drawings.contour_sides import SAME_MM
from crib.files.drawings.dxf_shapes import Shape

MOST_TIMES = 2.6
"""A circle wider than so many times the hole in it is an opening with another part's hole in it.

*Common practice*: heads of countersunk screws and bolts are about twice their shank.
"""


def countersunk(inner: Sequence[tuple[Shape, str]]) -> dict[int, int]:
    """Which circle is a hole, and which the countersink round it, by their numbers.

    Only two by themselves are: three round one middle may be anything, and stay as they are drawn.
    """
    if not any(remark for _shape, remark in inner):
        return {}
    circles = [number for number, (shape, _) in enumerate(inner) if shape.is_circle]
    found: dict[int, int] = {}
    for group in _round_one_middle(inner, circles):
        if len(group) == 2:
            hole, sink = sorted(group, key=lambda number: inner[number][0].radius_mm)
            own_mm, wide_mm = inner[hole][0].radius_mm, inner[sink][0].radius_mm
            if own_mm + SAME_MM < wide_mm <= MOST_TIMES * own_mm:
                found[hole] = sink
    return found


def ring_in(outline: Shape | None, inner: Sequence[tuple[Shape, str]]) -> Shape | None:
    """The hole of an outline that is but a circle round one: a disc, or a hole and its countersink.

    Which of them a drawing means that shows nothing else, nobody can see.
    """
    if outline is None or not outline.is_circle or len(inner) != 1:
        return None
    hole = inner[0][0]
    alike = hole.is_circle and abs(hole.middle - outline.middle) <= SAME_MM
    return hole if alike and outline.radius_mm <= MOST_TIMES * hole.radius_mm else None


def _round_one_middle(
    inner: Sequence[tuple[Shape, str]], circles: Sequence[int]
) -> list[list[int]]:
    """The circles put together by their middles, each in the first group that it is near."""
    groups: list[list[int]] = []
    near: dict[tuple[int, int], list[int]] = {}
    for number in circles:
        middle = inner[number][0].middle
        x, y = floor(middle.real), floor(middle.imag)
        around = [
            n for dx in (-1, 0, 1) for dy in (-1, 0, 1) for n in near.get((x + dx, y + dy), ())
        ]
        at = next(
            (n for n in around if abs(inner[groups[n][0]][0].middle - middle) <= SAME_MM), None
        )
        if at is None:
            near.setdefault((x, y), []).append(len(groups))
            groups.append([number])
        else:
            groups[at].append(number)
    return groups
