"""How a table that goes in and out is declared: its columns, and how each cell is read."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from crib.spellings import plain_spelling

Reader = Literal[
    "text",
    "name",
    "tag",
    "length",
    "microns",
    "force",
    "stress",
    "percent",
    "count",
    "change",
    "wear",
    "money",
    "date",
    "moment",
    "yes/no",
    "choice",
    "angle",
    "angles",
    "number",
    "level",
    "reference",
    "references",
]
"""``wear`` is weighted strokes kept in thousandths, ``microns`` a length kept in micrometres."""

MEANINGS: dict[Reader, str] = {
    "text": "any words",
    "name": "a name",
    "tag": "the tag stamped on the piece",
    "length": "a size",
    "microns": "a size",
    "force": "a force",
    "stress": "a stress",
    "percent": "a share",
    "count": "a whole number",
    "change": "a whole number, below 0 for what went back",
    "wear": "a number with at most three decimals",
    "money": "an amount",
    "date": "a date as YYYY-MM-DD",
    "moment": "a moment as YYYY-MM-DDTHH:MM:SSZ",
    "yes/no": "yes or no",
    "choice": "one of the words listed",
    "angle": "degrees",
    "angles": "degrees",
    "number": "a number",
    "level": "a level of wear, or nothing",
    "reference": "the name of a row of another table",
    "references": "names of rows of another table",
}
"""What a cell of a reader holds."""

HOW_WRITTEN: dict[Reader, str] = {
    "length": "13/16, 0.8125 in or 20.6 mm; a bare number is in the crib's unit",
    "microns": "0.010 in or 0.25 mm; a bare number is in the crib's unit",
    "force": "50 US tons or 445 kN, always with its unit",
    "stress": "240 ksi or 1655 MPa",
    "percent": "12 % or 0.12",
    "money": "12.50",
    "angle": "45",
    "angles": "0 or 0 90",
    "references": "A; B",
}
"""What it may look like, and what a bare number is."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the record's column it fills, and how a cell of it is read."""

    name: str
    field: str
    help: str
    example: str = ""
    reader: Reader = "text"
    needed: bool = False
    aliases: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    spellings: tuple[tuple[str, str], ...] = ()
    """Other ways to write a choice, each with the choice it means."""
    as_written: bool = False
    """Whether a choice is stored as it is written, its blanks not made underlines."""
    of: str = ""
    """For a reference: the table it names."""
    blank: Any = None
    """What an empty cell stands for."""
    zero: bool = False
    """Whether a length may be 0."""
    whole_only: bool = False
    """Whether it counts only in a full export; otherwise its cells are left out."""
    most: float | None = None
    """The greatest number that makes sense, where the reader's own limit is too wide."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table: its name as a file, the record it fills, its columns, and what tells rows apart.

    Without a ``key`` rows have no name: equal ones are counted, the same number is already there.
    """

    name: str
    record: str
    help: str
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    changeable: bool = False
    """Whether a row in the crib may be changed when an update is asked for."""
    only_whole: bool = False
    """Whether it is taken in only as part of a full export, into an empty crib."""
    figures_of: str = ""
    """The column that several lines may share with their figures, in merged cells."""
    sizes: tuple[str, ...] = ()
    """The columns of sizes in a shop's own list, whose headings may say a unit."""

    def column(self, name: str) -> Column:
        """The column with exactly this name."""
        return self.words()[plain_word(name)]

    def words(self) -> dict[str, Column]:
        """Every accepted heading in its plain form, with the column it means."""
        return _words(self)


def spoken(choices: Iterable[str]) -> tuple[str, ...]:
    """Words of the crib as people write them: with blanks for their underlines."""
    return tuple(word.replace("_", " ") for word in choices)


def plain_word(text: str) -> str:
    """A heading without what does not matter: capitals, blanks, underscores, hyphens, dots.

    British and American spellings are one.
    """
    return plain_spelling(re.sub(r"[\s_.\-]+", "", text))


@lru_cache(maxsize=64)
def _words(table: Table) -> dict[str, Column]:
    return {
        plain_word(w): column for column in table.columns for w in (column.name, *column.aliases)
    }
