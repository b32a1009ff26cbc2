"""The lines of a table as they lie in a file, whatever the file is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, islice

from crib.files.tables.table_shape import Table, plain_word

HEADING_WITHIN = 12
Line = tuple[int, list[str]]
"""A line's number in its file, and its cells."""


@dataclass(frozen=True, slots=True)
class TableLines:
    """One table of a source: where it lies, its heading, and its lines with their numbers.

    ``notes`` say what of the file was not read, or read otherwise than it looks; ``repeated`` are
    the cells, by line and place, in which only a merged cell's value stands.
    """

    table: Table
    file: str
    heading_line: int
    heading: list[str]
    lines: Iterator[Line]
    notes: tuple[str, ...] = ()
    repeated: frozenset[tuple[int, int]] = frozenset()


def under_heading(
    table: Table,
    file: str,
    lines: Iterator[Line],
    notes: tuple[str, ...] = (),
    repeated: frozenset[tuple[int, int]] = frozenset(),
) -> list[TableLines]:
    """The table, or none where nothing is on any line.

    Its heading is the first line that names two of its columns, or nothing but columns; titles
    above it are told. Where none of the first lines does, the very first is taken for it.
    """
    first = list(islice(lines, HEADING_WITHIN))
    if not first:
        return []
    at = heading_at(table, first)
    number, heading = first[at]
    told = [f"line {title} is above the heading, and not read" for title, _cells in first[:at]]
    below = chain(first[at + 1 :], lines)
    return [TableLines(table, file, number, heading, below, (*notes, *told), repeated)]


def heading_at(table: Table, lines: Sequence[Line]) -> int:
    """Which of the first lines is the heading; the very first where none is."""
    first = enumerate(lines[:HEADING_WITHIN])
    return next((at for at, (_number, cells) in first if _is_heading(table, cells)), 0)


def _is_heading(table: Table, cells: Sequence[str]) -> bool:
    words = table.words()
    filled = [plain_word(cell) for cell in cells if cell.strip()]
    known = {words[word].name for word in filled if word in words}
    return bool(known) and (len(known) >= 2 or len(known) == len(filled))
