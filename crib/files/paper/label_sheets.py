"""Sheets of labels, described by their paper, columns x rows and size; never by anybody's number.

The sizes are *common practice*: labels of these are sold for every office printer, with the field
of labels in the middle of the paper. Another sheet is said in full, with its pitch.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from crib.errors import BadInput, BadValue, UnknownName
from crib.files.common.paper_sizes import PAPERS_MM, paper_size_mm
from crib.units import mm_from_inches

LEAST_MM = 10.0
"""A label that is narrower or lower than this holds no code that a phone reads."""
_SLACK_MM = 0.01
_SAID = re.compile(
    r"(?P<paper>[a-z][a-z0-9]*) (?P<columns>[0-9]{1,2})x(?P<rows>[0-9]{1,2})"
    r"(?: (?P<width>[0-9.]{1,7})x(?P<height>[0-9.]{1,7}))?"
    r"(?: every (?P<across>[0-9.]{1,7})x(?P<down>[0-9.]{1,7}))?"
)


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """One sheet; ``across_mm`` and ``down_mm`` are from a label's edge to the next one's."""

    paper: str
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    across_mm: float
    down_mm: float

    @property
    def name(self) -> str:
        """How it is said: paper, columns x rows, width x height in mm."""
        size = f"{round(self.width_mm, 1):g}x{round(self.height_mm, 1):g}"
        return f"{self.paper} {self.columns}x{self.rows} {size}"

    @property
    def count(self) -> int:
        """How many labels are on it."""
        return self.columns * self.rows

    @property
    def paper_mm(self) -> tuple[float, float]:
        """Width and height of the paper, upright."""
        return paper_size_mm(self.paper)

    @property
    def left_mm(self) -> float:
        """White to the left of the first column: the field stands in the middle."""
        field_mm = (self.columns - 1) * self.across_mm + self.width_mm
        return (self.paper_mm[0] - field_mm) / 2

    @property
    def top_mm(self) -> float:
        """White above the first row."""
        field_mm = (self.rows - 1) * self.down_mm + self.height_mm
        return (self.paper_mm[1] - field_mm) / 2


def _inch_sheet(columns: int, rows: int, *sizes_in: float) -> LabelSheet:
    width_mm, height_mm, across_mm, down_mm = (mm_from_inches(size) for size in sizes_in)
    return LabelSheet("letter", columns, rows, width_mm, height_mm, across_mm, down_mm)


LABEL_SHEETS = (
    LabelSheet("a4", 3, 8, 70.0, 37.0, 70.0, 37.0),
    LabelSheet("a4", 3, 7, 63.5, 38.1, 66.0, 38.1),
    LabelSheet("a4", 2, 7, 99.1, 38.1, 101.6, 38.1),
    LabelSheet("a4", 2, 8, 99.1, 33.9, 101.6, 33.9),
    LabelSheet("a4", 4, 10, 48.5, 25.4, 48.5, 25.4),
    LabelSheet("a4", 4, 12, 45.7, 21.2, 48.3, 21.2),
    LabelSheet("a4", 5, 13, 38.1, 21.2, 40.6, 21.2),
    _inch_sheet(3, 10, 2.625, 1.0, 2.75, 1.0),
    _inch_sheet(2, 10, 4.0, 1.0, 4.1875, 1.0),
    _inch_sheet(2, 5, 4.0, 2.0, 4.1875, 2.0),
    _inch_sheet(4, 20, 1.75, 0.5, 2.05, 0.5),
)


def read_label_sheet(said: str) -> LabelSheet:
    """The sheet that somebody says: ``a4 3x8``, with its size, or any other with size and pitch.

    Raises:
        BadInput: for words that describe no sheet.
        UnknownName: for a sheet that is not in the list and has no pitch.
        BadValue: for labels that do not fit on their paper.
    """
    tidy = " ".join(said.casefold().replace("×", "x").split())
    found = _SAID.fullmatch(tidy)
    if not found:
        message = f"the label sheet {said[:60]!r} cannot be read"
        raise BadInput(message, way_out=_HOW)
    if found["across"]:
        return _checked(found)
    for sheet in LABEL_SHEETS:
        if tidy in (sheet.name, sheet.name.rsplit(" ", 1)[0]):
            return sheet
    known = "; ".join(sheet.name for sheet in LABEL_SHEETS)
    message = f"no label sheet {said[:60]!r} is known; known: {known}"
    raise UnknownName(message, way_out=_HOW)


_HOW = (
    "say it like 'a4 3x8', or any sheet by paper, columns x rows, size and pitch in mm:"
    " 'a4 3x9 63.5x29.6 every 66x29.6'"
)


def _checked(found: re.Match[str]) -> LabelSheet:
    """A sheet that was said in full, when its labels can lie on its paper."""
    known = {name.casefold() for name in PAPERS_MM}
    if found["paper"] not in known or not found["width"]:
        message = f"{found[0]!r} needs a paper ({', '.join(sorted(known))}) and a size"
        raise BadInput(message, way_out=_HOW)
    try:
        sizes = [float(found[name]) for name in ("width", "height", "across", "down")]
    except ValueError:
        message = f"a size in {found[0]!r} is no number"
        raise BadInput(message, way_out=_HOW) from None
    sheet = LabelSheet(found["paper"], int(found["columns"]), int(found["rows"]), *sizes)
    fault = _fault(sheet)
    if fault:
        message = f"{found[0]!r}: {fault}"
        raise BadValue(message, way_out=_HOW)
    return sheet


def _fault(sheet: LabelSheet) -> str:
    """Why a sheet cannot be; empty when it can."""
    size = f"{sheet.width_mm:g} x {sheet.height_mm:g} mm"
    if not sheet.count:
        return f"{sheet.columns} columns and {sheet.rows} rows must both be > 0"
    if min(sheet.width_mm, sheet.height_mm) < LEAST_MM:
        return f"labels of {size} must be >= {LEAST_MM:g} mm"
    if sheet.across_mm < sheet.width_mm or sheet.down_mm < sheet.height_mm:
        pitch = f"{sheet.across_mm:g} x {sheet.down_mm:g} mm"
        return f"a pitch of {pitch}, from edge to edge, must be >= the label's {size}"
    if min(sheet.left_mm, sheet.top_mm) < -_SLACK_MM:
        width_mm, height_mm = sheet.paper_mm
        return f"the labels are larger than their paper of {width_mm:g} x {height_mm:g} mm"
    return ""


def places(sheet: LabelSheet, count: int, skip: int = 0) -> Iterator[tuple[int, float, float]]:
    """Page (from 0), left and top in mm of so many labels, after those that are used already.

    Raises:
        BadValue: when more are skipped than are on a sheet.
    """
    if not 0 <= skip < sheet.count:
        message = f"skip={skip} must be 0 to {sheet.count - 1} on {sheet.name}"
        raise BadValue(message, way_out="a sheet that is used up is left out, not skipped")
    for number in range(skip, skip + count):
        page, on_page = divmod(number, sheet.count)
        row, column = divmod(on_page, sheet.columns)
        yield page, sheet.left_mm + column * sheet.across_mm, sheet.top_mm + row * sheet.down_mm
