"""The lines of a table as they lie in a file, whatever the file is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from crib.files.tables.table_shape import Table

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
    """The table whose heading is the first line with anything on it, or none."""
    for number, heading in lines:
        return [TableLines(table, file, number, heading, lines, notes, repeated)]
    return []
