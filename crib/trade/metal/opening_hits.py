"""A rectangular opening in several hits of a smaller square or rectangular tool, on a grid.

x runs along the opening's length, y along its width, both from its middle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from crib.trade.common.verdicts import exceeds, falls_short
from crib.trade.metal.hit_areas import WHOLE, Bite, Placed
from crib.trade.metal.hits import (
    CENTRED_WITHIN,
    DUST_MM,
    bridge_order,
    cover_length,
    cover_with_bridges,
)
from crib.trade.metal.slot_hits import Layout

MOST_HITS = 16


class _Left(NamedTuple):
    """What the hits before one leave of it along an axis: its share, and where that lies."""

    share: float
    centred: bool = True
    open_both_ends: bool = False


_WHOLE = _Left(1.0)


@dataclass(frozen=True, slots=True)
class _Axis:
    """Where tools stand along one axis, in which order, and what is left of each by its place.

    ``left_in_chain`` is that where they come one after another. ``web_mm`` stands between whole
    hits until a bridge; ``overlap_mm`` is what neighbours share, infinite where there are none.
    """

    centres: tuple[float, ...]
    order: Sequence[int]
    left: Sequence[_Left]
    left_in_chain: Sequence[_Left]
    overlap_mm: float
    web_mm: float | None = None

    @property
    def in_chain(self) -> Sequence[int]:
        """The places one after another."""
        return range(len(self.centres))

    def is_between(self, place: int) -> bool:
        """Whether both neighbours of a place are cut before it."""
        return self.web_mm is not None and place % 2 == 1


_Cell = tuple[int, int, _Left, _Left]
"""A place along the columns and one along the rows, and what is left of its hit along both."""


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
    return tuple(
        layout
        for column in columns
        for row in rows
        if 1 < len(column.centres) * len(row.centres) <= MOST_HITS
        and not falls_short(_last_bite(column, row), least_bite)
        for layout in _layouts(column, row, along_mm, across_mm)
    )


def _axes(length_mm: float, tool_mm: float, overlap_mm: float) -> tuple[_Axis, ...]:
    if not exceeds(tool_mm, 2 * overlap_mm):
        return ()
    chain = cover_length(length_mm, tool_mm, overlap_mm)
    if len(chain) > MOST_HITS:
        return ()
    bridged = cover_with_bridges(length_mm, tool_mm, overlap_mm)
    return _chain(chain, tool_mm), *([_with_bridges(bridged, tool_mm)] if bridged else [])


def _chain(centres: tuple[float, ...], tool_mm: float) -> _Axis:
    left = _left_in_chain(centres, tool_mm)
    return _Axis(centres, range(len(centres)), left, left, _overlap_mm(centres, tool_mm))


def _with_bridges(centres: tuple[float, ...], tool_mm: float) -> _Axis:
    """Hits evenly apart, every second one a bridge that comes after all the others."""
    web_mm = centres[2] - centres[0] - tool_mm
    overlap_mm = _overlap_mm(centres, tool_mm)
    gap_mm = web_mm if web_mm > DUST_MM else 0.0
    bridge = _Left(gap_mm / tool_mm, open_both_ends=overlap_mm > DUST_MM)
    # The whole ones of a long row may share a little: there is no gap then, which is refused.
    whole = _WHOLE if web_mm >= 0 else _open_below(tool_mm + web_mm, tool_mm)
    left = [bridge if place % 2 else whole for place in range(len(centres))]
    left[0] = _WHOLE
    in_chain = _left_in_chain(centres, tool_mm)
    return _Axis(centres, bridge_order(len(centres)), left, in_chain, overlap_mm, web_mm)


def _left_in_chain(centres: tuple[float, ...], tool_mm: float) -> list[_Left]:
    if len(centres) == 1:
        return [_WHOLE]
    return [_WHOLE, *[_open_below(centres[1] - centres[0], tool_mm)] * (len(centres) - 1)]


def _open_below(left_mm: float, tool_mm: float) -> _Left:
    off_mm = (tool_mm - left_mm) / 2
    return _Left(left_mm / tool_mm, centred=off_mm <= CENTRED_WITHIN * tool_mm + DUST_MM)


def _overlap_mm(centres: tuple[float, ...], tool_mm: float) -> float:
    return inf if len(centres) == 1 else tool_mm - (centres[1] - centres[0])


def _last_bite(column: _Axis, row: _Axis) -> float:
    """What the last hit of a grid bites; between bridges both ways it is not so simple."""
    along, across = (axis.left[axis.order[-1]].share for axis in (column, row))
    if column.web_mm is not None and row.web_mm is not None:
        return min(along, across)
    return along * across


def _layouts(column: _Axis, row: _Axis, along_mm: float, across_mm: float) -> Iterator[Layout]:
    """A grid row after row, and column after column."""
    tools = [
        [Placed(x_mm, y_mm, along_mm, across_mm) for y_mm in row.centres] for x_mm in column.centres
    ]
    webs = [axis.web_mm for axis in (column, row) if axis.web_mm is not None]
    overlap_mm, web_mm = min(column.overlap_mm, row.overlap_mm), min(webs, default=None)
    bites: dict[tuple[_Left, _Left], Bite] = {}
    for cells in _orders(column, row):
        for left in {cell[2:] for cell in cells}.difference(bites):
            bites[left] = _bite(*left)
        hits = tuple([tools[i][j] for i, j, _along, _across in cells])
        yield Layout(hits, tuple([bites[cell[2:]] for cell in cells]), overlap_mm, web_mm)


def _orders(column: _Axis, row: _Axis) -> Iterator[list[_Cell]]:
    """The cells in the order of their hits: row after row, and column after column."""
    yield [(i, j, along, across) for j, across, i, along in _one_by_one(row, column)]
    if len(row.centres) > 1 and len(column.centres) > 1:
        yield [(i, j, along, across) for i, along, j, across in _one_by_one(column, row)]


def _one_by_one(outer: _Axis, inner: _Axis) -> Iterator[tuple[int, _Left, int, _Left]]:
    """Each hit of a row, row after row: its row, what other rows leave of it, and so in its row.

    A row is whole before the next begins, so what is left of a hit is a box, part of it either way.
    In a row between two that are open, whole hits at both ends would leave loose metal, so that
    row is cut as a chain.
    """
    for row in outer.order:
        chain = outer.is_between(row)
        left = inner.left_in_chain if chain else inner.left
        for place in inner.in_chain if chain else inner.order:
            yield row, outer.left[row], place, left[place]


def _bite(along: _Left, across: _Left) -> Bite:
    """What a hit bites of which a box is left; it is a bridge where that lies in its middle."""
    share = along.share * across.share
    if share >= WHOLE:
        return Bite(share, "full")
    even = along.centred and across.centred and (along.open_both_ends or across.open_both_ends)
    return Bite(share, "bridge" if even and share > 0 else "chain")
