"""A stroke sheet as it comes from a spreadsheet: CSV or XLSX to plain lines, and a fingerprint.

Tolerant of what does not matter: a byte-order mark, commas, semicolons or tabs, line ends, blank
lines, capitals in the heading, titles above it. What cannot be read is listed with its line number.
A sheet has the same fingerprint as CSV and as XLSX.
"""

from __future__ import annotations

import csv
import hashlib
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from io import BytesIO, StringIO
from itertools import chain, islice
from operator import itemgetter
from typing import NamedTuple

from crib.errors import BadInput, BadRows, RowFault
from crib.files.common.decoded import code_page
from crib.files.tables.dialect import plain_count, plain_date
from crib.files.tables.workbook_in import ARCHIVE, BookPage, pages_in

COLUMNS: dict[str, tuple[str, ...]] = {
    "tag": ("tag", "punch", "piece", "tool", "blade", "werkzeug", "stempel"),
    "count": (
        "count",
        "strokes",
        "qty",
        "quantity",
        "hits",
        "holes",
        "anzahl",
        "hübe",
        "stück",
        "menge",
    ),
    "thru": ("thru", "through", "thickness", "thick", "plate", "t", "thk", "dicke", "blechdicke"),
    "material": ("material", "grade", "steel", "mat", "werkstoff", "güte"),
    "with": ("with", "die", "die tag", "over", "matrize"),
    "job": ("job", "order", "work order", "auftrag"),
    "by": ("by", "who", "person", "operator"),
    "on": ("on", "date", "day", "shift date", "datum"),
    "note": ("note", "notes", "remark", "remarks", "comment", "bemerkung"),
    "hit": ("hit", "kind of hit"),
    "dry": ("dry", "oil", "lubrication"),
    "about": ("about", "estimate", "estimated"),
    "line": ("line", "code", "line code", "sheet line"),
}
NEEDED = ("tag", "count")
_CODE = re.compile(r"[0-9]+-[0-9]+")
_NAMES = {spelled: column for column, names in COLUMNS.items() for spelled in names}
_ORDER = tuple(COLUMNS)
_DELIMITERS = (";", "\t", ",", "|")
_SEPARATOR_LINE = "sep="  # some spreadsheets write the delimiter above the heading
_HEADING_WITHIN = 4000
_TITLES_WITHIN = 12
_MOST_BYTES = 200_000_000


class SheetRow(NamedTuple):
    """One line of a sheet as it was written, outer blanks taken off; empty where nothing stood."""

    tag: str
    strokes: str
    thru: str
    material: str
    die_tag: str
    job: str
    by: str
    on: str
    note: str
    hit: str
    dry: str
    about: str
    line: str = ""


@dataclass(frozen=True, slots=True)
class StrokeSheet:
    """The lines of a sheet with their numbers in the file, and a digest of what they say."""

    name: str
    rows: tuple[tuple[int, SheetRow], ...]
    digest: str
    not_read: tuple[str, ...]
    notes: tuple[str, ...] = ()
    """What of the file was set aside, or read otherwise than it looks."""


def read_stroke_sheet(data: bytes, name: str) -> StrokeSheet:
    """Read a sheet.

    Raises:
        BadRows: when it is no such sheet, or some lines do not fit the heading; all are listed.
    """
    numbered, repeated, notes = _lines(data, name)
    above = list(islice(numbered, _TITLES_WITHIN))
    at = next((at for at, (_n, cells) in enumerate(above) if _is_heading(cells)), 0)
    line, heading = above[at] if above else (1, [])
    notes += [f"line {number} is above the heading" for number, _cells in above[:at]]
    places, not_read = _places(heading, name, line)
    below = chain(above[at + 1 :], numbered)
    rows, faults = _rows(below, places, len(heading), name)
    faults += _shared(rows, places, repeated, name)
    if faults:
        raise _bad(name, faults)
    if not rows:
        raise _bad(name, [RowFault(name, line, "", "no line under the heading")])
    told = digest(row for _line, row in rows)
    return StrokeSheet(name, tuple(rows), told, not_read, tuple(notes))


_Numbered = Iterator[tuple[int, list[str]]]


def _lines(data: bytes, name: str) -> tuple[_Numbered, frozenset[tuple[int, int]], list[str]]:
    """The lines, the cells in which only a merged cell's value stands, and what is to be told."""
    if data.startswith(ARCHIVE):
        pages = pages_in(BytesIO(data), name)
        others = [f"only the first sheet is read, not {page.title!r}" for page in pages[1:]]
        page = pages[0] if pages else BookPage("", [], ())
        return iter(page.lines), page.repeated, [*page.notes, *others]
    text = _text(data, name)
    reader = csv.reader(StringIO(text, newline=""), delimiter=_delimiter(text))
    numbered = _numbered(reader, name)
    first = next(numbered, None)
    if first and not first[1][0].casefold().startswith(_SEPARATOR_LINE):
        numbered = chain([first], numbered)
    told = ["its letters are read as cp1252"] if code_page(data) == "cp1252" else []
    return numbered, frozenset(), told


def _is_heading(cells: list[str]) -> bool:
    columns = {_NAMES.get(_plain(cell)) for cell in cells}
    return "count" in columns and bool(columns & {"tag", "line"})


def _shared(
    rows: list[tuple[int, SheetRow]],
    places: list[int],
    repeated: frozenset[tuple[int, int]],
    name: str,
) -> list[RowFault]:
    """The counts that a merged cell gives to several lines, which may be one for all of them."""
    at = places[_ORDER.index("count")]
    text = "one merged cell holds for several lines; write the strokes into each"
    return [RowFault(name, line, "count", text) for line, _row in rows if (line, at) in repeated]


def digest(rows: Iterable[SheetRow]) -> str:
    """The fingerprint of what lines say, whatever the file looked like."""
    found = hashlib.sha256()
    for row in rows:
        # A line without a code keeps the fingerprint that it had before there were codes.
        said = row if row.line else row[:-1]
        found.update(("\x1f".join(said).upper() + "\x1e").encode("utf-8", "surrogatepass"))
    return found.hexdigest()


def _text(data: bytes, name: str) -> str:
    if len(data) > _MOST_BYTES:
        raise _bad(name, [RowFault(name, 1, "", f"{len(data)} bytes, at most {_MOST_BYTES}")])
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    if b"\0" in data:
        raise _bad(name, [RowFault(name, 1, "", "it is not text: save it as CSV")])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _delimiter(text: str) -> str:
    """The sign between columns: the one that makes the most known columns of the heading."""
    lines = [line for line in text[:_HEADING_WITHIN].splitlines() if line.strip()][:_TITLES_WITHIN]

    def known(sign: str) -> int:
        return max((_known(line.split(sign)) for line in lines), default=0)

    return max(_DELIMITERS, key=known)


def _known(cells: list[str]) -> int:
    return sum(_plain(cell) in _NAMES for cell in cells)


def _plain(cell: str) -> str:
    return " ".join(re.sub(r"[\"'_.#:-]+", " ", cell).split()).casefold()


def _numbered(reader: Iterable[list[str]], name: str) -> Iterator[tuple[int, list[str]]]:
    """Rows with something in them, and the number of the line where each begins."""
    before = 0
    try:
        for cells in reader:
            line, before = before + 1, reader.line_num  # type: ignore[attr-defined]
            if any(map(str.strip, cells)):
                yield line, cells
    except csv.Error as error:
        raise _bad(name, [RowFault(name, before + 1, "", f"not to be read: {error}")]) from error


def _places(heading: list[str], name: str, line: int) -> tuple[list[int], tuple[str, ...]]:
    """Where each column stands (-1 where it is not), and the headings that mean nothing to us."""
    found: dict[str, int] = {}
    faults, not_read = [], []
    for place, cell in enumerate(heading):
        column = _NAMES.get(_plain(cell))
        if column is None:
            not_read += [cell.strip()] if cell.strip() else []
        elif column in found:
            faults.append(RowFault(name, line, cell.strip(), f"a second column for {column}"))
        else:
            found[column] = place
    missing = [column for column in NEEDED if column not in found]
    if "line" in found and "tag" in missing:
        missing.remove("tag")
    if missing:
        known = ", ".join(cell.strip()[:20] for cell in heading[:12]) or "nothing"
        text = f"no column {' and no column '.join(missing)}; found: {known}"
        faults.append(RowFault(name, line, "", text))
    if faults:
        raise _bad(name, faults)
    return [found.get(column, -1) for column in _ORDER], tuple(not_read)


def _rows(
    numbered: Iterable[tuple[int, list[str]]], places: list[int], width: int, name: str
) -> tuple[list[tuple[int, SheetRow]], list[RowFault]]:
    rows: list[tuple[int, SheetRow]] = []
    faults: list[RowFault] = []
    chosen = itemgetter(*places)
    for line, cells in numbered:
        if len(cells) > width and any(map(str.strip, cells[width:])):
            text = f"{len(cells)} columns, the heading has {width}"
            faults.append(RowFault(name, line, "", text))
            continue
        tidy = [cell.strip() for cell in cells[:width]]
        # The last cell, always empty, stands for every column that is not there (place -1).
        tidy += [""] * (width + 1 - len(tidy))
        row = _without_row_number(SheetRow._make(chosen(tidy)))
        try:
            rows.append((line, _in_plain_figures(row)))
        except BadInput as error:
            faults.append(RowFault(name, line, "count", error.said("; ")))
    return rows, faults


def _without_row_number(row: SheetRow) -> SheetRow:
    """The row; a plain number beside a tag only counts the lines of the sheet."""
    if row.line and row.tag and not _CODE.fullmatch(row.line):
        return row._replace(line="")
    return row


def _in_plain_figures(row: SheetRow) -> SheetRow:
    """The row with its count and day as they are written here."""
    if row.strokes.isdecimal() and "." not in row.on:
        return row
    return row._replace(strokes=plain_count(row.strokes), on=plain_date(row.on))


def _bad(name: str, faults: list[RowFault]) -> BadRows:
    message = f"{name}: {len(faults)} fault{'s' if len(faults) > 1 else ''}, nothing was taken"
    return BadRows(
        message, faults, way_out="columns: tag, count, thru, material, with, job, by, on, note"
    )
