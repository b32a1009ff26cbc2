"""A list of what parts need, as CSV or XLSX: a phrase, how many, and the mark of the part.

Any phrase will do: what is cut into a part, and what is cut off, bent or saddled.

``quantity`` counts pieces, and ``each`` how often the feature is in one of them: 24 of a part with
4 holes are 96 holes. A list without ``each`` just counts features.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from crib.acts import fact
from crib.errors import BadInput, BadRows, RowFault
from crib.features.common.ask import Ask
from crib.features.common.plate_phrase import Reading
from crib.files.common.reading_ledger import ReadingLedger
from crib.files.drawings.parts import Part, PartFeature, PartsRead, ReadNote
from crib.files.tables.cells import Units
from crib.files.tables.rows import Rows, TableRow, read_rows
from crib.files.tables.sheets import read_csv
from crib.files.tables.table_lines import TableLines, under_heading
from crib.files.tables.table_shape import Column, Table
from crib.files.tables.workbook_in import WORKBOOK_ENDINGS, BookPage, pages_of
from crib.files.tables.workbook_scan import column_letters

MOST_BYTES = 20_000_000
_MOST_QUANTITY = 1_000_000
_MOST_EACH = 10_000
_SHOWN_CHARACTERS = 60
_TABLE = Table(
    name="parts",
    record="",
    help="What parts need, one feature a line.",
    figures_of="mark",
    columns=(
        Column(
            "phrase",
            "phrase",
            "the feature, as one asks for it",
            "hole 13/16 thru 3/8 A36",
            needed=True,
            aliases=("feature", "ask", "what"),
        ),
        Column(
            "quantity",
            "quantity",
            "how many of it",
            "24",
            "count",
            aliases=("qty", "count", "number", "pieces"),
        ),
        Column(
            "each",
            "each",
            "how often it is in each piece",
            "4",
            "count",
            aliases=("per piece", "per part", "in each"),
        ),
        Column("mark", "mark", "the part", "P-7", aliases=("part", "piece mark", "part mark")),
    ),
)
_NO_OPENING = ("cut", "saddle", "bend", "point")
"""What is done to a piece without cutting an opening into it; its size is its thickness."""
_WAY_OUT = "columns: phrase, quantity, each, mark; nothing was read"


def read_part_list(path: Path, reading: Reading, *, quantity: int = 1) -> PartsRead:
    """Read a list: each line is one feature, and its quantity how many of it.

    Args:
        path: A CSV file or a workbook, whose first sheet is read.
        reading: What a bare number and a phrase without a material mean.
        quantity: How many, where a line does not say it.

    Raises:
        BadInput: when the file is no list, too large, or not there.
        BadRows: for lines that cannot be read, all of them listed.
    """
    _refuse(path)
    notes: list[ReadNote] = []
    ledger = ReadingLedger(path.name)
    sheets = _sheets(path, notes, ledger)
    if not sheets:
        message = f"{path.name} is empty"
        raise BadInput(message, way_out=_WAY_OUT)
    rows = read_rows(sheets[0], Units(reading.system))
    parts: list[Part] = []
    if not rows.faults or rows.rows:
        parts = _parts(rows, reading, quantity)
    if not parts and not rows.faults and not notes:
        rows.faults.append(RowFault(rows.file, 1, "", "no line under the heading"))
    if rows.faults:
        more = len(rows.faults) - 1
        message = f"{rows.faults[0]}{f' and {more} more' if more else ''}"
        raise BadRows(message, rows.faults, way_out=_WAY_OUT, is_told=not more)
    _enter(sheets[0], rows, ledger)
    account = ledger.closed(sum(len(part.features) for part in parts))
    return PartsRead(tuple(parts), tuple(sorted(notes, key=lambda note: note.line)), (account,))


def _enter(sheet: TableLines, rows: Rows, ledger: ReadingLedger) -> None:
    """Each row that was read, in the ledger by its line."""
    ledger.meet(sheet.heading_line, "row", sheet.heading_line)
    ledger.blank(sheet.heading_line)
    for row in rows.rows:
        ledger.meet(row.line, "row", row.line, str(row.values["phrase"])[:_SHOWN_CHARACTERS])
        ledger.count(row.line, features=row.values["each"] or 1)


def _refuse(path: Path) -> None:
    if not path.is_file():
        message = f"there is no file at {path}"
        raise BadInput(message, way_out="give a list as CSV or XLSX")
    size = path.stat().st_size
    if size > MOST_BYTES:
        message = f"{path.name} has {size / 1e6:.1f} MB; a list has at most {MOST_BYTES / 1e6:g} MB"
        raise BadInput(message, way_out="give a list of fewer parts")


def _sheets(path: Path, notes: list[ReadNote], ledger: ReadingLedger) -> list[TableLines]:
    if path.suffix.lower() not in WORKBOOK_ENDINGS:
        data = path.read_bytes()
        if b"\0" in data and data[:2] not in (b"\xff\xfe", b"\xfe\xff"):
            message = f"{path.name} is not text"
            raise BadInput(message, way_out="save the list as CSV or XLSX")
        return read_csv(_TABLE, path.name, data)
    pages = pages_of(path)
    notes += [ReadNote(0, note) for page in pages[:1] for note in page.notes]
    for number, page in enumerate(pages[1:]):
        notes.append(ReadNote(0, f"only the first sheet is read, not {page.title!r}"))
        ledger.meet(("sheet", number), "sheet", 0, page.title[:_SHOWN_CHARACTERS])
        ledger.tell(("sheet", number), fact("read.sheet-not-read"))
    for page in pages[:1]:
        _enter_page(page, ledger)
    return [
        sheet
        for page in pages[:1]
        for sheet in under_heading(
            _TABLE, f"{path.name} [{page.title}]", iter(page.lines), (), page.repeated
        )
    ]


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


def _parts(rows: Rows, reading: Reading, quantity: int) -> list[Part]:
    parts = []
    for row in rows.rows:
        ask = None if row.bad else _ask(row, rows, reading)
        if ask is not None:
            wanted = row.values["quantity"]
            parts.append(_part(row, ask, quantity if wanted is None else wanted))
    return parts


def _ask(row: TableRow, rows: Rows, reading: Reading) -> Ask | None:
    """The feature of a line; what cannot be read becomes a fault."""
    from crib.features.registry import read_phrase

    for column, most in (("quantity", _MOST_QUANTITY), ("each", _MOST_EACH)):
        count = row.values[column]
        if count is not None and not 1 <= count <= most:
            text = f"{count} must be 1 to {most}"
            rows.faults.append(RowFault(rows.file, row.line, column, text))
            return None
    try:
        return read_phrase(str(row.values["phrase"]), reading, typed=True)
    except BadInput as error:
        rows.faults.append(RowFault(rows.file, row.line, "phrase", error.said("; ")))
        return None


def _part(row: TableRow, ask: Ask, quantity: int) -> Part:
    plate = ask.plate
    phrase = " ".join(str(row.values["phrase"]).split())
    return Part(
        mark=str(row.values["mark"] or ""),
        quantity=quantity,
        profile="B",
        profile_text="",
        material="" if plate.assumed else plate.material.name,
        length_mm=0.0,
        height_mm=0.0,
        flange_width_mm=0.0,
        flange_thickness_mm=0.0,
        web_thickness_mm=plate.thickness_mm,
        radius_mm=0.0,
        features=(replace(_feature(ask), asked=phrase),) * (row.values["each"] or 1),
        contours=(),
        text_lines=(str(row.values["phrase"]),),
    )


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
