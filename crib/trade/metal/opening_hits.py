"""A rectangular opening in several hits of a smaller square or rectangular tool, on a grid.

x runs along the opening's length, y along its width, both from its middle.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from crib.trade.common.verdicts import exceeds
from crib.trade.metal.hit_areas import Bite, Placed, box_bites
from crib.trade.metal.hits import (
    bites_along,
    bridge_order,
    cover_length,
    cover_with_bridges,
    gap_mm,
    kinds_along,
)
from crib.trade.metal.slot_hits import Layout

MOST_HITS = 16


@dataclass(frozen=True, slots=True)
class _Axis:
    """Where tools stand along one axis, in which order, and what stands between whole hits.

    ``last_bite`` is the share that the last hit along it cuts.
    """

    centres: tuple[float, ...]
    order: tuple[int, ...]
    last_bite: float
    web_mm: float | None = None


def opening_layouts(
    length_mm: float,
    width_mm: float,
    along_mm: float,
    across_mm: float,
    overlap_mm: float,
    least_bite: float = 0.0,
) -> tuple[Layout, ...]:
    """Every order in which one tool, always the same way round, cuts a rectangular opening.

    Along each axis the hits are a chain, or whole ones first and bridges after; rows come one after
    another, or columns, so that no metal comes loose before its own hit.

    Source: common practice (neighbours share at least an overlap; nothing is hit twice or loose).

    Args:
        length_mm: The opening's size along x [mm].
        width_mm: The opening's size along y [mm].
        along_mm: The tool's size along x [mm].
        across_mm: The tool's size along y [mm].
        overlap_mm: What neighbouring hits share at least [mm].
        least_bite: A grid whose last hit would bite less is not worked out [-].

    Returns:
        The layouts; none when the tool is too large, too small, or is the opening itself [mm].

    Example:
        >>> layouts = opening_layouts(100.0, 40.0, 40.0, 40.0, 1.5)
        >>> [[(one.share, one.kind) for one in layout.bites][-1] for layout in layouts]
        [(0.75, 'chain'), (0.5, 'bridge')]
    """
    if exceeds(along_mm, length_mm) or exceeds(across_mm, width_mm):
        return ()
    columns = _axes(length_mm, along_mm, overlap_mm)
    rows = _axes(width_mm, across_mm, overlap_mm)
    found: dict[tuple[Placed, ...], Layout] = {}
    for column in columns:
        for row in rows:
            count = len(column.centres) * len(row.centres)
            if not 1 < count <= MOST_HITS or _last_bite(column, row) < least_bite:
                continue
            for cells in _orders(column, row):
                hits = tuple(
                    Placed(column.centres[i], row.centres[j], along_mm, across_mm) for i, j in cells
                )
                if hits not in found:
                    found[hits] = _layout(hits, column, row)
    return tuple(found.values())


def _axes(length_mm: float, tool_mm: float, overlap_mm: float) -> tuple[_Axis, ...]:
    if not exceeds(tool_mm, 2 * overlap_mm):
        return ()
    chain = cover_length(length_mm, tool_mm, overlap_mm)
    found = [_axis(chain, tuple(range(len(chain))), tool_mm)]
    bridged = cover_with_bridges(length_mm, tool_mm, overlap_mm)
    if bridged:
        web_mm = gap_mm(bridged[::2], tool_mm)
        found.append(_axis(bridged, bridge_order(len(bridged)), tool_mm, web_mm))
    return tuple(found)


def _axis(
    centres: tuple[float, ...], order: tuple[int, ...], tool_mm: float, web_mm: float | None = None
) -> _Axis:
    return _Axis(centres, order, bites_along(centres, tool_mm, order)[-1], web_mm)


def _last_bite(column: _Axis, row: _Axis) -> float:
    """What the last hit of a grid bites; between bridges both ways it is not so simple."""
    if column.web_mm is not None and row.web_mm is not None:
        return min(column.last_bite, row.last_bite)
    return column.last_bite * row.last_bite


def _orders(column: _Axis, row: _Axis) -> Iterator[list[tuple[int, int]]]:
    """Cells in the order of their hits: row after row, and column after column.

    In a row between two that are open, whole hits at both ends would leave loose metal, so that
    row is cut as a chain.
    """
    along = tuple(range(len(column.centres)))
    across = tuple(range(len(row.centres)))
    yield [(i, j) for j in row.order for i in (along if _between(row, j) else column.order)]
    if len(across) > 1 and len(along) > 1:
        yield [(i, j) for i in column.order for j in (across if _between(column, i) else row.order)]


def _between(axis: _Axis, index: int) -> bool:
    return axis.web_mm is not None and index % 2 == 1


def _layout(hits: tuple[Placed, ...], column: _Axis, row: _Axis) -> Layout:
    tool = hits[0]
    overlaps = [
        size_mm - (second - first)
        for axis, size_mm in ((column, tool.along_mm), (row, tool.across_mm))
        for first, second in pairwise(axis.centres)
    ]
    webs = [axis.web_mm for axis in (column, row) if axis.web_mm is not None]
    return Layout(hits, _bites(hits), min(overlaps), min(webs, default=None))


def _bites(hits: tuple[Placed, ...]) -> tuple[Bite, ...]:
    """The bites; those of a single row or column as the quicker sum along a length."""
    first = hits[0]
    if all(hit.y_mm == first.y_mm for hit in hits):
        centres, tool_mm = [hit.x_mm for hit in hits], first.along_mm
    elif all(hit.x_mm == first.x_mm for hit in hits):
        centres, tool_mm = [hit.y_mm for hit in hits], first.across_mm
    else:
        return box_bites(hits)
    shares, kinds = bites_along(centres, tool_mm), kinds_along(centres, tool_mm)
    return tuple(Bite(share, kind) for share, kind in zip(shares, kinds, strict=True))
