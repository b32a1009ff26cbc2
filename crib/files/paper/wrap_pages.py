"""A drawing at full size over several sheets: which part is on which, and where they join."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from crib.files.common.paper_sizes import paper_size_mm
from crib.files.paper.picture_paper import Box

MARGIN_MM, HEAD_MM, FOOT_MM = 10.0, 34.0, 8.0
OVERLAP_MM = 12.0
"""How much of a sheet is seen on the next one too, to be glued over."""


@dataclass(frozen=True, slots=True)
class WrapSheet:
    """One sheet: the part of the drawing that it holds, and the letters of its joins."""

    number: int
    column: int
    row: int
    part: Box
    joins_left: str = ""
    joins_below: str = ""


@dataclass(frozen=True, slots=True)
class WrapSheets:
    """All sheets, rows from below, with the size of one."""

    paper: str
    width_mm: float
    height_mm: float
    columns: int
    rows: int
    sheets: tuple[WrapSheet, ...]

    @property
    def room(self) -> Box:
        """Where on a sheet the drawing stands."""
        top = self.height_mm - MARGIN_MM - HEAD_MM
        return Box(MARGIN_MM, MARGIN_MM + FOOT_MM, self.width_mm - MARGIN_MM, top)

    def find(self, column: int, row: int) -> WrapSheet | None:
        """The sheet at a place of the grid."""
        return next(
            (sheet for sheet in self.sheets if (sheet.column, sheet.row) == (column, row)),
            None,
        )


def spread(drawing: Box, paper: str) -> WrapSheets:
    """Spread a drawing over the fewest sheets of a paper, lying or upright; lying if it is equal.

    Raises:
        BadValue: for a paper that is not known.
    """
    short, long = paper_size_mm(paper)
    lying, upright = _spread(drawing, paper, long, short), _spread(drawing, paper, short, long)
    return min(lying, upright, key=lambda one: len(one.sheets))


def _spread(drawing: Box, paper: str, width_mm: float, height_mm: float) -> WrapSheets:
    room = WrapSheets(paper, width_mm, height_mm, 0, 0, ()).room
    columns = _count(drawing.width, room.width)
    rows = _count(drawing.height, room.height)
    across = (drawing.width - OVERLAP_MM) / columns
    up = (drawing.height - OVERLAP_MM) / rows
    sheets: list[WrapSheet] = []
    for row in range(rows):
        for column in range(columns):
            left, low = drawing.left + column * across, drawing.bottom + row * up
            part = Box(left, low, left + across + OVERLAP_MM, low + up + OVERLAP_MM)
            number = len(sheets) + 1
            joins_left = _letter(row * (columns - 1) + column - 1) if column else ""
            below = rows * (columns - 1) + (row - 1) * columns + column
            joins_below = _letter(below) if row else ""
            sheets.append(WrapSheet(number, column, row, part, joins_left, joins_below))
    return WrapSheets(paper, width_mm, height_mm, columns, rows, tuple(sheets))


def _count(length_mm: float, room_mm: float) -> int:
    if length_mm <= room_mm:
        return 1
    return ceil((length_mm - OVERLAP_MM) / (room_mm - OVERLAP_MM))


def _letter(number: int) -> str:
    """A, B, ... Z, AA, AB ..."""
    first, last = divmod(number, 26)
    return (chr(64 + first) if first else "") + chr(65 + last)
