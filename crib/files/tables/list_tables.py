"""Tables as a shop's own list has them: titles above a heading, several under each other.

A heading is a line of which most cells name columns; it may say the unit of its sizes. What stands
above the first, columns that nobody knows, and what each column is taken for, are told.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from crib.files.tables.columns import Column, Table, find_column
from crib.files.tables.dialect import plain_length
from crib.files.tables.table_lines import Line, TableLines
from crib.units import System

HEADING_WITHIN = 12
_DECIMAL_COMMA = re.compile(r"[0-9],[0-9]{1,2}(?![0-9,])")
_POINTED_GROUP = re.compile(r"\b[1-9][0-9]{0,2}\.[0-9]{3}(?![0-9.,])")
_UNIT = re.compile(r"(.*?)[\s(\[/,]*\b(mm|in|inch|inches|zoll)\b\.?[)\]]*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class ListTable:
    """One table of a list: its lines by the names of columns, and what was set aside for it."""

    lines: TableLines
    titles: tuple[Line, ...]
    unread: tuple[str, ...]
    meanings: tuple[tuple[str, str, str], ...]
    """Each heading that has another name here: as it is written, its column, its unit."""


@dataclass(frozen=True, slots=True)
class _Place:
    """A column of the list: where it stands, what it is, the unit that its heading says."""

    at: int
    heading: str
    column: Column | None
    unit: System | None


def tables_in(
    table: Table,
    file: str,
    lines: Sequence[Line],
    system: System,
    repeated: frozenset[tuple[int, int]] = frozenset(),
    named: Mapping[str, str] | None = None,
) -> list[ListTable]:
    """Every table of a list; none where it has no line with anything on it.

    Args:
        table: What the columns may be.
        file: What to call the list.
        lines: Its lines.
        system: The crib's own unit.
        repeated: The cells in which only a merged cell's value stands.
        named: What was said of headings: each, in small letters, with the name of its column.
    """
    if not lines:
        return []
    said = named or {}
    heads = [at for at, (_n, cells) in enumerate(lines) if _is_heading(table, cells, said)]
    heads = [at for at in heads if at == heads[0] or _known(table, lines[at][1], said) >= 2]
    first = heads[0] if heads and heads[0] < HEADING_WITHIN else 0
    starts = [first, *(at for at in heads if at > first)]
    ends = [*starts[1:], len(lines)]
    titles = tuple(lines[:first])
    found = []
    for start, end in zip(starts, ends, strict=True):
        block = _Block(table, file, system, lines[start], repeated, said)
        last = end
        while end < len(lines) and last > start + 1 and _filled(lines[last - 1][1]) == 1:
            last -= 1
        found.append(block.read(lines[start + 1 : last], titles))
        titles = tuple(lines[last:end])
    return found


def _filled(cells: Sequence[str]) -> int:
    return sum(bool(cell.strip()) for cell in cells)


def _known(table: Table, cells: Sequence[str], said: Mapping[str, str]) -> int:
    return len({c.name for cell in cells if (c := _column(table, cell, said)[0])})


def _is_heading(table: Table, cells: Sequence[str], said: Mapping[str, str]) -> bool:
    """Whether half its cells at least are headings, two of them or all, and none is a figure."""
    for cell in cells:
        if cell[:1].isdigit():
            return False
    known, filled = _known(table, cells, said), _filled(cells)
    return 2 * known >= filled and (known >= 2 or known == filled)


def _column(
    table: Table, heading: str, said: Mapping[str, str]
) -> tuple[Column | None, System | None]:
    plain = " ".join(heading.split())
    told = said.get(plain.casefold())
    if told is not None:
        return find_column(table, told), _unit_of(plain)
    column = find_column(table, plain)
    if column is None and (written := _UNIT.fullmatch(plain)):
        column = find_column(table, written[1])
    return column, _unit_of(plain)


def _unit_of(heading: str) -> System | None:
    written = _UNIT.fullmatch(heading)
    if not written:
        return None
    return "mm" if written[2].casefold() == "mm" else "in"


class _Block:
    """One heading and the lines below it."""

    def __init__(
        self,
        table: Table,
        file: str,
        system: System,
        heading: Line,
        repeated: frozenset[tuple[int, int]],
        said: Mapping[str, str],
    ) -> None:
        self._table, self._file, self._system = table, file, system
        self._line, cells = heading
        self._width = len(cells)
        self._places = [
            _Place(at, " ".join(cell.split()), *_column(table, cell, said))
            for at, cell in enumerate(cells)
        ]
        # A list that says how many can have columns that are nothing to us.
        passes = any(one.column and one.column.reader == "count" for one in self._places)
        self._kept = [one for one in self._places if one.column or (one.heading and not passes)]
        self._left = [one for one in self._places if one not in self._kept and one.heading]
        headed = {one.at for one in self._places if one.heading}
        self._unheaded = [at for at in range(self._width) if at not in headed]
        self._taken = [(one.at, one.unit, self._is_size(one)) for one in self._kept]
        self._repeated = repeated
        self._has_commas = False
        self._sizes: dict[tuple[str, System | None], str] = {}

    def read(self, lines: Sequence[Line], titles: tuple[Line, ...]) -> ListTable:
        """The lines with the columns that are known."""
        heading = [one.column.name if one.column else one.heading for one in self._kept]
        self._has_commas = any(map(self._is_with_comma, lines))
        places = {one.at: new for new, one in enumerate(self._kept)}
        repeated = {(line, places[at]) for line, at in self._repeated if at in places}
        written = TableLines(
            self._table,
            self._file,
            self._line,
            heading,
            iter([(number, self._cells(cells)) for number, cells in lines]),
            (),
            frozenset(repeated),
        )
        return ListTable(
            written, titles, tuple(one.heading for one in self._left), tuple(self._meanings())
        )

    def _cells(self, cells: list[str]) -> list[str]:
        if len(cells) < self._width:
            cells = [*cells, *[""] * (self._width - len(cells))]
        taken = [
            self._size(cells[at], unit) if is_size else cells[at]
            for at, unit, is_size in self._taken
        ]
        # What stands under no heading comes behind, where it is too much.
        taken += [cells[at] for at in self._unheaded if cells[at].strip()]
        taken += filter(str.strip, cells[self._width :])
        return taken

    def _is_with_comma(self, line: Line) -> bool:
        cells = line[1]
        sizes = (cells[at] for at, _unit, is_size in self._taken if is_size and at < len(cells))
        return any("," in cell and _DECIMAL_COMMA.search(cell) for cell in sizes)

    def _is_size(self, place: _Place) -> bool:
        return place.column is not None and place.column.name in self._table.sizes

    def _size(self, cell: str, unit: System | None) -> str:
        found = self._sizes.get((cell, unit))
        if found is None:
            # Beside 20,5 a 1.200 is in doubt as a 1,200 is beside 20.5, and is asked back as that.
            doubtful = self._has_commas and _POINTED_GROUP.search(cell)
            said = cell.replace(".", ",") if doubtful else cell
            plain = plain_length(said, unit, self._system) if cell.strip() else cell
            found = self._sizes[cell, unit] = plain
        return found

    def _meanings(self) -> Iterator[tuple[str, str, str]]:
        for one in self._kept:
            if one.column and (one.heading.casefold() != one.column.name or one.unit):
                unit = (one.unit or "") if self._is_size(one) else ""
                yield one.heading, one.column.name, unit
