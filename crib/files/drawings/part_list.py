"""A list of what parts need, as CSV or XLSX: a phrase, how many, and the mark of the part.

Any phrase will do: what is cut into a part, and what is cut off, bent or saddled.

``quantity`` counts pieces, and ``each`` how often the feature is in one of them: 24 of a part with
4 holes are 96 holes. A list without ``each`` just counts features. Instead of a phrase a line may
have its size, thickness and material in columns, under the headings of shops here and in Germany.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from operator import itemgetter
from pathlib import Path
from typing import Any

from crib.acts import Said, act, fact, saying
from crib.errors import BadInput, BadRows, RowFault
from crib.features.common.ask import Ask
from crib.features.common.plate_phrase import Reading
from crib.files.common.decoded import code_page
from crib.files.common.reading_ledger import ReadingLedger
from crib.files.common.resting_collector import collector_resting
from crib.files.drawings.part_columns import (
    OF_A_PHRASE,
    PARTS,
    SIZED_PARTS,
    NoPhrase,
    phrase_of_row,
    understood,
)
from crib.files.drawings.parts import Part, PartFeature, PartsRead, ReadNote
from crib.files.tables.cells import Units
from crib.files.tables.list_tables import ListTable, tables_in
from crib.files.tables.rows import Rows, TableRow, read_rows
from crib.files.tables.sheets import csv_lines
from crib.files.tables.workbook_in import WORKBOOK_ENDINGS, BookPage, pages_of
from crib.files.tables.workbook_scan import column_letters
from crib.spellings import same_words

MOST_BYTES = 20_000_000
_MOST_QUANTITY = 1_000_000
_MOST_EACH = 10_000
_SHOWN_CHARACTERS = 60
_MOST_WORDS = 2
"""Of a material's name that has no figure: ``mild steel``."""
_NO_OPENING = ("cut", "saddle", "bend", "point")
"""What is done to a piece without cutting an opening into it; its size is its thickness."""
_said_in = itemgetter(*OF_A_PHRASE)
_WAY_OUT = "columns: phrase (or size, thickness, material), quantity, each, mark; nothing was read"


def read_part_list(
    path: Path,
    reading: Reading,
    *,
    quantity: int | None = None,
    named: Mapping[str, str] | None = None,
) -> PartsRead:
    """Read a list: each line is one feature, and its quantity how many of it.

    Args:
        path: A CSV file or a workbook, whose first sheet is read.
        reading: What a bare number and a phrase without a material mean.
        quantity: How many, where a line does not say it; of a list that says no quantity, one.
        named: What was said of headings: each, in small letters, with the name of its column.

    Raises:
        BadInput: when the file is no list, too large, or not there.
        BadRows: for lines that cannot be read, and quantities that are left empty, all of them.
    """
    _refuse(path)
    with collector_resting():
        return _read(path, reading, quantity, named or {})


def _read(
    path: Path, reading: Reading, quantity: int | None, named: Mapping[str, str]
) -> PartsRead:
    notes: list[ReadNote] = []
    ledger = ReadingLedger(path.name)
    tables = _tables(path, reading, notes, ledger, named)
    if not tables:
        message = f"{path.name} is empty"
        raise BadInput(message, way_out=_WAY_OUT)
    listed = _Listed(reading, quantity)
    parts = [part for table in tables for part in listed.parts(table, notes, ledger)]
    if not parts and not listed.faults and not notes:
        listed.faults.append(RowFault(tables[0].lines.file, 1, "", "no line under the heading"))
    if listed.faults:
        more = len(listed.faults) - 1
        message = f"{listed.faults[0]}{f' and {more} more' if more else ''}"
        raise BadRows(message, listed.faults, way_out=_WAY_OUT, is_told=not more)
    account = ledger.closed(sum(len(part.features) for part in parts))
    return PartsRead(tuple(parts), tuple(sorted(notes, key=lambda note: note.line)), (account,))


def _refuse(path: Path) -> None:
    if not path.is_file():
        message = f"there is no file at {path}"
        raise BadInput(message, way_out="give a list as CSV or XLSX")
    size = path.stat().st_size
    if size > MOST_BYTES:
        message = f"{path.name} has {size / 1e6:.1f} MB; a list has at most {MOST_BYTES / 1e6:g} MB"
        raise BadInput(message, way_out="give a list of fewer parts")


def _tables(
    path: Path,
    reading: Reading,
    notes: list[ReadNote],
    ledger: ReadingLedger,
    named: Mapping[str, str],
) -> list[ListTable]:
    page = _page(path, notes, ledger)
    name = f"{path.name} [{page.title}]" if page.title else path.name
    if named:
        _require_headings(named, page, name)
    for table in (PARTS, SIZED_PARTS):
        found = tables_in(table, name, page.lines, reading.system, page.repeated, named)
        if not found or "size" not in found[0].lines.heading:
            break
    return found


def _require_headings(named: Mapping[str, str], page: BookPage, name: str) -> None:
    written = {" ".join(cell.split()).casefold() for _n, cells in page.lines for cell in cells}
    for heading in named:
        if heading not in written:
            message = f"{name} has no column headed {heading!r}"
            raise BadInput(message, way_out="write the heading as it stands in the list")


def _page(path: Path, notes: list[ReadNote], ledger: ReadingLedger) -> BookPage:
    """The sheet that is read, what was done to read it told and entered."""
    if path.suffix.lower() not in WORKBOOK_ENDINGS:
        data = path.read_bytes()
        if b"\0" in data and data[:2] not in (b"\xff\xfe", b"\xfe\xff"):
            message = f"{path.name} is not text"
            raise BadInput(message, way_out="save the list as CSV or XLSX")
        told = () if code_page(data) != "cp1252" else ("not UTF-8: its letters are read as cp1252",)
        page = BookPage("", csv_lines(PARTS, path.name, data), told)
    else:
        pages = pages_of(path)
        for number, other in enumerate(pages[1:]):
            notes.append(ReadNote(1, f"only the first sheet is read, not {other.title!r}"))
            ledger.meet(("sheet", number), "sheet", 0, other.title[:_SHOWN_CHARACTERS])
            ledger.tell(("sheet", number), fact("read.sheet-not-read"))
        page = pages[0] if pages else BookPage("", [], ())
    notes += [ReadNote(0, note) for note in page.notes]
    _enter_page(page, ledger)
    return page


def _enter_page(page: BookPage, ledger: ReadingLedger) -> None:
    """What nobody sees of a workbook, in the ledger as told, and cells that are one as merged."""
    for line, column in sorted(page.repeated):
        ledger.meet((line, column), "cell", line, f"column {column_letters(column + 1)}")
        ledger.merge((line, column), fact("read.merged-cell"))
    for title in page.hidden_sheets:
        ledger.meet(("hidden", title), "sheet", 0, title[:_SHOWN_CHARACTERS])
        ledger.tell(("hidden", title), fact("read.hidden"))
    for line in page.hidden_lines:
        ledger.meet(("hidden", line), "row", line)
        ledger.tell(("hidden", line), fact("read.hidden"))
    for letters in page.hidden_columns:
        ledger.meet(("column", letters), "cell", 0, f"column {letters}")
        ledger.tell(("column", letters), fact("read.hidden"))


class _Listed:
    """The tables of a list on their way to parts: every different phrase is read once."""

    def __init__(self, reading: Reading, quantity: int | None) -> None:
        self._reading, self._quantity = reading, quantity
        self._read: dict[str, _Asked | BadInput] = {}
        self._counts: dict[tuple[int | None, int | None], list[tuple[str, Said]]] = {}
        self._phrases: dict[tuple[Any, ...], str | NoPhrase] = {}
        self._first: dict[str, int] = {}
        self._names: dict[str, str] = {}
        self.faults: list[RowFault] = []

    def parts(
        self, table: ListTable, notes: list[ReadNote], ledger: ReadingLedger
    ) -> Iterator[Part]:
        """The parts of a table, one a line."""
        line = table.lines.heading_line
        for number, cells in table.titles:
            text = " ".join(" ".join(cells).split())[:_SHOWN_CHARACTERS]
            notes.append(ReadNote(number, f"set aside above the heading: {text}"))
            ledger.meet(number, "row", number, text)
            ledger.tell(number, fact("read.title"))
        for at, heading in enumerate(table.unread):
            key = ("unread", line, at)
            ledger.meet(key, "cell", line, heading[:_SHOWN_CHARACTERS])
            ledger.tell(key, fact("read.column-unknown"))
        if text := understood(table):
            notes.append(ReadNote(line, text))
        self._first = {}
        rows = read_rows(table.lines, Units(self._reading.system))
        self._counts = {}  # what may be left empty depends on the columns of the table
        self.faults += rows.faults
        ledger.meet(line, "row", line)
        ledger.blank(line)
        for row in rows.rows:
            part = None if row.bad else self._part(row, rows)
            if part is not None:
                ledger.meet(row.line, "row", row.line, part.text_lines[0][:_SHOWN_CHARACTERS])
                ledger.count(row.line, features=len(part.features))
                yield part
        notes += self._materials_in_words()

    def _part(self, row: TableRow, rows: Rows) -> Part | None:
        """The part of a line; what cannot be read becomes a fault."""
        values = row.values
        counts = (values["quantity"], values["each"])
        if counts not in self._counts:
            self._counts[counts] = list(self._bad_counts(row, rows))
        faults = self._counts[counts].copy()
        phrase = self._phrase_of(values)
        if isinstance(phrase, NoPhrase):
            faults.append((phrase.column, phrase.text))
        elif not faults:
            read = self._read_once(phrase)
            if not isinstance(read, BadInput):
                self._first.setdefault(phrase, row.line)
                pieces = values["quantity"] or self._quantity or 1
                return read.part(str(values["mark"] or ""), pieces, values["each"] or 1)
            faults.append(("phrase" if values["phrase"] else "size", read.said("; ")))
        self.faults += [RowFault(rows.file, row.line, column, text) for column, text in faults]
        return None

    def _bad_counts(self, row: TableRow, rows: Rows) -> Iterator[tuple[str, Said]]:
        """Counts beyond their limits, and those left empty, which could be any."""
        for column, most in (("quantity", _MOST_QUANTITY), ("each", _MOST_EACH)):
            count = row.values[column]
            if count is not None and not 1 <= count <= most:
                yield column, f"{count} must be 1 to {most}"
            elif count is None and rows.has(column) and column == "each":
                yield column, "it is empty; write 1 where it is once in a piece"
            elif count is None and rows.has(column) and self._quantity is None:
                say = act("say.quantity")
                yield column, saying("it is empty; write how many, or say it of all with ", say)

    def _materials_in_words(self) -> Iterator[ReadNote]:
        """Each word without a figure that names a material, such as mild, and what it means."""
        told: set[str] = set()
        for phrase, line in self._first.items():
            read = self._read[phrase]
            own = read.material if isinstance(read, _Asked) else ""
            said = next((said for said in _spans(phrase) if own and self._named(said) == own), "")
            if said and said not in told and not same_words(said, own):
                told.add(said)
                yield ReadNote(line, f"material {said[:40]!r} is read as {own}")

    def _named(self, said: str) -> str:
        if said not in self._names:
            try:
                self._names[said] = self._reading.rules.material(said).name
            except BadInput:
                self._names[said] = ""
        return self._names[said]

    def _phrase_of(self, values: dict[str, Any]) -> str | NoPhrase:
        said = _said_in(values)
        found = self._phrases.get(said)
        if found is None:
            try:
                found = phrase_of_row(values)
            except NoPhrase as error:
                found = error
            self._phrases[said] = found
        return found

    def _read_once(self, phrase: str) -> _Asked | BadInput:
        found = self._read.get(phrase)
        if found is None:
            found = self._read[phrase] = _read_phrase(phrase, self._reading)
        return found


@dataclass(frozen=True, slots=True)
class _Asked:
    """A phrase as it was read: what every part that needs it has of it."""

    phrase: str
    feature: PartFeature
    material: str
    thickness_mm: float

    def part(self, mark: str, pieces: int, each: int) -> Part:
        """The part of a line."""
        return Part(
            mark=mark,
            quantity=pieces,
            profile="B",
            profile_text="",
            material=self.material,
            length_mm=0.0,
            height_mm=0.0,
            flange_width_mm=0.0,
            flange_thickness_mm=0.0,
            web_thickness_mm=self.thickness_mm,
            radius_mm=0.0,
            features=(self.feature,) * each,
            contours=(),
            text_lines=(self.phrase,),
        )


def _spans(phrase: str) -> Iterator[str]:
    """The words without a figure that stand together behind the size, the longest first."""
    words = phrase.split()
    for count in range(_MOST_WORDS, 0, -1):
        for first in range(1, len(words) - count + 1):
            said = " ".join(words[first : first + count])
            if said.replace(" ", "").isalpha():
                yield said


def _read_phrase(phrase: str, reading: Reading) -> _Asked | BadInput:
    from crib.features.registry import read_phrase

    try:
        ask = read_phrase(phrase, reading, typed=True)
        feature = _feature(ask)._replace(asked=phrase)
        material = "" if ask.plate.assumed else ask.plate.material.name
        return _Asked(phrase, feature, material, ask.plate.thickness_mm)
    except BadInput as error:
        return error


def _feature(ask: Ask) -> PartFeature:
    """The feature that a phrase asks for; where it is on the part, a list does not say."""
    feature, shape, size_mm, long_mm, depth_mm = _sizes(ask)
    return PartFeature(
        feature=feature,
        shape=shape,
        size_mm=size_mm,
        long_mm=long_mm,
        thickness_mm=ask.plate.thickness_mm,
        face="v",
        x_mm=0.0,
        y_mm=0.0,
        angle_deg=getattr(ask, "angle_deg", 0.0),
        depth_mm=depth_mm,
    )


def _sizes(ask: Any) -> tuple[str, str, float, float | None, float | None]:
    """Feature, shape, the two sizes and the depth; a bolt's hole is a hole or a slot."""
    if ask.feature in _NO_OPENING:
        return ask.feature, "special", ask.plate.thickness_mm, None, None
    if ask.feature == "vee":
        return "vee", "special", ask.opening_mm, None, ask.depth_mm
    if ask.feature in ("notch", "corner"):
        return ask.feature, "rectangle", ask.width_mm, None, ask.depth_mm
    outline = ask.outline
    long_mm = outline.length_mm if outline.shape in ("rectangle", "obround") else None
    feature = ask.feature
    if feature == "bolt":
        feature = "slot" if outline.shape == "obround" else "hole"
    return feature, outline.shape, outline.width_mm, long_mm, None
