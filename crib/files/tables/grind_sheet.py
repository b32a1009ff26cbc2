"""A list of what came back from the grinder: one line a piece."""

from __future__ import annotations

from io import BytesIO

from crib.errors import BadInput, BadRows
from crib.files.tables.cells import Units
from crib.files.tables.rows import TableRow, read_rows
from crib.files.tables.sheets import read_csv
from crib.files.tables.table_lines import TableLines, under_heading
from crib.files.tables.table_shape import Column, Table
from crib.files.tables.workbook_in import ARCHIVE, pages_in

GRINDS = Table(
    "grinds",
    "grind",
    "What was ground, one line a piece.",
    columns=(
        Column("tag", "", "The piece.", "P-0137", needed=True, aliases=("tool", "piece", "tool #")),
        Column(
            "length",
            "",
            "Its length or height after the grind.",
            "2.685 in",
            blank="",
            aliases=("length after", "height", "length now"),
        ),
        Column("off", "", "What was taken off.", "0.3 mm", blank="", aliases=("taken off",)),
        Column("found", "", "How its edge was.", "right", blank=""),
        Column(
            "to",
            "",
            "Where it was put, or home for the drawer that it came from.",
            "home",
            blank="",
            aliases=("place", "drawer", "home", "location"),
        ),
        Column("note", "", "Anything worth keeping.", blank="", aliases=("notes", "remark")),
    ),
)


def read_grind_sheet(content: bytes, name: str) -> list[TableRow]:
    """The lines of a list, CSV or a workbook of one sheet, each cell as it was written.

    Raises:
        BadInput: for an empty file, and a workbook of which something would not be read.
        BadRows: for headings that are not known, or lines without a tag.
    """
    # Every cell stays a text, so that no unit is needed to read it.
    is_book = content.startswith(ARCHIVE)
    sheets = _sheets(content, name) if is_book else read_csv(GRINDS, name, content)
    if not sheets:
        message = f"{name} is empty"
        raise BadInput(message, way_out="columns: tag, length, off, found, to, note")
    rows = read_rows(sheets[0], Units("in"))
    if rows.faults:
        message = f"{name} was not taken"
        way_out = "columns: tag, length, off, found, to, note"
        raise BadRows(message, rows.faults, way_out=way_out)
    if not rows.rows:
        message = f"{name} has no line under its heading"
        raise BadInput(message, way_out="write a line for each piece")
    return rows.rows


def _sheets(content: bytes, name: str) -> list[TableLines]:
    """The sheet of a workbook; the answer to a grind has no room for what was left out of it."""
    pages = pages_in(BytesIO(content), name)
    left = [f"the sheet {page.title!r}" for page in pages[1:]]
    left += [note for page in pages[:1] for note in page.notes]
    if left:
        message = f"{name} would not be read whole: {left[0]}"
        raise BadInput(message, way_out="save the lines that are meant as a sheet of their own")
    return [
        sheet
        for page in pages
        for sheet in under_heading(GRINDS, name, iter(page.lines), page.notes, page.repeated)
    ]
