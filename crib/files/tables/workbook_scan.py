"""A workbook before it is opened: whether it is small enough, and what a stream of rows conceals.

A workbook is an archive of XML parts, and a few kilobytes of it may unpack to gigabytes. So every
part is walked once without keeping it: its elements are counted, and of each sheet what is hidden,
merged, or a formula without a result.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import BinaryIO
from xml.parsers import expat
from zipfile import BadZipFile, ZipFile

from crib.errors import BadInput

MOST_UNPACKED = 300_000_000
"""Bytes of all the parts of a workbook together."""
MOST_CELLS = 3_000_000
"""Cells of a sheet, those that are left out between others counted too."""
MOST_STRINGS = 1_000_000
MOST_OF_A_LINE = 100_000
MOST_OTHERS = 100_000
"""Elements of any other sort in a part: styles, rules, merged cells; each becomes an object."""

NOT_A_WORKBOOK = (
    BadZipFile,
    expat.ExpatError,
    zlib.error,
    EOFError,
    IndexError,
    KeyError,
    RuntimeError,
    ValueError,
)
_BLOCK = 1 << 16
_REFERENCE = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_OF_A_CELL = frozenset({"row", "c", "v", "f", "is", "t", "r"})


@dataclass(frozen=True, slots=True)
class Merged:
    """Cells that are one: its first and last line, and its first column, all from 1."""

    first: int
    last: int
    column: int


@dataclass(slots=True)
class SheetFacts:
    """What a stream of rows does not tell of a sheet; lines and columns from 1."""

    values: int = 0
    hidden_lines: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merged: list[Merged] = field(default_factory=list)
    not_worked_out: list[tuple[int, int]] = field(default_factory=list)
    """The line and column of every formula whose result is not in the file."""


@dataclass(frozen=True, slots=True)
class BookScan:
    """How many sheets a workbook names, and the facts of its parts by their paths."""

    sheets: int
    facts: dict[str, SheetFacts]


def scan(file: BinaryIO, name: str) -> BookScan:
    """Walk a workbook's parts and keep what a stream of rows does not tell.

    Raises:
        BadInput: when it would take too much room.
        any of ``NOT_A_WORKBOOK``: when it is none.
    """
    with ZipFile(file) as archive:
        parts = [one for one in archive.infolist() if one.filename.endswith((".xml", ".rels"))]
        size = sum(one.file_size for one in archive.infolist())
        if size > MOST_UNPACKED:
            raise _too_large(
                name, f"{size / 1e6:,.0f} MB unpacked, at most {MOST_UNPACKED / 1e6:g}"
            )
        walks = {one.filename: _walk(archive, one.filename, name) for one in parts}
    sheets = sum(walk.sheets for walk in walks.values())
    return BookScan(sheets, {path: walk.facts for path, walk in walks.items()})


def _walk(archive: ZipFile, path: str, name: str) -> _Walk:
    walk = _Walk(name, path)
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler = walk.begins
    parser.EndElementHandler = walk.ends
    parser.CharacterDataHandler = walk.text
    parser.StartDoctypeDeclHandler = walk.refuses_a_doctype
    with archive.open(path) as part:
        while block := part.read(_BLOCK):
            parser.Parse(block)
    parser.Parse(b"", True)
    return walk


class _Walk:
    """One part on its way past: counts, and facts where it is a sheet."""

    def __init__(self, name: str, path: str) -> None:
        self.facts = SheetFacts()
        self.sheets = 0
        self._name, self._path = name, path
        self._cells = self._of_a_line = self._strings = self._others = 0
        self._line = self._column = self._widest = 0
        self._root = self._kind = ""
        self._has_value = self._is_formula = self._in_value = False
        self._begin: dict[str, Callable[[dict[str, str]], None]] = {
            "row": self._row,
            "c": self._cell,
            "col": self._columns,
            "mergeCell": self._merge,
        }

    def refuses_a_doctype(self, *_told: object) -> None:
        """Say no to a part with a document type: none has one, and it may name other files."""
        message = f"{self._name}: {self._path} declares a document type"
        raise BadInput(message, way_out="save it anew as XLSX, or as CSV")

    def begins(self, tag: str, given: dict[str, str]) -> None:
        """An element begins."""
        plain = tag.rpartition(" ")[2]
        if plain == "v":
            self._in_value = True
        elif plain == "f":
            self._is_formula = True
        elif plain == "is":
            self._has_value = True
        elif begin := self._begin.get(plain):
            begin(given)
        self._count(plain)

    def _count(self, plain: str) -> None:
        self._root = self._root or plain
        if self._line and plain in _OF_A_CELL:
            self._of_a_line += 1
            if self._of_a_line > MOST_OF_A_LINE:
                raise _too_large(
                    self._name, f"line {self._line} has over {MOST_OF_A_LINE:,} pieces"
                )
        elif self._root == "sst":
            self._strings += 1
            if self._strings > MOST_STRINGS:
                raise _too_large(self._name, f"over {MOST_STRINGS:,} pieces of text")
        else:
            self.sheets += plain == "sheet" and self._root == "workbook"
            self._others += 1
            if self._others > MOST_OTHERS:
                raise _too_large(
                    self._name, f"over {MOST_OTHERS:,} styles or rules in {self._path}"
                )

    def _row(self, given: dict[str, str]) -> None:
        self._line = int(float(given.get("r", self._line + 1)))
        self._column = self._widest = self._of_a_line = 0
        if given.get("hidden") in ("1", "true"):
            self.facts.hidden_lines.add(self._line)
        self._add_cells(1)

    def _cell(self, given: dict[str, str]) -> None:
        written = _REFERENCE.fullmatch(given.get("r", ""))
        self._column = column_number(written[1]) if written else self._column + 1
        self._kind = given.get("t", "n")
        self._has_value = self._is_formula = False
        self._add_cells(max(1, self._column - self._widest))
        self._widest = max(self._widest, self._column)

    def _add_cells(self, count: int) -> None:
        self._cells += count
        if self._cells > MOST_CELLS:
            raise _too_large(self._name, f"over {MOST_CELLS:,} cells in one sheet")

    def _columns(self, given: dict[str, str]) -> None:
        if given.get("hidden") in ("1", "true"):
            first, last = int(given["min"]), min(int(given["max"]), 1 << 14)
            self.facts.hidden_columns.update(range(first, last + 1))

    def _merge(self, given: dict[str, str]) -> None:
        corners = [_REFERENCE.fullmatch(one) for one in given.get("ref", "").split(":")]
        if len(corners) == 2 and corners[0] and corners[1]:
            first, last = int(corners[0][2]), int(corners[1][2])
            self.facts.merged.append(Merged(first, last, column_number(corners[0][1])))

    def text(self, text: str) -> None:
        """Characters of an element; a value that has any is one."""
        if self._in_value and text and self._kind != "inlineStr":
            self._has_value = True

    def ends(self, tag: str) -> None:
        """An element ends."""
        plain = tag.rpartition(" ")[2]
        if plain == "v":
            self._in_value = False
        elif plain == "c" and self._line:
            self.facts.values += self._has_value
            if self._is_formula and not self._has_value:
                self.facts.not_worked_out.append((self._line, self._column))


def column_number(letters: str) -> int:
    """The number of a column from 1: C is 3."""
    number = 0
    for letter in letters:
        number = 26 * number + ord(letter) - 64
    return number


def column_letters(number: int) -> str:
    """The letters of a column: 3 is C."""
    letters = ""
    while number:
        number, place = divmod(number - 1, 26)
        letters = chr(65 + place) + letters
    return letters


def _too_large(name: str, why: str) -> BadInput:
    message = f"{name} is too large a workbook: {why}"
    return BadInput(message, way_out="save the sheet that is meant as CSV, and give that")
