"""A chart as a sheet to print: one drawing code for SVG and PDF, read in grey."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crib.features.common.picture import Anchor
from crib.files.common.paper_sizes import paper_size_mm
from crib.files.paper.chart import Chart, Point, Series, Style, corners
from crib.files.paper.picture_ink import BLACK, DARK, WHITE, Pen, grey, written
from crib.files.paper.picture_paper import (
    BOLD,
    FONT,
    LINE_HEIGHT,
    POINTS_PER_MM,
    TEXT_SIZE,
    WIDER,
    Box,
    Paper,
    Text,
    letters_width,
    printable,
    wrapped,
)
from crib.files.paper.pictures import MARGIN, drawing_file, write_drawing

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

TITLE_SIZE, SMALL, MARK_SIZE = 14.0, 8.0, 7.0
AIR, TICK, SAMPLE, RADIUS = 8.0, 4.0, 24.0, 5.0
ROOMY = 0.86
"""Share of a line that is filled: a viewer that lacks the font may show a wider one."""
MOST_NOTES = 8
PENS: dict[Style, Pen] = {
    "line": Pen(1.6),
    "step": Pen(1.2),
    "limit": Pen(0.8, DARK, (5, 3)),
    "bar": Pen(4.0, 0.45),
    "marks": Pen(0.7),
}
_AXIS, _GRID = Pen(0.8), Pen(0.3, 0.75)
_LAYER: dict[Style, int] = {"limit": 0, "bar": 1, "line": 2, "step": 2, "marks": 3}


@dataclass(frozen=True, slots=True)
class ChartSheet:
    """Whose crib it is, and the paper: A4 or Letter."""

    crib: str = ""
    paper: str = "A4"


def render_chart(chart: Chart, path: Path, sheet: ChartSheet | None = None) -> None:
    """Write a chart as an SVG or PDF file, whole or not at all.

    Raises:
        BadInput: for another ending.
        Refused: when something is there already.
        Missing: when there is no such folder.
    """
    write_drawing(drawn_chart(chart, sheet or ChartSheet()), chart.title, path)


def chart_svg(chart: Chart, sheet: ChartSheet) -> bytes:
    """A chart as an SVG file."""
    return drawing_file(drawn_chart(chart, sheet), chart.title, ".svg")


def drawn_chart(chart: Chart, sheet: ChartSheet) -> Drawing:
    """The whole sheet as one drawing."""
    from reportlab.graphics.shapes import Drawing, Rect

    wide, high = (round(side * POINTS_PER_MM) for side in paper_size_mm(sheet.paper, lying=True))
    drawing = Drawing(wide, high)
    ground: dict[str, Any] = {"fillColor": grey(WHITE), "strokeColor": None}
    drawing.add(Rect(0, 0, wide, high, **ground))
    page = _Page(drawing, chart, _room(chart, Box(MARGIN, MARGIN, wide - MARGIN, high - MARGIN)))
    page.head(sheet, high - MARGIN)
    page.axes()
    for series in sorted(chart.series, key=lambda each_series: _LAYER[each_series.style]):
        page.draw(series)
    page.foot([each_series for each_series in chart.series if not page.tell(each_series)])
    for text in page.paper.texts:
        for shape in written(text):
            drawing.add(shape)
    return drawing


def _room(chart: Chart, inside: Box) -> Box:
    """Where the axes stand: what is left by the title, the ticks, the legend and the notes."""
    ticks = max((letters_width(tick.text, SMALL) for tick in chart.up.ticks), default=0.0)
    notes = len(list(_note_lines(chart, inside.width)))
    return Box(
        inside.left + ticks + 2 * TICK,
        inside.bottom + (notes + 4.5) * TEXT_SIZE * LINE_HEIGHT + AIR,
        inside.right - AIR,
        inside.top - TITLE_SIZE * LINE_HEIGHT - 2.4 * TEXT_SIZE * LINE_HEIGHT,
    )


class _Page:
    """The axes' field on a drawing, and the texts that have been placed so far."""

    def __init__(self, drawing: Drawing, chart: Chart, room: Box) -> None:
        self.drawing, self.chart, self.room = drawing, chart, room
        self.paper = Paper()
        self.lines: list[tuple[Point, Point]] = []

    def at(self, point: Point) -> Point:
        """A point of the chart on the sheet."""
        x, y = self.chart.across.share(point[0]), self.chart.up.share(point[1])
        return self.room.left + x * self.room.width, self.room.bottom + y * self.room.height

    def write(self, x: float, y: float, text: str, size: float, **look: Any) -> None:
        """Put a text where it belongs."""
        self.paper.texts.append(Text(x, y, printable(text), size, **look))

    def head(self, sheet: ChartSheet, top: float) -> None:
        """The title, whose crib it is, and what the upright axis counts."""
        room = self.room
        y = top - TITLE_SIZE / 2
        self.write(MARGIN, y, self.chart.title, self._title_size(), anchor="start", font=BOLD)
        self.write(room.right + AIR, y, sheet.crib, SMALL, anchor="end")
        title = self.chart.up.title
        self.write(MARGIN, room.top + 1.7 * TEXT_SIZE, title, TEXT_SIZE, anchor="start")

    def _title_size(self) -> float:
        width = letters_width(printable(self.chart.title), TITLE_SIZE, BOLD)
        return TITLE_SIZE * min(1.0, 0.75 * self.room.width / max(width, 1.0))

    def axes(self) -> None:
        """The frame, a thin line across at each tick, and what stands at the ticks."""
        room = self.room
        for tick in self.chart.up.ticks:
            _x, y = self.at((self.chart.across.low, tick.at))
            self._line([(room.left - TICK, y), (room.right, y)], _GRID)
            self.write(room.left - 1.5 * TICK, y, tick.text, SMALL, anchor="end")
        for tick in self.chart.across.ticks:
            x, _y = self.at((tick.at, self.chart.up.low))
            self._line([(x, room.bottom - TICK), (x, room.bottom)], _AXIS)
            self.write(x, room.bottom - TICK - SMALL, tick.text, SMALL)
        corner = (room.left, room.bottom)
        self._line([(room.left, room.top), corner, (room.right, room.bottom)], _AXIS)
        low = room.bottom - TICK - 2.4 * SMALL
        self.write(room.right, low, self.chart.across.title, TEXT_SIZE, anchor="end")

    def draw(self, series: Series) -> None:
        """The ink of a series, without its texts."""
        points = [self.at(point) for point in corners(series)]
        if series.style != "marks":
            self._line(points, PENS[series.style])
            self.lines += pairwise(points) if series.style != "limit" else ()
            return
        for x, y in points:
            self._mark(series.mark, x, y)
            self.paper.marks.append(Box(x, y, x, y).with_room(RADIUS))

    def _line(self, points: list[Point], pen: Pen) -> None:
        from reportlab.graphics.shapes import PolyLine

        if len(points) < 2:
            return
        flat = [number for point in points for number in point]
        look: dict[str, Any] = {"strokeDashArray": list(pen.dashes) or None, "strokeLineJoin": 1}
        ink = grey(pen.grey)
        self.drawing.add(PolyLine(flat, strokeColor=ink, strokeWidth=pen.width, **look))

    def _mark(self, mark: str, x: float, y: float) -> None:
        from reportlab.graphics.shapes import Circle

        look = {"fillColor": grey(WHITE), "strokeColor": grey(BLACK), "strokeWidth": 0.7}
        self.drawing.add(Circle(x, y, RADIUS, **look))
        for shape in written(Text(x, y, printable(mark), MARK_SIZE)):
            self.drawing.add(shape)

    def tell(self, series: Series) -> bool:
        """A limit's name on its line, and the text of each mark beside it, where there is room.

        False when a limit found no room for its name.
        """
        if series.style == "limit":
            right, y = self.at(series.points[-1])
            left, _y = self.at(series.points[0])
            above = y + 0.75 * SMALL
            ends: tuple[tuple[float, Anchor], ...] = ((right - 4, "end"), (left + 4, "start"))
            return self._place(Text(x, above, series.name, SMALL, anchor) for x, anchor in ends)
        for point, text in zip(series.points, series.texts, strict=False):
            self._place(_beside(*self.at(point), text))
        return True

    def _place(self, places: Iterator[Text]) -> bool:
        for place in places:
            text = replace(place, text=printable(place.text))
            box = text.box()
            inside = self.room.left <= box.left and box.right <= self.room.right + AIR
            inside = inside and self.room.bottom <= box.bottom
            if inside and self.paper.is_free(box) and self._is_clear(box):
                self.paper.texts.append(text)
                return True
        return False

    def _is_clear(self, box: Box) -> bool:
        return not any(box.is_crossed(*ends) for ends in self.lines)

    def foot(self, unnamed: list[Series]) -> None:
        """A sample of each series with its name, but for named limits; then the notes."""
        x, y = MARGIN, self.room.bottom - TICK - 4.4 * SMALL
        for series in self.chart.series:
            if series.style == "limit" and series not in unnamed:
                continue
            width = SAMPLE + 4 + WIDER * letters_width(printable(series.name), SMALL)
            if x + width > self.room.right:
                x, y = MARGIN, y - SMALL * 1.6
            self._sample(series, x, y)
            self.write(x + SAMPLE + 4, y, series.name, SMALL, anchor="start")
            x += width + 16
        for line in _note_lines(self.chart, self.room.right - MARGIN):
            y -= TEXT_SIZE * LINE_HEIGHT
            self.write(MARGIN, y - AIR / 2, line, TEXT_SIZE, anchor="start")

    def _sample(self, series: Series, x: float, y: float) -> None:
        if series.style == "marks":
            self._mark(series.mark, x + SAMPLE / 2, y)
        else:
            self._line([(x, y), (x + SAMPLE, y)], PENS[series.style])


def _beside(x: float, y: float, text: str) -> Iterator[Text]:
    """The places for a text beside its mark: to its right and left, then ever further down."""
    for step in range(8):
        for down in (-step, step):
            sides: tuple[tuple[float, Anchor], ...] = ((RADIUS + 3, "start"), (-RADIUS - 3, "end"))
            for away, anchor in sides:
                yield Text(x + away, y + down * SMALL * 1.2, text, SMALL, anchor)


def _note_lines(chart: Chart, width: float) -> Iterator[str]:
    lines = [
        f"{'- ' if number == 0 else '   '}{line}"
        for note in chart.notes
        for number, line in enumerate(wrapped(printable(note), TEXT_SIZE, ROOMY * width, FONT))
    ]
    yield from lines[:MOST_NOTES]
