"""A chart in plain letters that any screen has: for every command that shows one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from crib.files.paper.chart import Axis, Chart, Series, corners

WIDE, HIGH = 79, 16
LEAST_WIDE = 40
"""Below it the labels stand on each other."""
_ORDER = {"limit": 0, "bar": 1, "line": 2, "step": 2, "marks": 3}
_SAMPLES = {"line": "***", "step": "--|", "limit": ". .", "bar": "==="}
_BLANK, _DOT = " ", "."


def chart_lines(chart: Chart, wide: int = WIDE, high: int = HIGH) -> list[str]:
    """The chart in lines no wider than asked: title, field, axis, legend, notes."""
    margin = max(len(tick.text) for tick in chart.up.ticks) + 1
    field = _Field(chart, wide - margin - 1, high)
    for series in sorted(chart.series, key=lambda each_series: _ORDER[each_series.style]):
        field.draw(series)
    unnamed = [each_series for each_series in chart.series if not field.tell(each_series)]
    texts = {field.row(tick.at): tick.text for tick in chart.up.ticks}
    lines = [chart.title, chart.up.title]
    for row, cells in enumerate(field.cells):
        edge = "+" if row in texts else "|"
        lines.append(f"{texts.get(row, ''):>{margin - 1}} {edge}{''.join(cells)}")
    lines += _foot(field, chart.across, margin)
    lines += _wrapped(list(_legend(chart, unnamed)), wide)
    return [line.rstrip() for line in lines]


class _Field:
    """The cells between the axes; row 0 is the top."""

    def __init__(self, chart: Chart, columns: int, rows: int) -> None:
        self.across, self.up = chart.across, chart.up
        self.columns, self.rows = columns, rows
        self.cells = [[_BLANK] * columns for _row in range(rows)]

    def column(self, x: float) -> int:
        """The column of a value."""
        return round(self.across.share(x) * (self.columns - 1))

    def row(self, y: float) -> int:
        """The row of a value."""
        return self.rows - 1 - round(self.up.share(y) * (self.rows - 1))

    def draw(self, series: Series) -> None:
        """Put a series on the cells; what was there is covered."""
        cells = [(self.column(x), self.row(y)) for x, y in corners(series)]
        if series.style == "marks":
            for column, row in cells:
                self.cells[row][column] = series.mark
            return
        for start, end in pairwise(cells):
            for column, row in _way(start, end):
                self._ink(series.style, column, row, flat=start[1] == end[1])

    def _ink(self, style: str, column: int, row: int, *, flat: bool) -> None:
        if style == "limit" and column % 2:
            return
        letters = {"line": "*", "limit": _DOT, "bar": "="}
        self.cells[row][column] = letters.get(style, "-" if flat else "|")

    def tell(self, series: Series) -> bool:
        """Write a limit's name on it, and the text of each mark beside it, where there is room.

        False when a limit found no room for its name.
        """
        if series.style == "limit":
            row, text = self.row(series.points[-1][1]), f" {series.name} "
            starts = range(self.columns - len(text), -1, -1)
            return self._write(text, ((start, one) for one in _near(row) for start in starts))
        for (x, y), text in zip(series.points, series.texts, strict=False):
            self._write(f" {text} ", _beside(self.column(x), self.row(y), len(text)))
        return True

    def _write(self, text: str, places: Iterable[tuple[int, int]]) -> bool:
        """Put a text with its blanks at the first place where it covers nothing but a limit."""
        for start, row in places:
            cells = self.cells[row] if 0 <= row < self.rows else []
            end = start + len(text)
            if 0 <= start and end <= len(cells) and set(cells[start:end]) <= {_BLANK, _DOT}:
                cells[start:end] = text
                return True
        return not text.strip()


def _near(row: int) -> tuple[int, ...]:
    return row, row - 1, row + 1


def _beside(column: int, row: int, length: int) -> Iterator[tuple[int, int]]:
    """Where a text with a blank at both ends may stand by its mark: right, left, further down."""
    for down in (0, 1, -1, 2, -2):
        yield column + 1, row + down
        yield column - length - 2, row + down


def _way(start: tuple[int, int], end: tuple[int, int]) -> Iterator[tuple[int, int]]:
    """The cells from one to another, both among them."""
    (left, top), (right, bottom) = start, end
    steps = max(abs(right - left), abs(bottom - top), 1)
    for number in range(steps + 1):
        share = number / steps
        yield round(left + share * (right - left)), round(top + share * (bottom - top))


def _foot(field: _Field, across: Axis, margin: int) -> list[str]:
    """The lower axis with its ticks, their texts where they do not touch, and what it counts."""
    line, words = ["-"] * field.columns, [_BLANK] * (field.columns + margin + 1)
    free = 0
    for tick in across.ticks:
        column = field.column(tick.at)
        line[column] = "+"
        start = margin + 1 + column - len(tick.text) // 2
        start = min(start, len(words) - len(tick.text))
        if start >= free:
            words[start : start + len(tick.text)] = tick.text
            free = start + len(tick.text) + 2
    title = f"{across.title:>{field.columns + margin + 1}}"
    return [f"{_BLANK * margin}+{''.join(line)}", "".join(words), title]


def _legend(chart: Chart, unnamed: list[Series]) -> Iterator[str]:
    for series in chart.series:
        if series.style != "limit" or series in unnamed:
            yield f"{series.mark or _SAMPLES[series.style]} {series.name}"


def _wrapped(parts: list[str], wide: int) -> list[str]:
    """Parts side by side, a new line where the next does not fit."""
    lines = [""]
    for part in parts:
        longer = f"{lines[-1]}   {part}" if lines[-1] else part
        if len(longer) <= wide:
            lines[-1] = longer
        else:
            lines.append(part)
    return lines
