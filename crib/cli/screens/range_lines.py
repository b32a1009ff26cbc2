"""Ranges of strokes side by side on one scale of letters, which needs no colour."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, exp, floor, log, log2

WIDE = 64
"""Columns of the scale; names stand before it."""


@dataclass(frozen=True, slots=True)
class StrokeRange:
    """A count and the range that it is sure to lie in, with the name of the line."""

    name: str
    at: float
    low: float
    high: float


def range_lines(ranges: Sequence[StrokeRange], mark: float, marked: str) -> Iterator[str]:
    """A line for each range, the mark under them, and counts from double to double."""
    least = min(mark, *(one.low for one in ranges))
    most = max(mark, *(one.high for one in ranges))
    scale = _Scale(least, most)
    widest = max(len(name) for name in (*(one.name for one in ranges), marked))
    for one in ranges:
        yield f"  {one.name:{widest}} {scale.range(one)}"
    yield f"  {marked:{widest}} {scale.put('^', mark)}"
    yield f"  {'':{widest}} {scale.counts()}".rstrip()


class _Scale:
    """Columns that go with the logarithm of a count."""

    def __init__(self, least: float, most: float) -> None:
        self.low = log(least)
        self.each = max(log(most) - self.low, 1e-9) / (WIDE - 1)

    def column(self, count: float) -> int:
        """The column of a count."""
        return round((log(count) - self.low) / self.each)

    def put(self, letter: str, count: float) -> str:
        """A letter alone in its column."""
        return " " * self.column(count) + letter

    def range(self, one: StrokeRange) -> str:
        """``|---o---|``."""
        low, at, high = map(self.column, (one.low, one.at, one.high))
        line = [" "] * low + ["-"] * (high - low + 1)
        line[low] = line[high] = "|"
        line[at] = "o"
        return "".join(line)

    def counts(self) -> str:
        """Round counts, each twice the one before, where there is room for them."""
        line, first = "", floor(log2(exp(self.low) / 1000))
        last = ceil(log2(exp(self.low + WIDE * self.each) / 1000))
        for power in range(first, last + 1):
            count = 1000 * 2.0**power
            column, text = self.column(count), f"{count:,.0f}"
            if len(line) < max(1, column) and 0 <= column <= WIDE - len(text):
                line = line.ljust(column) + text
        return line
