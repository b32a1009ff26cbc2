"""A table that breaks no word: its columns narrow between words, and where that is too wide, stack.

rich alone folds what is longer than its column: a tag, a size or a number in two halves.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from rich.box import SIMPLE_HEAD
from rich.segment import Segment
from rich.table import Column, Table
from rich.text import Text

from crib.cli.standing_out import COLUMNS

if TYPE_CHECKING:
    from rich.console import Console, ConsoleOptions

_RULE = "─"
_GAPS = ((3, (0, 1)), (2, (0, 1, 0, 0)))
"""What rich counts for each column, and the padding for it; the last column has no divider."""


class ShopTable(Table):
    """A plain table; the columns named in ``right`` hold figures."""

    def __init__(self, columns: Sequence[str], right: Sequence[str], title: str) -> None:
        super().__init__(
            box=SIMPLE_HEAD,
            title=title or None,
            title_justify="left",
            title_style="none",
            header_style="none",
            pad_edge=False,
            show_edge=False,
            expand=False,
        )
        for column in columns:
            self.add_column(
                column,
                justify="right" if column in right else "left",
                overflow="fold",
                style="bold" if column in COLUMNS else "",
            )

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> Iterator[Any]:
        """The rows side by side where each word has its room, else each row as a stack of lines."""
        usual = list(self._drawn(console, options))
        text = "".join(part.text for part in usual)
        fits = _longest(text.split("\n")) <= options.max_width
        if fits and Counter(text.replace(_RULE, " ").split()) == self._all():
            yield from usual
            return
        least, widths = zip(*map(_bounds, self.columns), strict=True)
        for gap, padding in _GAPS:
            room = options.max_width - gap * len(widths) + 1
            if sum(least) <= room:
                self.padding = padding
                for one, width in zip(self.columns, narrowed(widths, least, room), strict=True):
                    one.width = width
                yield from self._drawn(console, options)
                return
        yield from self._stacked(options.max_width)

    def _drawn(self, console: Console, options: ConsoleOptions) -> Iterator[Segment]:
        for part in super().__rich_console__(console, options):
            yield from [part] if isinstance(part, Segment) else console.render(part, options)

    def _all(self) -> Counter[str]:
        """Every word of the table."""
        texts = [_words(cell) for one in self.columns for cell in (one.header, *one.cells)]
        return Counter(" ".join([*texts, _words(self.title or "")]).split())

    def _stacked(self, width: int) -> Iterator[Text]:
        """Each row as lines: what stands out in one, and under it all else by its column's name."""
        if self.title:
            yield Text(_words(self.title))
        for cells in zip(*(one.cells for one in self.columns), strict=True):
            heads, rest = [], []
            for column, cell in zip(self.columns, cells, strict=True):
                text, name = " ".join(_words(cell).split()), _words(column.header)
                if text and (column is self.columns[0] or column.style):
                    heads.append(text)
                elif text:
                    rest.append(f"{name}: {text}" if name else text)
            yield from _lines("  ".join(heads), "", width, "bold")
            yield from _lines("; ".join(rest), "  ", width, "")


def narrowed(widths: Sequence[int], least: Sequence[int], room: int) -> list[int]:
    """The widths of columns in the room for them: the widest give first, none below its least.

    The room must be at least all that is least.

    >>> narrowed([5, 40, 20], [5, 9, 12], 45)
    [5, 20, 20]
    """
    made = list(widths)
    for _ in range(sum(made) - room):
        widest = max(
            (index for index in range(len(made)) if made[index] > least[index]),
            key=lambda index: made[index],
        )
        made[widest] -= 1
    return made


def _bounds(column: Column) -> tuple[int, int]:
    """A column's least width, of its longest word (or row, where it may not wrap), and its most."""
    texts = [_words(cell) for cell in (column.header, *column.cells)]
    most = max(_longest(text.split("\n")) for text in texts)
    least = most if column.no_wrap else max(_longest(text.split()) for text in texts)
    least = max(least, column.min_width or 0)
    return least, max(least, min(most, column.max_width or most))


def _words(cell: Any) -> str:
    return cell.plain if isinstance(cell, Text) else str(cell)


def _longest(parts: Sequence[str]) -> int:
    return max((Text(part).cell_len for part in parts), default=0)


def _lines(text: str, indent: str, width: int, style: str) -> Iterator[Text]:
    from textwrap import wrap

    for line in wrap(
        *(text, width),
        initial_indent=indent,
        subsequent_indent=indent or "  ",
        break_on_hyphens=False,
        break_long_words=False,
    ):
        yield Text(line, style)
